"""Permitted run-out of ER collets by nominal size (ISO 15488 Table 4)."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables


class Runout(Struct, frozen=True, kw_only=True):
    """What a band of nominal sizes may run out, full indicator swing, on a mandrel of nominal size.

    The band goes from `over` (counted in where `over_included`) to `upto`, included. `runout` is class 2, the
    normal supply; `class_1` is by agreement, None where unknown. `test_length` is how far from the collet's
    face it is read.
    """

    over: Length
    over_included: bool
    upto: Length
    test_length: Length
    runout: Length
    class_1: Length | None
    source: str
    basis: str

    def covers(self, nominal: Length) -> bool:
        above = self.over <= nominal if self.over_included else self.over < nominal
        return above and nominal <= self.upto


@cache
def runouts() -> tuple[Runout, ...]:
    """The bands of the table, smallest first."""
    return tuple(
        Runout(
            over=row.length("over"),
            over_included=row.flag("over_included"),
            upto=row.length("upto"),
            test_length=row.length("test_length"),
            runout=row.length("class_2"),
            class_1=row.maybe_length("class_1"),
            source=row.source,
            basis=row.basis,
        )
        for row in tables.rows("er_runout")
    )


def class_2_runout(nominal: Length) -> Runout | None:
    """What an ER collet of this nominal size may run out; None below 1 mm and above 34 mm."""
    return next((band for band in runouts() if band.covers(nominal)), None)
