"""The wear of one piece: readings over time, and when they will reach the limit, where the readings carry that.

Only readings taken alike are compared: on the same holder, lathe and pin, and at the same distance. The slope is
that of Theil and Sen: the middle one of the slopes of all pairs, which one mistyped reading does not turn. Its
limits are Sen's (1968), by Kendall's count of pairs. All in whole nanometres, days and fractions; no float is made.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from fractions import Fraction
from math import isqrt, lcm

from msgspec import Struct

from inventory.measures.day_words import shown as day_shown
from inventory.measures.length_words import measured
from inventory.measures.lengths import Length

FEWEST_READINGS = 5
"""Five that only rise do so by chance once in 60 times (2 in 5!), four once in 12: too often for a 95 % limit."""
SHORTEST_SPAN = timedelta(days=60)
"""Working figure, no source: in less time an indicator's own scatter is as large as wear."""
_OF_THE_NORMAL = Fraction("1.959963984540054")
"""The normal distribution's limit of 95 % on two sides (any statistical table)."""
_FARTHEST = timedelta(days=10 * 365)


class HowTaken(Struct, frozen=True, kw_only=True):
    """On what a reading was taken; what was not said is empty. `distance` is None at the nose."""

    is_bare: bool = False
    holder: str = ""
    lathe: str = ""
    pin: Length | None = None
    distance: Length | None = None

    @property
    def says_what_held_it(self) -> bool:
        """Whether it says what the piece sat in: a pin or a distance alone tells nothing of that."""
        return bool(self.is_bare or self.holder or self.lathe)

    @property
    def words(self) -> str:
        parts = [
            "bare" if self.is_bare else f"in {self.holder}" if self.holder else "",
            f"on {self.lathe}" if self.lathe else "",
            f"pin {measured(self.pin)}" if self.pin else "",
            f"{measured(self.distance)} from the nose" if self.distance else "",
        ]
        return ", ".join(part for part in parts if part) or "not said on what"


class DatedReading(Struct, frozen=True):
    day: date
    tir: Length
    taken: HowTaken


class Slope(Struct, frozen=True, kw_only=True):
    """A line through points: nanometres a day, with the limits of 95 %, through (`day`, `level`) as medians."""

    middle: Fraction
    low: Fraction
    high: Fraction
    day: Fraction
    level: Fraction

    def at(self, day: int) -> Fraction:
        return self.level + self.middle * (day - self.day)

    @property
    def a_year(self) -> Length:
        """The change in a year of 365 days, to the nanometre."""
        return Length(round(self.middle * 365))


class Forecast(Struct, frozen=True, kw_only=True):
    """When the limit will be reached: by the steepest, the middle and the flattest slope that the readings allow.

    `latest` is None where that is more than ten years away.
    """

    earliest: date
    likely: date
    latest: date | None

    @property
    def words(self) -> str:
        if self.latest is None:
            return f"{day_shown(self.earliest)} at the earliest, about {day_shown(self.likely)}, no latest day known"
        return f"{day_shown(self.earliest)} to {day_shown(self.latest)}, about {day_shown(self.likely)}"


class Trend(Struct, frozen=True, kw_only=True):
    """What readings taken alike say. `why_not` is the reason where there is no forecast, else empty.

    `otherwise` counts the readings that are not compared; `reads` is what the piece reads now, however it was taken.
    """

    alike: tuple[DatedReading, ...]
    otherwise: int
    limit: Length | None
    reads: Length | None = None
    slope: Slope | None = None
    forecast: Forecast | None = None
    why_not: str = ""

    @property
    def scatter(self) -> Length | None:
        """How far from the line half of the readings lie at most."""
        slope = self.slope
        if slope is None:
            return None
        off = [abs(reading.tir.nm - slope.at(reading.day.toordinal())) for reading in self.alike]
        return Length(round(_median(off)))

    @property
    def is_over(self) -> bool:
        """By the newest reading: an older one may have been a chip in the bore, or another holder."""
        newest = self.reads if self.reads is not None else self.alike[-1].tir if self.alike else None
        return bool(self.alike) and self.limit is not None and newest is not None and newest > self.limit


def trend(readings: Iterable[DatedReading], *, limit: Length | None, reads: Length | None = None) -> Trend:
    """The trend of the largest group of readings taken alike, oldest first.

    Of readings of one day the newer comes before the older. `reads` is what the piece reads now, however it was taken:
    what is over its limit has no forecast.
    """
    readings = list(readings)
    alike = _largest_group(readings)
    otherwise = len(readings) - len(alike)
    why_not = _too_little(readings, alike)
    if why_not:
        return Trend(alike=alike, otherwise=otherwise, limit=limit, reads=reads, why_not=why_not)
    slope = theil_sen([(reading.day.toordinal(), reading.tir.nm) for reading in alike])
    forecast, why_not = _forecast(alike, slope, limit=limit)
    if limit is not None and reads is not None:
        if reads > limit and forecast:
            forecast, why_not = None, "it reads over its limit already"
        elif reads <= limit < alike[-1].tir:
            why_not = "the last of the readings taken alike is over the limit, the newest reading is not"
    return Trend(
        alike=alike, otherwise=otherwise, limit=limit, reads=reads, slope=slope, forecast=forecast, why_not=why_not
    )


