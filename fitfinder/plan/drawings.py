"""The minutes of a lot against its number of parts, as a picture. Whole pixels, so no float is made."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from fitfinder.plan.plans import Plan
from fitfinder.plan.ways import Way

LEFT, RIGHT, TOP, BOTTOM = 40, 330, 12, 168
"""The lines are drawn in a picture 358 wide and 200 high."""
MOST_LINES = 4
DASHES = ("", "8 4", "2 4", "12 3 2 3")
"""Each line has its own, so that none is told by color alone."""


class Line(Struct, frozen=True):
    """One way from no part to the most parts of the picture, with the minutes at either end."""

    way: Way
    number: int
    dash: str
    y_from: int
    y_to: int
    label_y: int


class Lines(Struct, frozen=True):
    """The picture, and the words that say the same."""

    lines: tuple[Line, ...]
    most_parts: int
    most_minutes: int
    asked_x: int
    words: str


def minutes_against_parts(plan: Plan) -> Lines | None:
    """The usable ways that are not known to miss the TIR and have nothing against them, the quickest for this lot
    first; None with fewer than two."""
    able = [way for way in plan.usable if way.true_enough is not False and not way.but]
    ways = sorted(able, key=lambda way: way.minutes)[:MOST_LINES]
    if len(ways) < 2:
        return None
    job = plan.job
    crossings = [crossing.parts for crossing in plan.crossings]
    most = max(10, 2 * job.parts, *(min(2 * parts, 20 * job.parts + 20) for parts in crossings or [0]))
    ends = [(_at(way, 0), _at(way, most)) for way in ways]
    top = max(max(pair) for pair in ends) or Fraction(1)
    labels = _apart([_y(end, top) for _, end in ends])
    return Lines(
        lines=tuple(
            Line(way, number + 1, DASHES[number], _y(start, top), _y(end, top), label)
            for number, (way, (start, end), label) in enumerate(zip(ways, ends, labels, strict=True))
        ),
        most_parts=most,
        most_minutes=int(top),
        asked_x=LEFT + (RIGHT - LEFT) * job.parts // most,
        words="; ".join(
            f"{number + 1} {way.method}: {int(_at(way, 0))} min before the first part, {int(_at(way, most))} for {most}"
            for number, way in enumerate(ways)
        ),
    )


def _at(way: Way, parts: int) -> Fraction:
    return way.effort.total(parts=parts, setups=way.job.setups)


def _y(minutes: Fraction, top: Fraction) -> int:
    return BOTTOM - int((BOTTOM - TOP) * minutes / top)


def _apart(places: list[int]) -> list[int]:
    """The same heights, moved so that no two labels lie on each other."""
    taken: dict[int, int] = {}
    last = -100
    for index, place in sorted(enumerate(places), key=lambda pair: pair[1]):
        last = max(place, last + 14)
        taken[index] = last
    return [taken[index] for index in range(len(places))]
