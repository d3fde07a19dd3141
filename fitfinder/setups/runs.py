"""What a batch really took, beside what was planned."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, cast

from msgspec import Struct

from fitfinder.setups.inputs import MinutesInput, minutes_text
from inventory.keeping.lending_forms import TapForm
from inventory.measures.days import DayInput
from inventory.measures.inputs import CountInput, LineInput, say_plainly
from inventory.models import SetupRun, SetupSheet


class RunForm(TapForm):
    """The minutes of one run. One of the two is enough."""

    ran_on = DayInput(label="Day", help_text="Like [DAY].")
    parts = CountInput(min_value=1, max_value=1_000_000, label="Parts")
    setup_minutes = MinutesInput(label="Set-up, minutes")
    part_minutes = MinutesInput(label="Each part, minutes")
    note = LineInput(required=False, max_length=400, label="Note", help_text="What to do otherwise the next time.")

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        cast(DayInput, self.fields["ran_on"]).today = today
        say_plainly(self.fields, {"ran_on": "2026-03-18", "parts": "12"})

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not cleaned.get("setup_minutes") and not cleaned.get("part_minutes"):
            self.add_error(
                "setup_minutes", "No minutes are written. Write those of the set-up or of each part, like 12."
            )
        return cleaned

    def columns(self) -> dict[str, Any]:
        cleaned = self.cleaned_data
        return {
            "ran_on": cleaned["ran_on"],
            "parts": cleaned["parts"],
            "setup_hundredths": cleaned["setup_minutes"],
            "part_hundredths": cleaned["part_minutes"],
            "note": cleaned["note"],
        }


class RunLine(Struct, frozen=True):
    """One run in words: `set-up 31 min, planned 27: 4 more`."""

    day: date
    by: str
    parts: int
    minutes: tuple[str, ...]
    note: str


def run_lines(sheet: SetupSheet) -> list[RunLine]:
    """The latest first."""
    return [
        RunLine(run.ran_on, str(run.written_by), run.parts, tuple(_compared(run, sheet)), run.note)
        for run in sheet.runs.all()
    ]


def _compared(run: SetupRun, sheet: SetupSheet) -> Iterable[str]:
    pairs = (
        ("set-up", run.setup_hundredths, sheet.setup_hundredths),
        ("each part", run.part_hundredths, sheet.part_hundredths),
    )
    for words, took, planned in pairs:
        if took is not None:
            yield f"{words} {minutes_text(took)} min{_beside(took, planned)}"


def _beside(took: int, planned: int | None) -> str:
    if planned is None:
        return ""
    if took == planned:
        return ", as planned"
    off = minutes_text(abs(took - planned))
    return f", planned {minutes_text(planned)}: {off} {'more' if took > planned else 'less'}"
