"""Whether a knurl tracks: the circumference holds a whole number of its teeth, or the second turn cuts new ones."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from fitfinder.arithmetic.quantities import PI
from inventory.measures.lengths import Length

STRAIGHT = "straight"
_COS_30 = Fraction("0.866025403784438646763723170752936183")
"""Of 30 degrees, at which the teeth of most angled wheels stand."""
NEAR = Fraction(1, 8)
"""Of a tooth: nearer to a whole number the wheel finds its own teeth again (common practice, no source)."""


class Tracking(Struct, frozen=True, kw_only=True):
    """How a wheel goes around a blank; `teeth` is the nearest whole number, and `diameter` the blank that has it."""

    teeth: int
    diameter: Length
    off: Fraction
    """How much of a tooth the blank as it is has too many, or with a minus too few."""

    @property
    def tracks(self) -> bool:
        return abs(self.off) <= NEAR


def is_straight(pattern: str) -> bool:
    """Also where it is not said."""
    return pattern in ("", STRAIGHT)


def pitch_around(pitch: Length, pattern: str) -> Fraction:
    """From tooth to tooth around the blank, in nanometres: the pitch of a straight wheel, more of an angled one, as its
    pitch is measured across the teeth."""
    return Fraction(pitch.nm) if is_straight(pattern) else pitch.nm / _COS_30


def tracking(diameter: Length, pitch: Length, pattern: str) -> Tracking:
    around = pitch_around(pitch, pattern)
    exact = PI * diameter.nm / around
    teeth = max(1, round(exact))
    return Tracking(teeth=teeth, diameter=Length(round(teeth * around / PI)), off=exact - teeth)
