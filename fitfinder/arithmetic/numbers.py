"""Exact numbers for the sums of the shop: fractions, and roots and angles to far more places than a tool can hold.

Everything stays a Fraction, so that a sum done there and back gives what went in. A root is cut at forty places;
angles go through the standard library's double precision, some fifteen figures.
"""

from __future__ import annotations

import math
from decimal import Context, Decimal
from fractions import Fraction

PI = Fraction("3.14159265358979323846264338327950288419716939937511")
_PLACES = 10**40
_SHOWN = Context(prec=12)
"""Figures that an answer carries."""


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
    rounded = _SHOWN.divide(Decimal(value.numerator), Decimal(value.denominator))
    text = format(rounded, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def rounded(value: Fraction, places: int) -> str:
    """The number to so many places, half away from zero: `0.1756`."""
    tens = 10**places
    scaled, rest = divmod(abs(value) * tens, 1)
    scaled += rest * 2 >= 1
    whole, decimals = divmod(scaled, tens)
    sign = "-" if value < 0 and scaled else ""
    return f"{sign}{whole}.{decimals:0{places}d}" if places else f"{sign}{whole}"
