"""How a guide is told: moments of steps, quoting what stands on the pages.

In a line, what is tapped stands in [brackets] and what is read in “quotation marks”. `at` is the page of the demo crib
on which both stand; a test opens it and looks for them, so that a guide cannot speak of a button that is gone.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from msgspec import Struct

TAPPED = re.compile(r"\[([^\]]+)\]")
READ = re.compile(r"“([^”]+)”")


class Line(NamedTuple):
    """One sentence or two. `at` is an address of the demo crib, or a page that `tests/demo_pages.py` makes."""

    at: str
    text: str


class Picture(Struct, frozen=True, kw_only=True):
    """A part of a page of the demo crib, as a phone shows it; `says` is for whoever does not see it.

    `under` is a text on the page: the picture begins there, not at the top. `height` is in CSS pixels.
    """

    name: str
    at: str
    says: str
    under: str = ""
    height: int = 560


class Moment(Struct, frozen=True, kw_only=True):
    title: str
    in_hand: str
    begin: tuple[str, str]
    """The name of the address to begin at, and the words that lead there."""
    steps: tuple[Line, ...]
    answer: tuple[Line, ...] = ()
    no: tuple[Line, ...] = ()
    care: str = ""
    picture: Picture | None = None

    @property
    def lines(self) -> tuple[Line, ...]:
        return self.steps + self.answer + self.no


class Guide(Struct, frozen=True, kw_only=True):
    slug: str
    role: str
    """Whose role it is written for, as `inventory.models.Role` has it."""
    name: str
    in_short: str
    """Two or three sentences; the README has them too, word by word."""
    moments: tuple[Moment, ...]

    @property
    def pictures(self) -> list[Picture]:
        return [moment.picture for moment in self.moments if moment.picture]
