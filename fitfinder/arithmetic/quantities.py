"""A value with its unit.

Inside a sum everything is in metres, newtons, kilograms, seconds and pascals; a `Quantity` keeps the unit in which it
was given, so that the answer can be in the same system.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from msgspec import Struct

from fitfinder.arithmetic.numbers import plain, rounded


class Kind(StrEnum):
    """What a key measures, as a sentence can name it."""

    LENGTH = "a length"
    READING = "an indicator reading"
    FORCE = "a force"
    MASS = "a weight"
    SURFACE_SPEED = "a surface speed"
    STIFFNESS = "a modulus of elasticity"
    DENSITY = "a density"
    SPEED = "a speed in rpm"
    ANGLE = "an angle"
    RATIO = "a ratio"
    TAPER = "a taper per foot"
    COUNT = "a whole number"
    WORD = "a word"


_FOOT = Fraction("0.3048")
_POUND = Fraction("0.45359237")
_POUND_FORCE = _POUND * Fraction("9.80665")
_INCH = _FOOT / 12
# The international inch and pound of 1959, and the standard fall of gravity of 1901 (9.80665 m/s²).
PER_UNIT = {
    "in": _INCH,
    "mm": Fraction(1, 1000),
    "lbf": _POUND_FORCE,
    "N": Fraction(1),
    "lb": _POUND,
    "kg": Fraction(1),
    "ft/min": _FOOT / 60,
    "m/min": Fraction(1, 60),
    "psi": _POUND_FORCE / _INCH**2,
    "MPa": Fraction(10**6),
    "lb/in^3": _POUND / _INCH**3,
    "kg/m^3": Fraction(1),
    "rpm": Fraction(1),
    "deg": Fraction(1),
    "in/ft": Fraction(1, 12),
    None: Fraction(1),
}
UNITS = {
    Kind.LENGTH: ("in", "mm"),
    Kind.READING: ("in", "mm"),
    Kind.FORCE: ("lbf", "N"),
    Kind.MASS: ("lb", "kg"),
    Kind.SURFACE_SPEED: ("ft/min", "m/min"),
    Kind.STIFFNESS: ("psi", "MPa"),
    Kind.DENSITY: ("lb/in^3", "kg/m^3"),
    Kind.SPEED: ("rpm", "rpm"),
    Kind.ANGLE: ("deg", "deg"),
    Kind.TAPER: ("in/ft", "in/ft"),
    Kind.RATIO: (None, None),
}
"""The unit of each kind, in inches and in millimetres: what a bare number is in, and what an answer is in."""


class Quantity(Struct, frozen=True):
    """A number in its unit; `unit` is one of `PER_UNIT`, None where the number has none."""

    value: Fraction
    unit: str | None = None

    @classmethod
    def of(cls, base: Fraction, unit: str | None) -> Quantity:
        """From metres, newtons, kilograms, seconds or pascals, told in `unit`."""
        return cls(base / PER_UNIT[unit], unit)

    @property
    def base(self) -> Fraction:
        return self.value * PER_UNIT[self.unit]

    @property
    def is_metric(self) -> bool:
        """Whether its unit is the metric one of two."""
        return any(self.unit == metric != inch for inch, metric in UNITS.values())

    @property
    def text(self) -> str:
        """All figures that an answer carries: `0.175640997384`."""
        return plain(self.value)

    @property
    def short(self) -> str:
        """For a person: lengths as far as a shop can measure, anything else to about five figures."""
        if self.unit in ("in", "mm"):
            places = 4 if self.unit == "in" else 3
            # How far a bar gives way wants figures even where nothing could measure them.
            is_tiny = 0 < abs(self.value) < Fraction(10, 10**places)
            number = rounded(self.value, places + 2 if is_tiny else places)
        else:
            whole = len(str(int(abs(self.value))))
            number = rounded(self.value, max(0, 5 - whole) if abs(self.value) >= 1 else 5)
            number = number.rstrip("0").rstrip(".") if "." in number else number
        if self.unit == "deg":
            return f"{number}°"
        return f"{number} {_SPOKEN.get(self.unit, self.unit)}" if self.unit else number

    @property
    def other(self) -> Quantity | None:
        """The same in the other system; None where there is only one."""
        for inch, metric in UNITS.values():
            if inch != metric and self.unit in (inch, metric):
                return Quantity.of(self.base, metric if self.unit == inch else inch)
        return None

    @property
    def both(self) -> str:
        """`0.1756 in (4.461 mm)`."""
        return f"{self.short} ({self.other.short})" if self.other else self.short


_SPOKEN = {"lb/in^3": "lb/in³", "kg/m^3": "kg/m³"}


def unit_of(kind: Kind, *, metric: bool) -> str | None:
    return UNITS[kind][metric]
