"""Where the readings of a piece stand in their picture. Whole pixels, so no float is made."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from msgspec import Struct

from inventory.inspections.wear import DatedReading, Trend
from inventory.measures.display import now
from inventory.measures.length_words import runout_figures, runout_span, runout_text
from inventory.measures.lengths import Length

WIDTH, HEIGHT = 358, 200
LEFT, RIGHT, TOP, BOTTOM = 56, 344, 22, 176
MOST_TICKS = 5
_STEPS = tuple(Length.inches(Fraction(step, 10_000)) for step in (1, 2, 5, 10, 20, 50, 100, 200))
_MM_STEPS = tuple(Length.mm(Fraction(step, 1000)) for step in (2, 5, 10, 20, 50, 100, 200, 500))
"""From one line of the scale to the next: the first by which few are needed."""


class Point(Struct, frozen=True):
    """Where a reading stands, and whether it is compared."""

    x: int
    y: int
    is_alike: bool


class Tick(Struct, frozen=True):
    """One line of the scale, with its TIR in inches."""

    y: int
    words: str

    @property
    def word_y(self) -> int:
        return self.y + 4


class TrendLine(Struct, frozen=True):
    """From the first reading to the last, and on to the likely day where there is a forecast.

    `strip` has the corners of that in which half of the readings lie.
    """

    x1: int
    y1: int
    x2: int
    y2: int
    strip: str


class ForecastDays(Struct, frozen=True):
    """The days in which the limit is forecast, from the left."""

    x: int
    width: int


class WearPicture(Struct, frozen=True, kw_only=True):
    """The scale in inches, points, limit, the line with its scatter, the days of a forecast, and the same in words."""

    ticks: tuple[Tick, ...]
    points: tuple[Point, ...]
    limit_y: int | None
    line: TrendLine | None
    forecast: ForecastDays | None
    first: date
    last: date
    words: str


def picture_of(readings: Sequence[DatedReading], trend: Trend) -> WearPicture:
    """All dated readings, the compared ones told apart. There is at least one."""
    days = [reading.day for reading in readings]
    ahead = [trend.forecast.latest or trend.forecast.likely] if trend.forecast else []
    highest = max([reading.tir for reading in readings] + [trend.limit or Length(0), Length(1)])
    scale = _Scale(min(days), max(days + ahead), highest)
    return WearPicture(
        ticks=_ticks(scale),
        points=tuple(Point(scale.x(one.day), scale.y(one.tir.nm), one in trend.alike) for one in readings),
        limit_y=scale.y(trend.limit.nm) if trend.limit else None,
        line=_line(trend, scale),
        forecast=_forecast_days(trend, scale),
        first=scale.first,
        last=scale.last,
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
    steps = _MM_STEPS if now().runout.is_metric else _STEPS
    step = next((step for step in steps if scale.highest.nm <= MOST_TICKS * step.nm), steps[-1])
    marks = [Length(n * step.nm) for n in range(min(scale.highest.nm // step.nm, 2 * MOST_TICKS) + 1)]
    return tuple(Tick(scale.y(mark.nm), runout_figures(mark) if mark.nm else "0") for mark in marks)


def _line(trend: Trend, scale: _Scale) -> TrendLine | None:
    if trend.slope is None or trend.scatter is None:
        return None
    first = trend.alike[0].day
    last = trend.forecast.likely if trend.forecast else trend.alike[-1].day
    (x1, y1), (x2, y2) = ((scale.x(day), scale.y(round(trend.slope.at(day.toordinal())))) for day in (first, last))
    half = BOTTOM - scale.y(trend.scatter.nm)
    strip = f"{x1},{y1 - half} {x2},{y2 - half} {x2},{y2 + half} {x1},{y1 + half}"
    return TrendLine(x1, y1, x2, y2, strip)


def _forecast_days(trend: Trend, scale: _Scale) -> ForecastDays | None:
    if trend.forecast is None:
        return None
    earliest, latest = scale.x(trend.forecast.earliest), scale.x(trend.forecast.latest or scale.last)
    return ForecastDays(earliest, max(2, latest - earliest))


def _words(readings: Sequence[DatedReading], trend: Trend) -> str:
    tirs = sorted(reading.tir for reading in readings)
    words = f"{len(readings)} readings from {runout_span(tirs[0], tirs[-1])} TIR"
    if trend.limit:
        words += f", limit {runout_text(trend.limit)}"
    if trend.forecast:
        words += f"; the limit is forecast for {trend.forecast.words}"
    return words
