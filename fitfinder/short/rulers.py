"""Where things stand in the picture of what a series grips, to scale. Tenths of a pixel, so no float is made."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from fitfinder.buying.coverage import Stretch
from inventory.measures.lengths import Length, nominal

LEFT, WIDTH = 8, 342
"""A line of the ruler is drawn from LEFT over WIDTH of a picture 358 wide, as the window of an answer is."""
MOST_LINES = 6
_INCH_STEPS = tuple(Length.inches(step) for step in ("1/8", "1/4", "1/2", "1"))
_MM_STEPS = tuple(Length.mm(step) for step in (1, 2, 5, 10))


class Bar(Struct, frozen=True):
    """A stretch on the ruler, in pixels with one decimal."""

    start: str
    width: str


class Ruler(Struct, frozen=True, kw_only=True):
    """One line: its ends in words, what of it is within the capacity, and what is gripped."""

    start: str
    end: str
    capacity: Bar
    gripped: tuple[Bar, ...]
    words: str


def rulers(gripped: Sequence[Stretch], within: Stretch) -> list[Ruler]:
    """The capacity cut into lines of a handy length, so that a clamping range of a few thousandths can be seen."""
    step = _step(within)
    first = within.smallest.nm // step.nm
    last = -(-within.largest.nm // step.nm)
    return [_ruler(Length(n * step.nm), Length((n + 1) * step.nm), gripped, within) for n in range(first, last)]


def _step(within: Stretch) -> Length:
    steps = _MM_STEPS if within.smallest.is_metric or within.largest.is_metric else _INCH_STEPS
    for step in steps:
        if -(-within.largest.nm // step.nm) - within.smallest.nm // step.nm <= MOST_LINES:
            return step
    return steps[-1]


def _ruler(low: Length, high: Length, gripped: Sequence[Stretch], within: Stretch) -> Ruler:
    inside = [part for stretch in gripped if (part := _cut(stretch, low, high))]
    told = [f"{part.smallest.inch_text} to {part.largest.inch_text}" for part in inside]
    return Ruler(
        start=nominal(low) if low.nm else "0",
        end=nominal(high) if high.is_metric else f"{nominal(high)} in",
        capacity=_bar(_cut(within, low, high) or Stretch(low, low), low, high),
        gripped=tuple(_bar(part, low, high) for part in inside),
        words=f"{nominal(low) if low.nm else '0'} to {nominal(high)}: "
        + (f"gripped {', '.join(told)} in" if told else "nothing is gripped"),
    )


def _cut(stretch: Stretch, low: Length, high: Length) -> Stretch | None:
    smallest, largest = max(stretch.smallest, low), min(stretch.largest, high)
    return Stretch(smallest, largest) if smallest < largest else None


def _bar(part: Stretch, low: Length, high: Length) -> Bar:
    span = (high - low).nm
    start = (part.smallest - low).nm * WIDTH * 10 // span
    width = max(10, part.width.nm * WIDTH * 10 // span)
    return Bar(_pixels(LEFT * 10 + start), _pixels(width))


def _pixels(tenths: int) -> str:
    return f"{tenths // 10}.{tenths % 10}"
