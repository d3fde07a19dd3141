"""What lies on a center: half of the work, against what the center is rated for.

Above so much at one end, common practice, it wants a live center of that rating or a steady.
"""

from __future__ import annotations

from fractions import Fraction

from fitfinder.holding.job import Job
from fitfinder.holding.mechanics.weights import of_work
from fitfinder.holding.parts import NO_PARTS, Parts, Reason
from fitfinder.holding.pieces import LatheOnHand, Piece
from inventory.measures import amounts, masses
from inventory.reference import holding
from inventory.reference.kinds import Kind

_TURNING = (Kind.LIVE_CENTER, Kind.BULL_NOSE_CENTER, Kind.EXTENDED_POINT_CENTER)


def on_each_end(job: Job, lathe: LatheOnHand | None) -> Fraction | None:
    """In pounds; None where nobody knows what the work weighs."""
    weight = of_work(job, lathe)
    return None if weight is None else weight.lb / 2


def carries(center: Piece, each: Fraction | None) -> bool:
    """Whether it is not known to be rated for less."""
    return each is None or center.load_ug is None or _rated(center.load_ug) >= each


def of_the_work(center: Piece, each: Fraction | None) -> Parts:
    """What is said of the load on this center; nothing where it is light, or where the center is rated for it."""
    if each is None:
        return NO_PARTS
    carried, most = f"each end carries {amounts.weight(round(each))}", holding.value("center.max_each_end")
    if not carries(center, each):
        rated = amounts.weight(round(_rated(center.load_ug or 0)))
        return Parts(but=(Reason(f"{carried}, and {center.tag} is rated for {rated}: a steady carries the rest"),))
    if each <= most or center.load_ug is not None:
        return NO_PARTS
    above = f"{carried}, more than {amounts.weight(most)}"
    if center.kind in _TURNING:
        return Parts(doubts=(Reason(f"{above}: see what {center.tag} is rated for, it is not filled in"),))
    return Parts(but=(Reason(f"{above}: a live center of that rating or a steady carries it, not {center.tag}"),))


def _rated(load_ug: int) -> Fraction:
    return Fraction(load_ug, masses.UG_PER_LB)
