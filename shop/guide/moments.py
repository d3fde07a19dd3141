"""What a guide is made of: moments of steps, quoting what stands on the pages.

In a line, what is tapped stands in [brackets] and what is read in “quotation marks”. `at` is the page of the demo crib
on which both stand; a test opens it and looks for them, so that a guide cannot speak of a button that is gone.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from msgspec import Struct

from inventory.models import Role

TAPPED = re.compile(r"\[([^\]]+)\]")
READ = re.compile(r"“([^”]+)”")


class LinePart(NamedTuple):
    """A part of a line, and whether it is what one taps."""

    text: str
    is_tapped: bool


class GuideLine(NamedTuple):
    """One sentence or two. `at` is an address of the demo crib, or a page that `tests/demo_pages.py` makes."""

    at: str
    text: str

    @property
    def parts(self) -> list[LinePart]:
        # Split at a group, every second part is what the group caught.
        return [LinePart(text, is_tapped=bool(place % 2)) for place, text in enumerate(TAPPED.split(self.text))]


class GuidePicture(Struct, frozen=True, kw_only=True):
    """A part of a page of the demo crib, as a phone shows it; `says` is for whoever does not see it.

    `under` is a text on the page: the picture begins there, not at the top. `height` is in CSS pixels.
    """

    name: str
    at: str
    says: str
    under: str = ""
    height: int = 560
    is_metric: bool = False
    """Whether it is taken in a shop that thinks in millimetres."""


class Beginning(NamedTuple):
    """Where a moment begins: the name of an address, and the words that lead there."""

    name: str
    words: str


class Moment(Struct, frozen=True, kw_only=True):
    title: str
    in_hand: str
    begin: Beginning
    steps: tuple[GuideLine, ...]
    answer: tuple[GuideLine, ...] = ()
    no: tuple[GuideLine, ...] = ()
    care: str = ""
    picture: GuidePicture | None = None

    @property
    def lines(self) -> tuple[GuideLine, ...]:
        return self.steps + self.answer + self.no


class Guide(Struct, frozen=True, kw_only=True):
    slug: str
    role: Role
    """Whose role it is written for."""
    name: str
    in_short: str
    """Two or three sentences; the README has them too, word by word."""
    moments: tuple[Moment, ...]

    @property
    def pictures(self) -> list[GuidePicture]:
        return [moment.picture for moment in self.moments if moment.picture]
