"""What is said when the pieces of a sheet are reserved: from which day and time on, and for how long."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from inventory.measures.days import DayInput
from inventory.measures.inputs import TokenInput
from inventory.measures.lengths import shorten
from inventory.models import Reservation

LASTS = (("8", "8 hours, a shift"), ("24", "a day"), ("72", "3 days"), ("168", "a week"))
USUAL = "24"
"""Hours until a piece that nobody came for is free again: the next day has other jobs (common practice)."""
FARTHEST = timedelta(days=366)
_TIME = re.compile(r"(\d{1,2})(?:[:.h](\d{2}))?(?::\d{2})? ?([ap])?\.?(?:m\.?)?", re.ASCII | re.IGNORECASE)


class TimeOfDayInput(forms.Field):
    """`7:00`, `15.30`, `7 am`, `3:30 pm`."""

    def to_python(self, value: Any) -> time | None:
        text = str(super().to_python(value) or "").strip()
        if not text:
            return None
        read = _TIME.fullmatch(text)
        hours, minutes = (int(read[1]), int(read[2] or 0)) if read else (99, 0)
        if read and read[3]:
            # Half past twelve at night is 12:30 am.
            hours = 99 if not 1 <= hours <= 12 else hours % 12 + (12 if read[3].lower() == "p" else 0)
        if hours > 23 or minutes > 59:
            raise ValidationError(f"“{shorten(text)}” is not a time of day. Write it like 7:00, 15:30 or 3:30 pm.")
        return time(hours, minutes)


class ReserveForm(forms.Form):
    """From a day and time of the shop on, for so long: then what nobody came for is free again by itself."""

    token = TokenInput()
    day = DayInput(label="From the day", widget=forms.TextInput(attrs={"type": "date"}))
    at = TimeOfDayInput(label="At", widget=forms.TextInput(attrs={"maxlength": 12}))
    lasts = forms.ChoiceField(
        label="If nobody has come for it, it is free again after", choices=LASTS, widget=forms.RadioSelect
    )

    @staticmethod
    def begins_with(*, today: date, standing: Reservation | None = None) -> dict[str, Any]:
        """What the fields say at first: tomorrow at 7:00, or as it stands."""
        if standing is None:
            return {"day": today + timedelta(days=1), "at": "7:00", "lasts": USUAL}
        begins = timezone.localtime(standing.starts_at)
        hours = str(round((standing.lapses_at - standing.starts_at) / timedelta(hours=1)))
        at = f"{begins.hour}:{begins.minute:02}"
        return {"day": begins.date(), "at": at, "lasts": hours if hours in dict(LASTS) else USUAL}

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if cleaned.get("day") and cleaned.get("at") is not None and self.starts_at > timezone.now() + FARTHEST:
            self.add_error("day", "That is more than a year away. Reserve within a year.")
        return cleaned

    @property
    def starts_at(self) -> datetime:
        """The moment on the shop's clock. An hour that a change of the clocks leaves out begins when it would have."""
        day, at = self.cleaned_data["day"], self.cleaned_data["at"]
        return datetime.combine(day, at, timezone.get_current_timezone())

    @property
    def lapses_at(self) -> datetime:
        # In UTC, where a day has its hours whatever the clocks do.
        return self.starts_at.astimezone(UTC) + timedelta(hours=int(self.cleaned_data["lasts"]))
