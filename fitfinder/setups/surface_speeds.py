"""The shop's own surface speeds: typed beside those of the table, and kept with who and when."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms
from django.db import transaction
from django.utils.text import slugify

from inventory.measures import amounts
from inventory.measures.display import now
from inventory.measures.inputs import say_plainly
from inventory.measures.lengths import NM_PER_INCH, NM_PER_MM, Length
from inventory.models import SurfaceSpeed, User
from inventory.reference.cutting import CUTTERS, materials, turning_speed

_NM_PER_FOOT, _NM_PER_METRE = 12 * NM_PER_INCH, 1000 * NM_PER_MM


def _per_unit() -> int:
    """Nanometres of the foot, or in a metric shop of the metre, in which a speed is typed."""
    return _NM_PER_METRE if now().is_metric else _NM_PER_FOOT


class SpeedsForm(forms.Form):
    """One field for each material and cutter; empty is the table's."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.of: dict[str, tuple[str, str]] = {}
        for material in materials():
            for cutter in CUTTERS:
                name = slugify(f"{material} {cutter}")
                self.of[name] = (material, cutter)
                self.fields[name] = _speed_field(material, cutter)
        say_plainly(self.fields)

    def pairs(self) -> Iterator[tuple[forms.BoundField, ...]]:
        """The fields of a material side by side."""
        names = list(self.of)
        for start in range(0, len(names), len(CUTTERS)):
            yield tuple(self[name] for name in names[start : start + len(CUTTERS)])

    def typed(self) -> dict[tuple[str, str], Length | None]:
        return {key: _length(self.cleaned_data[name]) for name, key in self.of.items()}


def _speed_field(material: str, cutter: str) -> forms.DecimalField:
    table = turning_speed(material)
    feet = Fraction(table.per_minute(cutter).nm, _NM_PER_FOOT) if table else Fraction(0)
    return forms.DecimalField(
        required=False,
        label=f"{material.capitalize()}, {cutter}",
        min_value=Decimal(1),
        max_value=10_000,
        decimal_places=1,
        help_text=f"In {'m' if now().is_metric else 'ft'}/min. The table: {amounts.surface_speed(feet)}.",
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        error_messages={"invalid": "That is no speed. Write it in figures, like 100."},
    )


def _length(value: Decimal | None) -> Length | None:
    return None if value is None else Length(round(Fraction(value) * _per_unit()))


def initial_speeds() -> dict[str, str]:
    """What the shop set, by the names of the fields, as it is typed."""
    rows = SurfaceSpeed.objects.all()
    return {slugify(f"{row.material} {row.cutter}"): _as_typed(row.per_minute) for row in rows}


def _as_typed(per_minute: Length) -> str:
    tenths = round(Fraction(per_minute.nm * 10, _per_unit()))
    return f"{tenths // 10}.{tenths % 10}" if tenths % 10 else str(tenths // 10)


@transaction.atomic
def keep_speeds(typed: dict[tuple[str, str], Length | None], *, by: User) -> int:
    """Keep what was typed, where None is the table's again; how many are changed by it."""
    rows = {(row.material, row.cutter): row for row in SurfaceSpeed.objects.select_for_update()}
    return sum(_keep(key, value, rows.get(key), by) for key, value in typed.items())


def _keep(key: tuple[str, str], value: Length | None, row: SurfaceSpeed | None, by: User) -> bool:
    if value is None:
        if row is not None:
            row.delete()
        return row is not None
    if row is not None and _as_typed(row.per_minute) == _as_typed(value):
        return False
    row = row or SurfaceSpeed(material=key[0], cutter=key[1])
    row.per_minute, row.changed_by = value, by
    row.save()
    return True
