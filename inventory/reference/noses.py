"""Spindle noses: what a chuck, faceplate or closer is mounted on."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables


class Nose(Struct, frozen=True, kw_only=True):
    """A spindle nose. None and an empty text are unknown, or not there at this kind of nose.

    `family` is `camlock`, `short taper`, `bayonet`, `long taper`, `threaded inch` or `threaded metric`. `pilot` is the
    large end of the locating taper, `pilot_max` its upper limit; `circle` and `inner_circle` carry the pins
    or bolts. The same number in two families does not make them fit each other, and the thread alone does not
    make two threaded noses alike: the register differs by maker.
    """

    code: str
    family: str
    standard: str
    pilot: Length | None
    pilot_max: Length | None
    flange: Length | None
    circle: Length | None
    inner_circle: Length | None
    taper: str
    held_by: str
    thread: str
    brakes_in_reverse: bool
    source: str
    basis: str

    @property
    def is_threaded(self) -> bool:
        """Whether the chuck itself screws on, and so can unscrew (a long taper's ring nut does not count)."""
        return self.family.startswith("threaded")


@cache
def spindle_noses() -> tuple[Nose, ...]:
    """All noses, by family."""
    return tables.read("noses", Nose)


def spindle_nose(code: str) -> Nose | None:
    """The nose of a code, `D1-4` or `1-1/2-8`; None where there is none."""
    return next((nose for nose in spindle_noses() if nose.code == code), None)
