"""What every lathe sets limits to alike: the swing of the work, its length, the bar that is fed through."""

from __future__ import annotations

from msgspec.structs import replace

from fitfinder.holding.job import Job
from fitfinder.holding.parts import Reason
from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.holding.rules.passage import bar, chuck_length
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import NM_PER_INCH, NM_PER_MM, Length
from inventory.reference import holding


def on_a_face(job: Job, lathe: LatheOnHand | None) -> Reason | None:
    """Why the lathe cannot swing the work at all, has no room for its length, or does not pass bar that is to be fed
    through its spindle; None where it can or that is not known."""
    if lathe is None:
        return None
    if job.is_fed and lathe.spindle_bore is not None and job.circle > lathe.spindle_bore:
        return Reason(
            f"{bar(job)} does not pass the spindle of {lathe.name}, {in_unit(lathe.spindle_bore)}",
            needs=job.circle,
            has=lathe.spindle_bore,
        )
    if lathe.swing_over_bed is not None and job.swing > lathe.swing_over_bed:
        return _beyond_the_gap(job, lathe, lathe.swing_over_bed)
    return beyond_the_bed(job, lathe)


def _beyond_the_gap(job: Job, lathe: LatheOnHand, over_bed: Length) -> Reason | None:
    """Why work that the bed does not clear does not turn in its gap either: too large for it, or too long."""
    if lathe.gap_swing is None or job.swing > lathe.gap_swing:
        most, where = over_bed, "over the bed"
        if lathe.gap_swing is not None:
            most, where = lathe.gap_swing, "in its gap"
        words = f"it swings {in_unit(job.swing)}, and {lathe.name} takes {in_unit(most)} {where}"
        return Reason(words, needs=job.swing, has=most)
    if lathe.gap_width is not None and job.length is not None and job.length > lathe.gap_width:
        words = (
            f"it swings {in_unit(job.swing)} and is {in_unit(job.length)} long: the gap of {lathe.name} is "
            f"{in_unit(lathe.gap_width)} wide, and over the bed it takes {in_unit(over_bed)}"
        )
        return Reason(words, needs=job.length, has=lathe.gap_width)
    return None


def is_in_the_gap(job: Job, lathe: LatheOnHand | None) -> bool:
    """Whether the bed would be in the way without its gap."""
    return lathe is not None and lathe.swing_over_bed is not None and job.swing > lathe.swing_over_bed


def in_the_gap(job: Job, lathe: LatheOnHand | None) -> list[Reason]:
    """What is told of work that turns in the gap."""
    if lathe is None or lathe.gap_swing is None or not is_in_the_gap(job, lathe):
        return []
    wide = f"no longer than its {in_unit(lathe.gap_width)}" if lathe.gap_width is not None else "short"
    untold = "" if job.length is not None and lathe.gap_width is not None else f", {wide}"
    words = f"it turns in the gap of {lathe.name}{untold}: the slide cannot reach under it, so set the tool out over it"
    return [Reason(words, needs=job.swing, has=lathe.gap_swing)]


def beyond_the_bed(job: Job, lathe: LatheOnHand | None, chuck: Piece | None = None) -> Reason | None:
    """Why work is too long for the bed with a center at its other end, in this chuck or in the shortest that there is;
    None where it is not or that is not known. What passes the spindle may lie in it."""
    centers = lathe.between_centers if lathe else None
    # Of bar that is fed what is too long for the spindle shows behind it, and is told as that.
    if lathe is None or centers is None or job.length is None or job.is_fed:
        return None
    room = _before(centers, chuck)
    if job.stick_out is not None:
        needs, words = job.stick_out, "standing out is"
    elif lathe.spindle_bore is None or job.circle <= lathe.spindle_bore:
        if lathe.spindle_bore is None or lathe.spindle_length is None:
            return None
        room += lathe.spindle_length
        needs, words = job.length, "is"
    else:
        needs, words = job.length, "is"
    if chuck is not None and job.stick_out is None:
        room += job.gripped
    if needs <= room:
        return None
    return Reason(
        f"{in_unit(needs)} {words} longer than the {in_unit(room)} that {lathe.name} has room for",
        needs=needs,
        has=room,
    )


def laid_in_the_spindle(job: Job, lathe: LatheOnHand | None, chuck: Piece) -> tuple[Job, tuple[Reason, ...]]:
    """Work of which no stick-out is told, and that is longer than what the chuck leaves of the bed: it stands out so
    far, and the rest of it lies in the spindle where it passes. With what is said of that."""
    centers, out = lathe.between_centers if lathe else None, job.stands_out
    if lathe is None or centers is None or out is None or job.length is None or job.stick_out is not None:
        return job, ()
    mark = 5 * NM_PER_MM if job.length.is_metric else NM_PER_INCH // 4  # nearer than that nobody slides a bar
    room = Length(_before(centers, chuck).nm // mark * mark)
    passes = lathe.spindle_bore is not None and job.circle <= lathe.spindle_bore
    if out <= room or not passes or beyond_the_bed(job, lathe, chuck) is not None:
        return job, ()
    reason = Reason(f"{in_unit(room)} stand out at most, to the tailstock: the rest lies in the spindle", out, room)
    return replace(job, stick_out=room), (reason,)


def _before(centers: Length, chuck: Piece | None) -> Length:
    """What is left of the bed in front of this chuck."""
    taken = (chuck_length(chuck) if chuck is not None else None) or Length(0)
    return centers + holding.length("bed.center_stands_out") - taken


def over_the_slide(job: Job, lathe: LatheOnHand | None) -> Reason | None:
    """Why work that lies over the cross slide for its whole length does not clear it."""
    most = lathe.swing_over_slide if lathe else None
    if lathe is not None and most is not None and job.swing > most:
        return Reason(
            f"it swings {in_unit(job.swing)}, and {lathe.name} takes {in_unit(most)} over the cross slide",
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
        f"{in_unit(job.length)} is longer than the {in_unit(most)} between the centers of {lathe.name}",
        needs=job.length,
        has=most,
    )


def slide_in_the_way(job: Job, lathe: LatheOnHand | None) -> list[Reason]:
    """What is told of work that clears the bed and not the cross slide, where it is held at one end."""
    most = lathe.swing_over_slide if lathe else None
    if most is None or job.swing <= most:
        return []
    return [
        Reason(
            f"the cross slide clears {in_unit(most)} only: keep it out from under the work", needs=job.swing, has=most
        )
    ]
