"""Exact numbers, and values with their unit.

Inside a sum everything is a Fraction, in the unit that its `Measure` counts in, so that a sum done there and back gives
what went in. A root is cut at forty places; angles go through the standard library's double precision, some fifteen
figures. A `Quantity` keeps the unit in which it was given, so that the answer can be in the same system.

What a unit is worth is said by pint, in fractions. It takes most of a second to load and is loaded by the first sum
with a unit; its own cache on disk would halve that, and be one more folder for a shop to own.
"""

from __future__ import annotations

import math
from decimal import Context, Decimal
from enum import Enum
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    import pint

PI = Fraction("3.14159265358979323846264338327950288419716939937511")
_PLACES = 10**40
_FIGURES = Context(prec=12)
"""What an answer carries."""


class Measure(Enum):
    """What a key measures: how a sentence names it, and its units.

    `inch` and `metric` are the unit of a bare number and of an answer in either system, `counted` the one in which a
    sum counts. None is a plain number.
    """

    LENGTH = "a length", "in", "mm", "m"
    READING = "an indicator reading", "in", "mm", "m"
    FORCE = "a force", "lbf", "N", "N"
    MASS = "a weight", "lb", "kg", "kg"
    SURFACE_SPEED = "a surface speed", "ft/min", "m/min", "m/s"
    STIFFNESS = "a modulus of elasticity", "psi", "MPa", "Pa"
    DENSITY = "a density", "lb/in^3", "kg/m^3", "kg/m^3"
    SPEED = "a speed in rpm", "rpm", "rpm", "rpm"
    ANGLE = "an angle", "deg", "deg", "deg"
    TAPER = "a taper per foot", "in/ft", "in/ft", None
    RATIO = "a ratio", None, None, None
    COUNT = "a whole number", None, None, None
    WORD = "a word", None, None, None

    def __init__(self, words: str, inch: str | None, metric: str | None, counted: str | None) -> None:
        self.words, self.inch, self.metric, self.counted = words, inch, metric, counted

    def unit(self, *, metric: bool) -> str | None:
        return self.metric if metric else self.inch


class Quantity(Struct, frozen=True):
    """A number in a unit of its measure, written as the answers write it; None where it has no unit."""

    value: Fraction
    unit: str | None
    measure: Measure

    @classmethod
    def of(cls, counted: Fraction, measure: Measure, *, metric: bool = False) -> Quantity:
        """From the unit that a sum counts in, told in inches or millimetres and what goes with them."""
        unit = measure.unit(metric=metric)
        return cls(counted * worth(measure.counted, unit), unit, measure)

    @property
    def counted(self) -> Fraction:
        """In the unit that a sum counts in."""
        return self.value * worth(self.unit, self.measure.counted)

    @property
    def is_metric(self) -> bool:
        """Whether its unit is the metric one of two."""
        return self.unit == self.measure.metric != self.measure.inch

    @property
    def text(self) -> str:
        """All figures that an answer carries: `0.175640997384`."""
        return plain(self.value)

    @property
    def short(self) -> str:
        """For a person: lengths as far as a shop can measure, anything else to about five figures."""
        number = self._length_figures if self.unit in ("in", "mm") else five_figures(self.value)
        if self.unit is None:
            return number
        return f"{number}°" if self.unit == "deg" else f"{number} {self.unit.replace('^3', '³')}"

    @property
    def _length_figures(self) -> str:
        places = 4 if self.unit == "in" else 3
        # How far a bar gives way wants figures even where nothing could measure them.
        is_tiny = 0 < abs(self.value) < Fraction(10, 10**places)
        return rounded(self.value, places + 2 if is_tiny else places)

    @property
    def other(self) -> Quantity | None:
        """The same in the other system; None where there is only one."""
        if self.measure.inch == self.measure.metric:
            return None
        return Quantity.of(self.counted, self.measure, metric=not self.is_metric)

    @property
    def both(self) -> str:
        """`0.1756 in (4.461 mm)`."""
        return f"{self.short} ({self.other.short})" if self.other else self.short


@cache
def registry() -> pint.UnitRegistry[Fraction]:
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


@lru_cache(maxsize=256)
def worth(unit: str | None, other: str | None) -> Fraction:
    """How many of the `other` unit one `unit` is, exactly. Raises pint.PintError where they do not measure the same."""
    if unit == other:
        return Fraction(1)
    return Fraction(registry().Quantity(Fraction(1), unit or "").m_as(other or ""))


def root(value: Fraction) -> Fraction:
    """The square root of a number not below zero."""
    return Fraction(math.isqrt(value.numerator * value.denominator * _PLACES**2), value.denominator * _PLACES)


def tan_degrees(angle: Fraction) -> Fraction:
    """The tangent of an angle above 0 and below 90 degrees."""
    return Fraction(math.tan(math.radians(angle)))


def atan_degrees(value: Fraction) -> Fraction:
    """The angle in degrees whose tangent is `value`."""
    return Fraction(math.degrees(math.atan(value)))


def plain(value: Fraction) -> str:
    """The number in figures without an exponent: all of them to twelve significant ones, no zeros behind."""
    return _without_zeros(format(_FIGURES.divide(Decimal(value.numerator), Decimal(value.denominator)), "f"))


def five_figures(value: Fraction) -> str:
    """To about five figures, no zeros behind: `381.97`, `0.2836`."""
    digits = len(str(int(abs(value))))
    return _without_zeros(rounded(value, max(0, 5 - digits) if abs(value) >= 1 else 5))


def rounded(value: Fraction, places: int) -> str:
    """The number to so many places, half away from zero: `0.1756`."""
    tens = 10**places
    scaled, rest = divmod(abs(value) * tens, 1)
    scaled += rest * 2 >= 1
    units, decimals = divmod(scaled, tens)
    sign = "-" if value < 0 and scaled else ""
    return f"{sign}{units}.{decimals:0{places}d}" if places else f"{sign}{units}"


def _without_zeros(number: str) -> str:
    return number.rstrip("0").rstrip(".") if "." in number else number
