"""What an import did to the book, row by row, written down so that it can be taken back."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db import models
from django.utils import timezone

from inventory.models import CenterHeight, ImportedRow, Kind, SheetImport, Tool

_AT_ONCE = 2_000
"""Keys in one statement."""
_SET_FOR = "set_for"

Columns = dict[str, Any]


class BookRows:
    """The rows that one import, or a part of it, makes or changes, by their model and key.

    `sheet` is the import of which earlier parts are written down already.
    """

    def __init__(self, sheet: SheetImport | None = None) -> None:
        self._sheet = sheet
        self._before: dict[tuple[str, int], Columns | None] = {}

    def note_made(self, rows: Iterable[models.Model]) -> None:
        for row in rows:
            self._before.setdefault(_key(row), None)

    def note_before_change(self, rows: Iterable[models.Model]) -> None:
        """To be called while the rows still are as the book has them."""
        for row in rows:
            self._before.setdefault(_key(row), columns_of(row))

    def made_among(self, model: str, keys: list[int]) -> set[int]:
        """Those of these keys that the import made, in this part or an earlier one."""
        made = {key for key in keys if self._before.get((model, key), {}) is None}
        for start in range(0, len(keys) if self._sheet is not None else 0, _AT_ONCE):
            rows = ImportedRow.objects.filter(sheet=self._sheet, model=model, key__in=keys[start : start + _AT_ONCE])
            made |= set(rows.filter(before__isnull=True).values_list("key", flat=True))
        return made

    def forget(self, model: str, keys: list[int]) -> None:
        """Of rows that the import made and that are to go again."""
        for key in keys:
            self._before.pop((model, key), None)
        if self._sheet is not None:
            ImportedRow.objects.filter(sheet=self._sheet, model=model, key__in=keys).delete()

    def write_down(self, sheet: SheetImport) -> None:
        """Keep them as they are now, once all is written; to be called within its transaction.

        Of a row that an earlier part of the same import made or changed, what it was before that stays.
        """
        now = timezone.now()
        keys: dict[str, list[int]] = {}
        for model, key in self._before:
            keys.setdefault(model, []).append(key)
        for model, of_model in keys.items():
            for batch in rows_of(model, of_model):
                ImportedRow.objects.bulk_create(
                    (
                        ImportedRow(
                            sheet=sheet,
                            model=model,
                            key=key,
                            before=self._before[model, key],
                            after=columns_of(row),
                            written_at=now,
                        )
                        for key, row in batch.items()
                    ),
                    update_conflicts=True,
                    unique_fields=["sheet", "model", "key"],
                    update_fields=["after", "written_at"],
                )
        sheet.recorded_at = now
        SheetImport.objects.filter(pk=sheet.pk).update(recorded_at=now)


def rows_of(model: str, keys: list[int]) -> Iterable[dict[int, models.Model]]:
    """The rows of a model by their keys, so many at a time; those that are gone are left out."""
    manager = model_named(model)._base_manager
    for start in range(0, len(keys), _AT_ONCE):
        yield manager.in_bulk(keys[start : start + _AT_ONCE])


def model_named(name: str) -> type[models.Model]:
    return apps.get_model("inventory", name)


def columns_of(row: models.Model) -> Columns:
    """The columns that have a value, as JSON takes them; of a holder, the lathes for which its height is set too."""
    columns = {}
    for field in row._meta.concrete_fields:
        value = getattr(row, field.attname)
        if value not in (None, "", False):
            columns[field.attname] = _as_json(field, value)
    if isinstance(row, Tool) and row.kind == Kind.TOOL_POST_HOLDER:
        lathes = CenterHeight.objects.filter(tool=row).order_by("lathe").values_list("lathe", flat=True)
        if lathes:
            columns[_SET_FOR] = list(lathes)
    return columns


def put_columns(row: models.Model, columns: Columns) -> None:
    """Give the row these columns; one that is not named gets what it has without a value."""
    for field in row._meta.concrete_fields:
        if field.attname in columns:
            setattr(row, field.attname, field.to_python(columns[field.attname]))
        elif getattr(row, field.attname) not in (None, "", False):
            setattr(row, field.attname, field.get_default() if not field.null else None)
    if isinstance(row, Tool) and row.kind == Kind.TOOL_POST_HOLDER:
        CenterHeight.objects.set_for(row, set(columns.get(_SET_FOR, ())))


def _key(row: models.Model) -> tuple[str, int]:
    if row.pk is None:
        raise ValueError(f"{row} is in no book yet.")
    return str(row._meta.model_name), row.pk


def _as_json(field: models.Field, value: Any) -> Any:
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, UUID):
        return str(value)
    return field.get_prep_value(value)
