"""What swings: the work, the jaws that hold it, the body of a chuck, over the bed and over the slide."""

from __future__ import annotations

from fitfinder.holding.bearings import typical_jaw_length
from fitfinder.holding.parts import Reason
from fitfinder.holding.pieces import CHUCK_KINDS, LatheOnHand, Piece
from fitfinder.holding.way import Hold
from inventory.measures.lengths import Length, named
from inventory.reference import holding


def swept_by_jaws(hold: Hold | None) -> Length | None:
    """About the circle that open jaws sweep, beyond the work by as much as a step of theirs is long; None where they
    hold from within, or how large the chuck is is not known."""
    if hold is None or hold.is_inside or hold.band is None or hold.piece.kind not in CHUCK_KINDS:
        return None
    across = hold.piece.body or hold.piece.outside_largest
    return None if across is None else hold.band.largest + typical_jaw_length(across) * 2


def body_does_not_swing(piece: Piece, lathe: LatheOnHand | None) -> Reason | None:
    """Why a chuck or plate is too large for the lathe; None where it is not or that is not known."""
    most = lathe.swing_over_bed if lathe is not None else None
    if lathe is None or most is None or piece.body is None or piece.body <= most:
        return None
    words = f"{piece.tag} is {named(piece.body)} in across, and {lathe.name} takes {named(most)} in over the bed"
    return Reason(words, needs=piece.body, has=most)


def clears_by(circle: Length, lathe: LatheOnHand | None) -> Length | None:
    """By how little a circle clears the bed; None where that is enough or not known."""
    most = lathe.swing_over_bed if lathe is not None else None
    if most is None:
        return None
    room = most - circle
    return room if room < holding.length("swing.clearance") else None
