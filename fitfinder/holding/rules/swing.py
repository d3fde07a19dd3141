"""What swings: the work, the jaws that hold it, the body of a chuck, over the bed and over the slide."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitfinder.holding.pieces import CHUCK_KINDS, LatheOnHand
from fitfinder.holding.rules.bearings import typical_jaw_length
from inventory.measures.length_words import in_unit
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


def jaws_stay_inside(body: Length) -> Length:
    """The largest work that open jaws of a chuck of this body hold without reaching beyond it, as `swept_by_jaws`."""
    return body - typical_jaw_length(body) * 2


def clears_by(circle: Length, lathe: LatheOnHand | None) -> Length | None:
    """By how little a circle clears the bed, or its gap; None where that is enough or not known."""
    most = _most(circle, lathe)
    if most is None:
        return None
    room = most - circle
    return room if room < holding.length("swing.clearance") else None


def under(circle: Length, lathe: LatheOnHand) -> str:
    """What is below it: `bed` or `gap`."""
    return "bed" if _most(circle, lathe) == lathe.swing_over_bed else "gap"


def room_in_words(circle: Length, lathe: LatheOnHand) -> str:
    """`13 in over the bed`."""
    most = in_unit(_most(circle, lathe) or circle)
    return f"{most} {'over the bed' if under(circle, lathe) == 'bed' else 'in its gap'}"


def _most(circle: Length, lathe: LatheOnHand | None) -> Length | None:
    """What the bed does not clear turns in the gap, where there is one."""
    bed = lathe.swing_over_bed if lathe is not None else None
    if lathe is None or bed is None or circle <= bed:
        return bed
    return lathe.gap_swing or bed
