"""What a set of collets grips without a gap, told for bar that may be off by a stated tolerance.

A plain union of clamping ranges has a trap at its seams: two ranges that touch leave no hole between them, and still
neither holds a bar whose band crosses the seam. So a collet counts from its lowest sure size *plus the tolerance*.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from fitfinder.holding.verdicts import ZERO, Reach
from inventory.measures.lengths import Length


class Stretch(Struct, frozen=True, order=True):
    """From one size to another; both ends belong to it where it is gripped."""

    smallest: Length
    largest: Length

    @property
    def width(self) -> Length:
        return self.largest - self.smallest


def sure_zone(reach: Reach) -> Stretch | None:
    """Where a whole band has to lie for the verdict `holds`: the clamping range without its edge allowances."""
    smallest, largest = reach.smallest + reach.edge_bottom, reach.largest - reach.edge_top
    return Stretch(smallest, largest) if smallest <= largest else None


def covered(reaches: Iterable[Reach], tolerance: Length = ZERO) -> list[Stretch]:
    """The largest sizes that bar may have for one collet to hold all of it, bar being off by up to `tolerance`.

    A size x is covered where the band from x - tolerance to x holds in a single collet. The stretches are in order
    and do not touch.
    """
    zones = filter(None, (sure_zone(reach) for reach in reaches))
    starts = sorted(Stretch(zone.smallest + tolerance, zone.largest) for zone in zones if zone.width >= tolerance)
    joined: list[Stretch] = []
    for stretch in starts:
        if joined and stretch.smallest <= joined[-1].largest:
            last = joined.pop()
            stretch = Stretch(last.smallest, max(last.largest, stretch.largest))
        joined.append(stretch)
    return joined


def uncovered(gripped: Iterable[Stretch], within: Stretch) -> list[Stretch]:
    """The holes that `covered` leaves within a capacity; an end that touches what is gripped is gripped itself."""
    holes, reached = [], within.smallest
    is_open = True
    for stretch in gripped:
        if stretch.largest < within.smallest or stretch.smallest > within.largest:
            continue
        if stretch.smallest > reached:
            holes.append(Stretch(reached, stretch.smallest))
        reached = max(reached, stretch.largest)
        is_open = reached < within.largest
    if is_open:
        holes.append(Stretch(reached, within.largest))
    return holes
