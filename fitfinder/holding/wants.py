"""What purchasing was asked for and has not come yet, as far as it would hold the stock."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from inventory.measures.day_words import shown as day_shown
from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length


class OpenWant(Struct, frozen=True, kw_only=True, gc=False):
    """A size that purchasing was asked for and that is not here yet. `state` is as the order list has it."""

    size: Length
    shape: str
    series: str
    state: str
    told_state: str
    """In words: `to order`, `approved`, `on order`."""
    asked_on: date
    expected: date | None = None
    is_blank: bool = False
    """Whether what comes is a blank, to be bored to it."""

    def is_of(self, series: str, shape: str, size: Length) -> bool:
        """Whether it is a collet of this size, and no blank for it."""
        return (self.series, self.shape, self.size, self.is_blank) == (series, shape, size, False)

    @property
    def name(self) -> str:
        """`3/4 round 5C`."""
        return f"{'blank for ' if self.is_blank else ''}{nominal(self.size)} {self.shape} {self.series}"

    @property
    def words(self) -> str:
        """`asked on 2026-11-28, approved, expected 2026-12-04`."""
        expected = f", expected {day_shown(self.expected)}" if self.expected is not None else ""
        return f"asked on {day_shown(self.asked_on)}, {self.told_state}{expected}"
