"""The demo crib as rows: to load it takes two seconds, to put its rows into the book of another test a twentieth."""

import tempfile
from pathlib import Path

from django.apps import apps
from django.core.management.color import no_style
from django.db import connection, models
from django.test import override_settings
from django.utils import timezone

from inventory.models import Series, SeriesShape, User
from shop.demo import crib, people

Row = tuple[object, ...]


class DemoBook:
    """The rows of the demo, as the first test that asked for them loaded them."""

    def __init__(self) -> None:
        self._rows: dict[type[models.Model], list[Row]] = {}
        self._stands_on: object = None

    def put_in_place(self) -> None:
        """The demo's people and crib, into a book in which nobody has entered anything."""
        assert not User.objects.exists(), "the demo has to come before what a test enters"
        stands_on = _what_it_stands_on()
        if stands_on == self._stands_on:
            self._insert()
            return
        before = _rows_of_all_tables()
        with tempfile.TemporaryDirectory() as folder, override_settings(BASE_DIR=Path(folder)):
            people.make()
        crib.load(now=timezone.now())
        self._rows = {
            model: sorted_by_key
            for model, rows in _rows_of_all_tables().items()
            if (sorted_by_key := sorted(rows - before[model], key=lambda row: row[0]))
        }
        self._stands_on = stands_on

    def _insert(self) -> None:
        with connection.cursor() as cursor:
            for model, rows in self._rows.items():
                marks = ", ".join(["%s"] * len(rows[0]))
                cursor.executemany(f"INSERT INTO {_table(model)} ({_columns(model)}) VALUES ({marks})", rows)
            for statement in connection.ops.sequence_reset_sql(no_style(), list(self._rows)):
                cursor.execute(statement)


def _what_it_stands_on() -> object:
    """The day that its days are counted from, and the keys of built-in rows, which are others after a flush."""
    keys = (list(model.objects.order_by("pk").values_list("pk", flat=True)) for model in (Series, SeriesShape))
    return (timezone.localdate(), *keys)


def _rows_of_all_tables() -> dict[type[models.Model], set[Row]]:
    """As the database has them, without a field's reading in between."""
    found = {}
    with connection.cursor() as cursor:
        for model in apps.get_models(include_auto_created=True):
            if model._meta.managed and not model._meta.proxy:
                cursor.execute(f"SELECT {_columns(model)} FROM {_table(model)}")
                found[model] = {tuple(map(_hashable, row)) for row in cursor.fetchall()}
    return found


def _hashable(value: object) -> object:
    return bytes(value) if isinstance(value, memoryview) else value


def _table(model: type[models.Model]) -> str:
    return connection.ops.quote_name(model._meta.db_table)


def _columns(model: type[models.Model]) -> str:
    fields = [field for field in model._meta.local_concrete_fields if not field.generated]
    return ", ".join(connection.ops.quote_name(field.column) for field in fields)
