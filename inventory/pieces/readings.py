"""A reading as the form of a piece, or a row of a sheet, says it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from inventory.measures.lengths import Length
from inventory.models import Tool


@dataclass(frozen=True, kw_only=True)
class TypedReading:
    """What was typed as the current reading and its day, each None where nothing was."""

    tir: Length | None
    day: date | None
    is_of_sheet: bool

    def is_new_to(self, tool: Tool) -> bool:
        """Whether it is a reading or a date that the piece does not have yet."""
        if self.is_older_than_that_of(tool) or self._has_ended(tool):
            return False
        return (self.tir is not None and self.tir != tool.tir) or (
            self.day is not None and self.day != tool.inspected_on
        )

    def day_for(self, tool: Tool) -> date | None:
        """The day that it is kept under: in a sheet an empty cell leaves the day that the piece has."""
        return tool.inspected_on if self.is_of_sheet and self.day is None else self.day

    def is_older_than_that_of(self, tool: Tool) -> bool:
        """Whether a sheet says an inspection from before the last one in the book; a page may correct the day."""
        if not self.is_of_sheet or self.day is None or tool.inspected_on is None:
            return False
        return self.day < tool.inspected_on

    def _has_ended(self, tool: Tool) -> bool:
        """Whether a sheet says once more what a chuck read before other jaws went in."""
        if not self.is_of_sheet or self.tir is None or tool.tir is not None or tool.pk is None:
            return False
        day = self.day_for(tool)
        if day != tool.inspected_on:
            return False
        return tool.inspections.standing().filter(tir=self.tir, taken_on=day).exists()
