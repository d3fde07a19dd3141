"""Where the readings of a piece stand in their picture. Whole pixels, so no float is made."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from msgspec import Struct

from inventory.inspections.wear import DatedReading, Trend
from inventory.measures.lengths import Length

WIDTH, HEIGHT = 358, 200
LEFT, RIGHT, TOP, BOTTOM = 56, 344, 22, 176
MOST_TICKS = 5
_STEPS = tuple(Length.inches(Fraction(step, 10_000)) for step in (1, 2, 5, 10, 20, 50, 100, 200))
"""From one line of the scale to the next: the first by which few are needed."""


class Point(Struct, frozen=True):
    x: int
    y: int
    is_alike: bool

    @property
    def corner(self) -> tuple[int, int]:
        """Of the small square that stands for a reading taken otherwise."""
        return self.x - 4, self.y - 4


class Tick(Struct, frozen=True):
    """One line of the scale, with its TIR in inches."""

    y: int
    words: str

    @property
    def word_y(self) -> int:
        return self.y + 4


class WearPicture(Struct, frozen=True, kw_only=True):
    """The scale in inches, points, limit, the line with its scatter, the days of a forecast, and the same in words."""

    ticks: tuple[Tick, ...]
    points: tuple[Point, ...]
    limit_y: int | None
    limit_word_y: int | None
    line: tuple[int, int, int, int] | None
    band: str
    forecast: tuple[int, int] | None
    first: date
    last: date
    words: str

    @property
    def forecast_width(self) -> int:
        return max(2, self.forecast[1] - self.forecast[0]) if self.forecast else 0


def picture_of(readings: Sequence[DatedReading], trend: Trend) -> WearPicture:
    """All dated readings, the compared ones told apart. There is at least one."""
    days = [reading.day for reading in readings]
    forecast = trend.forecast
    end = max(days + ([forecast.latest or forecast.likely] if forecast else []))
    scale = _Scale(min(days), end, max([reading.tir for reading in readings] + [trend.limit or Length(0), Length(1)]))
    limit_y = scale.y(trend.limit.nm) if trend.limit else None
    points = tuple(Point(scale.x(reading.day), scale.y(reading.tir.nm), reading in trend.alike) for reading in readings)
    line = _line(trend, scale)
    return WearPicture(
        ticks=_ticks(scale),
        points=points,
        limit_y=limit_y,
        # Under the line where no reading is in the way of the word, at the right.
        limit_word_y=limit_y - 5 if limit_y is not None else None,
        line=line,
        band=_band(trend, scale, line),
        forecast=(scale.x(forecast.earliest), scale.x(forecast.latest or end)) if forecast else None,
        first=min(days),
        last=end,
        words=_words(readings, trend),
    )


class _Scale(Struct, frozen=True):
    first: date
    last: date
    highest: Length

    def x(self, day: date) -> int:
        span = max(1, (self.last - self.first).days)
        return LEFT + (day - self.first).days * (RIGHT - LEFT) // span

    def y(self, nm: int) -> int:
        # A fifth of air above the highest.
        return BOTTOM - nm * (BOTTOM - TOP) * 5 // (self.highest.nm * 6)


def _ticks(scale: _Scale) -> tuple[Tick, ...]:
    step = next((step for step in _STEPS if scale.highest.nm <= MOST_TICKS * step.nm), _STEPS[-1])
    marks = [Length(n * step.nm) for n in range(min(scale.highest.nm // step.nm, 2 * MOST_TICKS) + 1)]
    return tuple(Tick(scale.y(mark.nm), mark.inch_text if mark.nm else "0") for mark in marks)


def _line(trend: Trend, scale: _Scale) -> tuple[int, int, int, int] | None:
    """From the first reading to the last, and on to the likely day where there is a forecast."""
    if trend.slope is None:
        return None
    first = trend.alike[0].day
    last = trend.forecast.likely if trend.forecast else trend.alike[-1].day
    ends = [round(trend.slope.at(day.toordinal())) for day in (first, last)]
    return scale.x(first), scale.y(ends[0]), scale.x(last), scale.y(ends[1])


def _band(trend: Trend, scale: _Scale, line) -> str:
    """The corners of the strip in which half of the readings lie."""
    if line is None:
        return ""
    x1, y1, x2, y2 = line
    half = BOTTOM - scale.y(trend.scatter.nm)
    return f"{x1},{y1 - half} {x2},{y2 - half} {x2},{y2 + half} {x1},{y1 + half}"


def _words(readings: Sequence[DatedReading], trend: Trend) -> str:
    tirs = sorted(reading.tir for reading in readings)
    said = f"{len(readings)} readings from {tirs[0].inch_text} to {tirs[-1].inch_text} in TIR"
    if trend.limit:
        said += f", limit {trend.limit.inch_text} in"
    if trend.forecast:
        said += f"; the limit is forecast for {trend.forecast.words}"
    return said
