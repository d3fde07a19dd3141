"""Permitted run-out of ER collets by nominal size (ISO 15488 Table 4)."""

from __future__ import annotations

import re
from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables


class ErRunout(Struct, frozen=True, kw_only=True):
    """What a band of nominal sizes may run out, full indicator swing, on a mandrel of nominal size.

    The band goes from `over` (counted in where `over_included`) to `upto`, included. `class_2` is, the
    normal supply; `class_1` is by agreement, None where unknown. `test_length` is how far from the collet's
    face it is read.
    """

    over: Length
    over_included: bool
    upto: Length
    test_length: Length
    class_2: Length
    class_1: Length | None
    source: str
    basis: str

    def covers(self, nominal: Length) -> bool:
        above = self.over <= nominal if self.over_included else self.over < nominal
        return above and nominal <= self.upto


@cache
def runouts() -> tuple[ErRunout, ...]:
    """The bands of the table, smallest first."""
    return tables.read("er_runout", ErRunout)


def is_of_the_standard(series: str) -> bool:
    """Whether its collets are those of ISO 15488; the shop's own are not, whatever they are called."""
    return _ER.fullmatch(series) is not None


_ER = re.compile(r"ER[0-9]{1,2}", re.ASCII)


def class_2_runout(nominal: Length) -> ErRunout | None:
    """What an ER collet of this nominal size may run out; None below 1 mm and above 34 mm."""
    return next((band for band in runouts() if band.covers(nominal)), None)
