"""How a taper is turned: by the compound as far as it travels, by setting the tailstock over, by an attachment.

A taper is a plain number here: so much on diameter for each unit of length, 1/20 for 1 in 20.
"""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.quantities import root
from fitfinder.holding.pieces import LatheOnHand
from inventory.measures.lengths import Length
from inventory.reference import holding


def sine(taper: Fraction) -> Fraction:
    """Of the angle between the side of a taper and its axis, whose tangent is half the taper."""
    half = taper / 2
    return half / root(1 + half**2)


def cosine(taper: Fraction) -> Fraction:
    return 1 / root(1 + (taper / 2) ** 2)


def set_over(length: Length, taper: Fraction) -> Length:
    """How far the tailstock goes over for it: L sin α, L the whole length between the centers."""
    return Length(round(length.nm * sine(taper)))


def compound_reach(travel: Length, taper: Fraction) -> Length:
    """How long a taper the compound turns in one go, along the axis: its travel times cos α."""
    return Length(int(travel.nm * cosine(taper)))


def is_plain(taper: Fraction) -> bool:
    """Whether plain centers bear a set-over of this taper."""
    return sine(taper) <= holding.value("setover.plain_share")


def is_for_balls(taper: Fraction) -> bool:
    """Whether ball centers or bell-mouthed holes bear it."""
    return sine(taper) <= holding.value("setover.ball_share")


def is_for_attachment(taper: Fraction) -> bool:
    """Whether a taper attachment goes so far: given in inches per foot."""
    return taper * 12 <= holding.value("attachment.max_taper")


def lot_error(off: Fraction, length: Fraction) -> Fraction:
    """By what share a set-over taper is off in a part that is so much longer: taper times length stays the same."""
    return off / length


def travel_of_compound(lathe: LatheOnHand | None) -> tuple[Length, bool]:
    """How far the compound travels, and whether that is taken from the lathe's size and not written down."""
    if lathe is not None and lathe.compound_travel is not None:
        return lathe.compound_travel, False
    return _by_swing("compound.travel", lathe), True


def travel_of_tailstock(lathe: LatheOnHand | None) -> tuple[Length, bool]:
    """How far the tailstock sets over to one side, and whether that is taken from the lathe's size."""
    if lathe is not None and lathe.set_over is not None:
        return lathe.set_over, False
    return _by_swing("setover.tailstock", lathe), True


_SMALL = Length.inches(10)
"""The swing to which the smaller figure counts."""


def _by_swing(key: str, lathe: LatheOnHand | None) -> Length:
    """The default of a small or a larger lathe; of one whose swing nobody knows that of the small one."""
    is_large = lathe is not None and lathe.swing_over_bed is not None and lathe.swing_over_bed > _SMALL
    return holding.length(f"{key}.{'16in' if is_large else '10in'}")
