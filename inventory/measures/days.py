"""Dates as a shop writes them, and the form field that takes one."""

import re
from datetime import date

from django import forms
from django.core.exceptions import ValidationError

from inventory.measures.day_words import LIKE, shown
from inventory.measures.display import DayOrder, now
from inventory.measures.lengths import shorten


class DayInput(forms.CharField):
    """A date like 2026-03-18; in other notations day and month are read in `order`, or as only they can be.

    Where no order is given, and not a sheet is read, it is that of the shop. A day after `today` is refused, where that
    is given.
    """

    def __init__(self, *, order: str | None = None, today: date | None = None, **kwargs):
        self.order, self.today, self.is_of_sheet = order, today, False
        super().__init__(**kwargs)

    def prepare_value(self, value):
        if not isinstance(value, date):
            return value
        # A browser's own calendar takes ISO alone, and shows it as the person's device does.
        return value.isoformat() if self.widget.attrs.get("type") == "date" else shown(value)

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        day = read_day(text, self.order or (None if self.is_of_sheet else order_here()))
        if day is None:
            raise ValidationError(f"“{shorten(text)}” is not a date. Write it like {shown(LIKE)}.")
        if self.today is not None and day > self.today:
            raise ValidationError(f"“{shorten(text)}” is still to come: today is {shown(self.today)}.")
        return day


def order_here() -> str | None:
    """Which comes first where the shop writes a date, `dmy` or `mdy`; None where it did not say."""
    order = now().days
    if order is None or order is DayOrder.ISO:
        return None
    return "mdy" if order is DayOrder.MONTH_DAY else "dmy"


class AmbiguousDay(ValidationError):
    """Day and month could be either way round."""


def read_day(text: str, order: str | None) -> date | None:
    """The date, None where it is none; raises AmbiguousDay where 3/4/2026 could be two days."""
    iso = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ].*)?", text, re.ASCII)
    if iso:
        return _day(iso[1], iso[2], iso[3])
    parts = re.fullmatch(r"(\d{1,2})[/.](\d{1,2})[/.](\d{4})", text, re.ASCII)
    if not parts:
        return None
    as_mdy, as_dmy = _day(parts[3], parts[1], parts[2]), _day(parts[3], parts[2], parts[1])
    if order:
        first, second = (as_mdy, as_dmy) if order == "mdy" else (as_dmy, as_mdy)
        return first or second
    if as_mdy and as_dmy and as_mdy != as_dmy:
        raise AmbiguousDay(
            f"“{text}” could be {as_mdy.isoformat()} or {as_dmy.isoformat()}. Say which comes first, day or month, "
            "or write it like 2026-03-18."
        )
    return as_mdy or as_dmy


def _day(year: str, month: str, day: str) -> date | None:
    try:
        found = date(int(year), int(month), int(day))
    except ValueError:
        return None
    # At the ends of the calendar there is no day before or after, and in another time zone not even this one.
    return found if date.min.year < found.year < date.max.year else None
