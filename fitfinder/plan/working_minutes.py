"""The shop's own working minutes: typed beside those of common practice, and kept with who and when."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms
from django.db import transaction
from django.utils.text import slugify

from inventory.models import User, WorkingMinutes
from inventory.reference import practice
from inventory.web.filters import minutes


class MinutesForm(forms.Form):
    """One field for each working step; empty is common practice."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for figure in practice.all_minutes():
            typed = self.data.get(self.add_prefix(figure.method), "")
            per = figure.unit.removeprefix("min per ")
            self.fields[figure.method] = forms.DecimalField(
                required=False,
                label=figure.method.capitalize(),
                min_value=Decimal("0.01"),
                max_value=600,
                decimal_places=2,
                help_text=f"Minutes for each {per}. Common practice: {minutes(figure.typical)}.",
                error_messages={
                    "invalid": f"“{typed[:20]}” is no number of minutes. Write it like 2.5.",
                    "min_value": "Minutes are above zero. Leave it empty for common practice.",
                    "max_value": "Minutes are at most 600.",
                    "max_decimal_places": "Minutes have at most two decimal places, like 2.25.",
                },
                widget=forms.TextInput(attrs={"inputmode": "decimal"}),
            )

    def add_prefix(self, field_name: str) -> str:
        """In the page a step is one word: what names another part by its id must not have blanks."""
        return super().add_prefix(slugify(field_name))


@transaction.atomic
def keep_minutes(typed: Mapping[str, Decimal | None], *, by: User) -> int:
    """Keep what was typed for each step, where None is common practice again; how many are changed by it."""
    rows = {row.step: row for row in WorkingMinutes.objects.select_for_update()}
    return sum(_keep(step, value, rows.get(step), by) for step, value in typed.items())


def _keep(step: str, value: Decimal | None, row: WorkingMinutes | None, by: User) -> bool:
    if value is None:
        if row is not None:
            row.delete()
        return row is not None
    hundredths = int(Fraction(value) * 100)
    if row is not None and row.hundredths == hundredths:
        return False
    row = row or WorkingMinutes(step=step)
    row.hundredths, row.changed_by = hundredths, by
    row.save()
    return True