def theil_sen(points: Sequence[tuple[int, int]]) -> Slope:
    """The middle slope of all pairs and its limits of 95 %. Raises ValueError unless two points differ in x."""
    pairs = [(x2 - x1, y2 - y1) for place, (x1, y1) in enumerate(points) for x2, y2 in points[place + 1 :] if x1 != x2]
    if not pairs:
        raise ValueError("A slope needs two points that differ in x.")
    # Over one denominator, since whole numbers are put in order far faster than fractions.
    below = lcm(*(across for across, _ in pairs))
    slopes = sorted(up * (below // across) for across, up in pairs)
    half = _half_width(points, widest=len(slopes))
    low = max(round((len(slopes) - half) / 2) - 1, 0)
    high = min(round((len(slopes) + half) / 2), len(slopes) - 1)
    return Slope(
        middle=_median(slopes) / below,
        low=Fraction(slopes[low], below),
        high=Fraction(slopes[high], below),
        day=_median([x for x, _ in points]),
        level=_median([y for _, y in points]),
    )


def _half_width(points: Sequence[tuple[int, int]], *, widest: int) -> Fraction:
    """By how many places in the row of slopes the limits are apart: 1.96 times Kendall's spread, ties counted off.

    Where ties leave nothing to count, the limits are as wide as they can be.
    """
    count = len(points)
    ties = [times for axis in zip(*points, strict=True) for times in Counter(axis).values() if times > 1]
    variance = Fraction(_pairs_spread(count) - sum(_pairs_spread(times) for times in ties), 18)
    if variance <= 0:
        return Fraction(widest)
    square = variance * _OF_THE_NORMAL**2
    finer = 10**15
    return Fraction(isqrt(square.numerator * finer**2 // square.denominator), finer)


def _pairs_spread(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)


def _median(values: Sequence[Fraction | int]) -> Fraction:
    row = sorted(values)
    return Fraction(row[(len(row) - 1) // 2] + row[len(row) // 2], 2)


def _largest_group(readings: list[DatedReading]) -> tuple[DatedReading, ...]:
    groups: dict[HowTaken, list[DatedReading]] = defaultdict(list)
    for reading in readings:
        if reading.taken.says_what_held_it:
            groups[reading.taken].append(reading)
    if not groups:
        return ()

    def weight(taken: HowTaken) -> tuple[int, date, bool, str]:
        return len(groups[taken]), max(reading.day for reading in groups[taken]), taken.distance is None, taken.words

    oldest_first = groups[max(groups, key=weight)][::-1]
    return tuple(sorted(oldest_first, key=lambda reading: reading.day))


def _too_little(readings: list[DatedReading], alike: tuple[DatedReading, ...]) -> str:
    if not readings:
        return "no dated readings yet"
    if not alike:
        if len(readings) == 1:
            return "the one reading does not say on what it was taken"
        return "the readings do not say on what they were taken"
    if len(alike) < FEWEST_READINGS:
        return f"only {_readings_in_words(len(alike))} taken alike; it takes {FEWEST_READINGS}"
    days = len({reading.day for reading in alike})
    if days < FEWEST_READINGS:
        return f"the readings taken alike are of only {days} days; it takes {FEWEST_READINGS}"
    span = alike[-1].day - alike[0].day
    if span < SHORTEST_SPAN:
        return f"the readings taken alike span only {span.days} days; it takes {SHORTEST_SPAN.days}"
    return ""


def _readings_in_words(count: int) -> str:
    return f"{count} reading" + ("" if count == 1 else "s")


def _forecast(alike: tuple[DatedReading, ...], slope: Slope, *, limit: Length | None) -> tuple[Forecast | None, str]:
    if limit is None:
        return None, "no limit is set for such a piece"
    if alike[-1].tir > limit:
        return None, "it reads over its limit already"
    if slope.low <= 0:
        return None, "no wear beyond the scatter"
    first, last = alike[0].day, alike[-1].day
    earliest, likely, latest = (_day_reached(slope, rate, limit) for rate in (slope.high, slope.middle, slope.low))
    if earliest is None or likely is None or likely - last > last - first:
        return None, "at this rate the limit is further ahead than the readings go back"
    # The last reading is not over the limit, whatever the line says.
    earliest, likely = max(earliest, last), max(likely, last)
    return Forecast(earliest=min(earliest, likely), likely=likely, latest=latest and max(latest, likely)), ""


def _day_reached(slope: Slope, rate: Fraction, limit: Length) -> date | None:
    """The day on which a line of this rate through the middle of the readings is at the limit; None after ten years."""
    days = (limit.nm - slope.level) / rate
    if days > _FARTHEST.days:
        return None
    return date.fromordinal(round(slope.day + days))
