"""The minutes of a lot against its parts, as a picture in whole pixels."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fitfinder.holding.way import Way
from fitfinder.plan.plan import Plan

LEFT, RIGHT, TOP, BOTTOM = 40, 330, 12, 168
"""The lines are drawn in a picture 358 wide and 200 high."""
MOST_LINES = 4
DASHES = (("", "whole line"), ("8 4", "dashed"), ("2 4", "dotted"), ("12 3 2 3", "long and short"))
"""Each line has its own and the word for it, so that none is told by color alone."""


@dataclass(frozen=True)
class MinutesLine:
    """One way from no part to the most parts of the picture, with the minutes at either end."""

    way: Way
    number: int
    dash: str
    dash_word: str
    y_from: int
    y_to: int
    label_y: int


@dataclass(frozen=True)
class MinutesPicture:
    """The picture, and the words that say the same."""

    lines: tuple[MinutesLine, ...]
    most_parts: int
    most_minutes: int
    asked_x: int
    words: str


def minutes_against_parts(plan: Plan) -> MinutesPicture | None:
    """The ways whose minutes are worth comparing, the quickest for this lot first; None with fewer than two."""
    job = plan.job
    able = [(way, way.effort) for way in plan.compared if way.effort is not None]
    able.sort(key=lambda pair: pair[1].total(parts=job.parts, setups=job.setups))
    if len(able) < 2:
        return None
    most = max(10, 2 * job.parts, *(min(2 * one.parts, 20 * job.parts + 20) for one in plan.crossings))
    drawn = [
        (way, effort.total(parts=0, setups=job.setups), effort.total(parts=most, setups=job.setups))
        for way, effort in able[:MOST_LINES]
    ]
    top = max(max(first, last) for _, first, last in drawn) or Fraction(1)
    labels = _apart([_y(last, top) for _, _, last in drawn])
    return MinutesPicture(
        lines=tuple(
            MinutesLine(way, number + 1, *DASHES[number], _y(first, top), _y(last, top), labels[number])
            for number, (way, first, last) in enumerate(drawn)
        ),
        most_parts=most,
        most_minutes=int(top),
        asked_x=LEFT + (RIGHT - LEFT) * job.parts // most,
        words="; ".join(
            f"{number} {way.method}: {int(first)} min before the first part, {int(last)} for {most}"
            for number, (way, first, last) in enumerate(drawn, start=1)
        ),
    )


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
