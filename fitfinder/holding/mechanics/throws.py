"""Turning off the axis: packing under one jaw, a second pair of center holes."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.eccentric import flat_packing, narrow_packing
from fitfinder.holding.job import Job
from fitfinder.holding.parts import Reason
from inventory.measures.length_words import in_unit, measured
from inventory.measures.lengths import Length
from inventory.reference import holding

PACKED_JAWS = 3
"""In four the packing would have to be on the opposite jaw too, in six nothing is opposite."""


def most_by_packing(across: Length) -> Length:
    """The largest throw of packing: a third of the radius, for light and short work."""
    return Length(int(holding.value("packing.max_throw_share") * across.nm / 2))


def beyond_packing(job: Job) -> Reason | None:
    """Why packing one jaw does not give the throw of this job; None where it does or there is none."""
    if job.throw is None:
        return None
    most = most_by_packing(job.stock.band.smallest)
    if job.throw <= most:
        return None
    return Reason(
        f"a throw of {in_unit(job.throw)} is more than packing one jaw is good for: {measured(most)}, a third of "
        "the radius",
        needs=job.throw,
        has=most,
    )


def packs(job: Job, jaws: int | None) -> bool:
    """Whether a chuck of so many jaws holds this job: off the axis only three do. Not known is given the benefit."""
    return job.throw is None or jaws is None or jaws == PACKED_JAWS


def packing(across: Length, throw: Length) -> tuple[Length, Length]:
    """What goes under one jaw of three: for narrow jaws, and for wide flat ones."""
    narrow = narrow_packing(Fraction(across.nm, 2), Fraction(throw.nm))
    return Length(round(narrow)), Length(round(flat_packing(Fraction(throw.nm))))


def second_centers_reach(throw: Length, mouth: Length) -> Length:
    """How far the outer edge of a center hole off the axis lies from the middle of the end, with the land that has to
    be left outside it."""
    land = holding.length("center.land.si" if mouth.is_metric else "center.land")
    return Length(throw.nm + (mouth.nm + 1) // 2 + land.nm)
