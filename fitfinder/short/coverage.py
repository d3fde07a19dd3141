"""What a set of collets grips without a gap, told for bar that may be off by a stated tolerance, and drawn to scale.

A plain union of clamping ranges has a trap at its seams: two ranges that touch leave no hole between them, and still
neither holds a bar whose band crosses the seam. So a collet counts from its lowest sure size *plus the tolerance*.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from fitfinder.buying.offers import Stretch, sure_zone
from fitfinder.holding.pieces import SeriesOnHand
from fitfinder.holding.verdicts import ZERO, Reach
from inventory.measures.display import now
from inventory.measures.length_words import figures, nominal, nominal_in_full
from inventory.measures.lengths import Length

LEFT, WIDTH = 8, 342
"""A line of the ruler is drawn from LEFT over WIDTH of a picture 358 wide, as the window of an answer is."""
MOST_LINES = 6
_INCH_STEPS = tuple(Length.inches(step) for step in ("1/8", "1/4", "1/2", "1"))
_MM_STEPS = tuple(Length.mm(step) for step in (1, 2, 5, 10))


def capacity(figures: SeriesOnHand) -> Stretch | None:
    """From the smallest to the largest nominal of a series, None where either is unknown."""
    if figures.smallest is None or figures.largest is None:
        return None
    return Stretch(figures.smallest, figures.largest)


class RulerBar(Struct, frozen=True):
    """A stretch on the ruler, in pixels with one decimal: tenths of them, so that no float is made."""

    start: str
    width: str


class Ruler(Struct, frozen=True, kw_only=True):
    """One line: its ends in words, what of it is within the capacity, and what is gripped."""

    start: str
    end: str
    capacity: RulerBar
    gripped: tuple[RulerBar, ...]
    words: str


class Coverage(Struct, frozen=True, kw_only=True):
    """What is gripped within a capacity, drawn, and what is not: the holes, the widest first, and their share."""

    tolerance: Length
    within: Stretch
    rulers: tuple[Ruler, ...]
    holes: tuple[Stretch, ...]

    @property
    def open_percent(self) -> int:
        """Rounded down."""
        width = self.within.width.nm
        return 100 * sum(hole.width.nm for hole in self.holes) // width if width else 0


def coverage(reaches: Iterable[Reach], within: Stretch, *, tolerance: Length) -> Coverage:
    gripped = covered(reaches, tolerance)
    holes = sorted(uncovered(gripped, within), key=lambda hole: hole.width, reverse=True)
    return Coverage(tolerance=tolerance, within=within, rulers=tuple(rulers(gripped, within)), holes=tuple(holes))


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


def rulers(gripped: Sequence[Stretch], within: Stretch) -> list[Ruler]:
    """The capacity cut into lines of a handy length, so that a clamping range of a few thousandths can be seen."""
    step = _step(within)
    first = within.smallest.nm // step.nm
    last = -(-within.largest.nm // step.nm)
    return [_ruler(Length(n * step.nm), Length((n + 1) * step.nm), gripped, within) for n in range(first, last)]


def _step(within: Stretch) -> Length:
    steps = _MM_STEPS if now().is_metric or within.smallest.is_metric or within.largest.is_metric else _INCH_STEPS
    for step in steps:
        if -(-within.largest.nm // step.nm) - within.smallest.nm // step.nm <= MOST_LINES:
            return step
    return steps[-1]


def _ruler(low: Length, high: Length, gripped: Sequence[Stretch], within: Stretch) -> Ruler:
    inside = [part for stretch in gripped if (part := _cut(stretch, low, high))]
    parts = [f"{figures(part.smallest)} to {figures(part.largest)}" for part in inside]
    return Ruler(
        start=nominal(low) if low.nm else "0",
        end=nominal_in_full(high),
        capacity=_bar(_cut(within, low, high) or Stretch(low, low), low, high),
        gripped=tuple(_bar(part, low, high) for part in inside),
        words=f"{nominal(low) if low.nm else '0'} to {nominal(high)}: "
        + (f"gripped {', '.join(parts)} {now().unit.value}" if parts else "nothing is gripped"),
    )


def _cut(stretch: Stretch, low: Length, high: Length) -> Stretch | None:
    smallest, largest = max(stretch.smallest, low), min(stretch.largest, high)
    return Stretch(smallest, largest) if smallest < largest else None


def _bar(part: Stretch, low: Length, high: Length) -> RulerBar:
    span = (high - low).nm
    start = (part.smallest - low).nm * WIDTH * 10 // span
    width = max(10, part.width.nm * WIDTH * 10 // span)
    return RulerBar(_pixels(LEFT * 10 + start), _pixels(width))


def _pixels(tenths: int) -> str:
    return f"{tenths // 10}.{tenths % 10}"
