"""What swings: the work, the jaws that hold it, the body of a chuck, over the bed and over the slide."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitfinder.holding.pieces import CHUCK_KINDS, LatheOnHand
from fitfinder.holding.rules.bearings import typical_jaw_length
from inventory.measures.lengths import Length
from inventory.reference import holding

if TYPE_CHECKING:
    from fitfinder.holding.way import Hold


def swept_by_jaws(hold: Hold | None) -> Length | None:
    """About the circle that open jaws sweep, beyond the work by as much as a step of theirs is long; None where they
    hold from within, or how large the chuck is is not known."""
    if hold is None or hold.is_inside or hold.band is None or hold.piece.kind not in CHUCK_KINDS:
        return None
    across = hold.piece.body or hold.piece.outside_largest
    return None if across is None else hold.band.largest + typical_jaw_length(across) * 2


def clears_by(circle: Length, lathe: LatheOnHand | None) -> Length | None:
    """By how little a circle clears the bed; None where that is enough or not known."""
    most = lathe.swing_over_bed if lathe is not None else None
    if most is None:
        return None
    room = most - circle
    return room if room < holding.length("swing.clearance") else None
