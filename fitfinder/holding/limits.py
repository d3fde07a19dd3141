"""What every lathe sets limits to alike: the swing of the work, its length, the bar that is fed through."""

from __future__ import annotations

from collections.abc import Iterable

from fitfinder.holding.job import Job
from fitfinder.holding.parts import Reason
from fitfinder.holding.pieces import LatheOnHand, Piece
from inventory.measures.lengths import Length, named


def on_a_face(job: Job, lathe: LatheOnHand | None) -> Reason | None:
    """Why the lathe cannot swing the work at all, nor pass the bar that is to be fed through its spindle; None where
    it can or that is not known."""
    if lathe is None:
        return None
    if job.is_fed and lathe.spindle_bore is not None and job.circle > lathe.spindle_bore:
        return Reason(
            f"{_bar(job)} does not pass the spindle of {lathe.name}, {named(lathe.spindle_bore)} in",
            needs=job.circle,
            has=lathe.spindle_bore,
        )
    if lathe.swing_over_bed is not None and job.swing > lathe.swing_over_bed:
        return Reason(
            f"it swings {named(job.swing)} in, and {lathe.name} takes {named(lathe.swing_over_bed)} in over the bed",
            needs=job.swing,
            has=lathe.swing_over_bed,
        )
    return None


def over_the_slide(job: Job, lathe: LatheOnHand | None) -> Reason | None:
    """Why work that lies over the cross slide for its whole length does not clear it."""
    most = lathe.swing_over_slide if lathe else None
    if lathe is not None and most is not None and job.swing > most:
        return Reason(
            f"it swings {named(job.swing)} in, and {lathe.name} takes {named(most)} in over the cross slide",
            needs=job.swing,
            has=most,
        )
    return too_long(job, lathe)


def too_long(job: Job, lathe: LatheOnHand | None) -> Reason | None:
    """Why the work does not go between the centers of this lathe; None where it does or that is not known."""
    most = lathe.between_centers if lathe else None
    if lathe is None or most is None or job.length is None or job.length <= most:
        return None
    return Reason(
        f"{named(job.length)} in is longer than the {named(most)} in between the centers of {lathe.name}",
        needs=job.length,
        has=most,
    )


def not_through(job: Job, pieces: Iterable[Piece]) -> Reason | None:
    """Why bar that is fed does not pass one of these pieces; None where it does or that is not known."""
    for piece in pieces:
        hole = Length(0) if piece.is_solid else piece.through
        if hole is not None and hole < job.circle:
            size = "which is solid" if piece.is_solid else f"{named(hole)} in"
            return Reason(f"{_bar(job)} does not pass {piece.tag}, {size}", needs=job.circle, has=hole)
    return None


def slide_in_the_way(job: Job, lathe: LatheOnHand | None) -> list[Reason]:
    """What is told of work that clears the bed and not the cross slide, where it is held at one end."""
    most = lathe.swing_over_slide if lathe else None
    if most is None or job.swing <= most:
        return []
    return [
        Reason(
            f"the cross slide clears {named(most)} in only: keep it out from under the work", needs=job.swing, has=most
        )
    ]


def _bar(job: Job) -> str:
    """The bar by what has to pass: flats are told with the corners that decide."""
    size = named(job.stock.band.largest)
    if not job.is_flat_sided:
        return f"bar of {size} in"
    return f"{job.shape} bar, {job.circle.inch_text} in across its corners,"
