"""What is lost and would have been in the place of what is told: it is said there, so that somebody looks for it."""

from __future__ import annotations

from collections.abc import Iterable

from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.collets.collet_choice import LeftOut, chuck_left_out
from fitfinder.holding.job import Job
from fitfinder.holding.method import Method
from fitfinder.holding.methods.collets import COLLET
from fitfinder.holding.methods.jaws import unusable_chucks
from fitfinder.holding.pieces import ColletOnHand, Piece
from fitfinder.holding.stock import Stock
from fitfinder.holding.way import Way
from inventory.reference.kinds import Kind

_BY_A_PIECE = (Method.COLLET, Method.UNIVERSAL_CHUCK, Method.INDEPENDENT_CHUCK)


def lost_collet(left_out: Iterable[LeftOut], stock: Stock, taken: Piece | None) -> LeftOut | None:
    """The lost collet that is nearer to the stock than the one that is taken; any where none is."""
    middle = stock.band.middle_nm
    lost = [item for item in left_out if item.is_lost and item.size is not None]
    if isinstance(taken, ColletOnHand):
        off = abs(taken.size.nominal.nm - middle)
        lost = [item for item in lost if item.size is not None and abs(item.size.nominal.nm - middle) < off]
    return next(iter(lost), None)


def lost_chuck(left_out: Iterable[LeftOut], shown: Iterable[Kind]) -> LeftOut | None:
    """The lost chuck of a kind of which none is shown."""
    kinds = frozenset(shown)
    return next((item for item in left_out if item.is_lost and item.size is None and item.name not in kinds), None)


def lost_beside(way: Way, job: Job, crib: PlanCrib) -> LeftOut | None:
    """What is lost and would have held the job as this way does, which is all here."""
    if not way.is_here or way.hold is None or way.method not in _BY_A_PIECE:
        return None
    if way.by is COLLET:
        # Most books have nothing lost, and the collets are many.
        if not any(piece.is_lost for piece in crib.crib.collets):
            return None
        return lost_collet(COLLET.shortlist(job, crib).left_out, job.stock, way.hold.piece)
    lost = [
        chuck for chuck in unusable_chucks(job, crib.crib.rig) if chuck.is_lost and chuck.kind == way.hold.piece.kind
    ]
    return next(map(chuck_left_out, lost), None)
