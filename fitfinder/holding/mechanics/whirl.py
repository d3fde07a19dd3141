"""At what speed a turning bar whirls: the slender beam of Euler, as it is carried.

Lengths are in inches, speeds in turns in a minute. A bow of the bar grows without end at its critical speed; half of
that is counted as safe, where a bow grows by a third.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from fitfinder.arithmetic.quantities import PI, root
from inventory.measures.lengths import NM_PER_INCH
from inventory.measures.masses import UG_PER_LB
from inventory.reference import holding
from inventory.reference.materials import Material

GRAVITY = Fraction("9.80665") / Fraction("0.0254")
"""In inches a second, each second."""


class Carried(StrEnum):
    """How its ends are held; the value names its figure."""

    OVERHUNG = "overhung"
    SIMPLY = "simply_carried"
    CHUCK_AND_CENTER = "chuck_and_center"
    GRIPPED = "both_gripped"


def sound_speed(material: Material) -> Fraction | None:
    """How fast sound runs along a bar of it, √(E/ρ), in inches a second; None where no modulus is on file."""
    if material.modulus is None:
        return None
    density = material.density * NM_PER_INCH**3 / UG_PER_LB
    return root(material.modulus * GRAVITY / density)


def critical_rpm(
    carried: Carried, *, outside: Fraction, length: Fraction, sound: Fraction, bore: Fraction = Fraction(0)
) -> Fraction:
    """(30/π) λ² (d/4) c / L², of tube with √(D² + d²) for d."""
    across = root(outside**2 + bore**2) if bore else outside
    return 30 / PI * holding.value(f"whirl.lambda2.{carried}") * across / 4 * sound / length**2


def safe_rpm(
    carried: Carried, *, outside: Fraction, length: Fraction, sound: Fraction, bore: Fraction = Fraction(0)
) -> int:
    """The speed to stay under, whole turns rounded down."""
    critical = critical_rpm(carried, outside=outside, length=length, sound=sound, bore=bore)
    return int(holding.value("whirl.share_of_critical") * critical)


def longest_at(
    carried: Carried, rpm: Fraction, *, outside: Fraction, sound: Fraction, bore: Fraction = Fraction(0)
) -> Fraction:
    """The length whose safe speed this is."""
    of_one_inch = critical_rpm(carried, outside=outside, length=Fraction(1), sound=sound, bore=bore)
    return root(holding.value("whirl.share_of_critical") * of_one_inch / rpm)


def growth(share: Fraction) -> Fraction:
    """How many times a bow grows at this share of the critical speed."""
    return 1 / (1 - share**2)
