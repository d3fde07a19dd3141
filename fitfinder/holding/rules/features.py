"""How a taper or several starts are made of what is held: by what goes far enough, and by what divides."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.indexing import step
from fitfinder.holding.chains import Missing
from fitfinder.holding.job import Job, in_tenths
from fitfinder.holding.mechanics import starts, tapers
from fitfinder.holding.parts import NO_PARTS, Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import LatheOnHand, Piece
from inventory.measures.length_words import in_unit, measured
from inventory.measures.lengths import Length
from inventory.reference import holding
from inventory.reference.kinds import Kind


def taper_of(job: Job, lathe: LatheOnHand | None, *, is_between_centers: bool) -> Parts:
    """How the taper of this job is turned: by the compound where it reaches, between centers by setting the tailstock
    over, else by an attachment, which is no piece of a crib."""
    if job.taper is None:
        return NO_PARTS
    taper = 1 / job.taper
    travel, is_taken = tapers.travel_of_compound(lathe)
    reach = tapers.compound_reach(travel, taper)
    far = f"the compound turns {measured(reach)} of it in one go{_as_taken(is_taken)}"
    if job.taper_length is not None and job.taper_length <= reach:
        return Parts(reasons=(Reason(far, needs=job.taper_length, has=reach),))
    too_far = None
    if is_between_centers and job.length is not None:
        too_far = _beyond_set_over(job.length, lathe, job)
        if too_far is None:
            return _set_over(job, job.length, lathe)
    if job.taper_length is None:
        return Parts(doubts=(Reason(f"how long the taper is is not given: {far}{_and_why(too_far)}"),))
    why = Reason(f"a taper of {in_unit(job.taper_length)}: {far}{_and_why(too_far)}", job.taper_length, reach)
    if tapers.is_for_attachment(taper):
        return Parts(missing=(Missing(f"a taper attachment: {why.words}"),))
    return Parts(why_not=why)


def _as_taken(is_taken: bool) -> str:
    return " (taken for a lathe of this swing: its travel is not filled in)" if is_taken else ""


def _and_why(too_far: Reason | None) -> str:
    return f", and {too_far.words}" if too_far is not None else ""


def _beyond_set_over(length: Length, lathe: LatheOnHand | None, job: Job) -> Reason | None:
    """Why the tailstock cannot be set over for this taper; None where it can."""
    assert job.taper is not None
    taper = 1 / job.taper
    over, (room, is_taken) = tapers.set_over(length, taper), tapers.travel_of_tailstock(lathe)
    if not tapers.is_for_balls(taper):
        percent = in_tenths(tapers.sine(taper) * 100)
        return Reason(
            f"set over by {measured(over)}, {percent} % of the length, the centers bear on their edges: 2 % is for "
            "plain ones, 3 % for balls"
        )
    if over > room:
        taken = " (taken for a lathe of this swing)" if is_taken else ""
        return Reason(f"the tailstock sets over {in_unit(room)}{taken} and not {measured(over)}", over, room)
    return None


def _set_over(job: Job, length: Length, lathe: LatheOnHand | None) -> Parts:
    assert job.taper is not None
    taper = 1 / job.taper
    over, (room, is_taken) = tapers.set_over(length, taper), tapers.travel_of_tailstock(lathe)
    percent = in_tenths(tapers.sine(taper) * 100)
    taken = f"; that it goes so far is taken, {in_unit(room)} for a lathe of this swing" if is_taken else ""
    words = f"the tailstock is set over by {measured(over)}, {percent} % of the whole length{taken}"
    reasons = [Reason(words, needs=over, has=room)]
    if not tapers.is_plain(taper):
        reasons.append(
            Reason("above 2 % plain centers bear on their edges: ball centers, or holes of a bell center drill")
        )
    if job.parts > 1:
        reasons.append(Reason(_of_a_lot(length)))
    step_words = (
        f"Set the tailstock over by {measured(over)}, the dog free in its slot; afterwards bring it back with an "
        "indicator and a test bar."
    )
    return Parts(reasons=tuple(reasons), steps=(SetupStep(step_words, act=Act.SET_OVER),))


def _of_a_lot(length: Length) -> str:
    """What a part that is longer than the others does to its taper."""
    off = Length.inches("0.010")
    share = in_tenths(tapers.lot_error(Fraction(off.nm), Fraction(length.nm)) * 1000)
    return (
        "all parts of one length and one depth of center hole, by a stop on the drill: "
        f"{in_unit(off)} on {in_unit(length)} changes the taper by {share} in a thousand"
    )


def starts_between_centers(job: Job, driver: Piece | None) -> Parts:
    """By the slots of the plate or the jaws that drive the dog, where they divide."""
    if job.starts == 1:
        return NO_PARTS
    if driver is None:
        return Parts(reasons=(_by_compound_or_gear(job),))
    is_plate = driver.kind == Kind.FACEPLATE
    places, what = (driver.slots, "slots") if is_plate else (driver.jaws, "jaws")
    divides = starts.divides(places, job.starts)
    if divides is None:
        ask = f"how many {what} {driver.tag} has is not filled in: {job.starts} starts want a number that it divides"
        return Parts(doubts=(Reason(ask),), reasons=(_by_compound_or_gear(job),))
    if places is None or not divides:
        no = Reason(f"the {places} {what} of {driver.tag} do not divide into {job.starts} starts")
        return Parts(reasons=(no, _by_compound_or_gear(job)))
    on = step(places, job.starts)
    by = f"{job.starts} starts are indexed by the {places} {what} of {driver.tag}: {on} on for each"
    by += _off_by_jaws(is_plate)
    press = "Carry the tail of the dog on for each start and press it to the same side; the dog stays clamped."
    return Parts(reasons=(Reason(by),), steps=(SetupStep(press, (driver,)),))


def starts_in_a_grip(job: Job) -> Parts:
    return NO_PARTS if job.starts == 1 else Parts(reasons=(_by_compound_or_gear(job),))


def _by_compound_or_gear(job: Job) -> Reason:
    return Reason(
        f"{job.starts} starts are set by the compound: parallel to the axis it moves on by the lead over {job.starts}; "
        f"or by a gear on the spindle whose teeth {job.starts} divides{_of_a_gear(job.starts)}"
    )


_USUAL_TEETH = range(40, 128)
"""Of the gears that a lathe has on its spindle or stud: only to tell one by."""


def _of_a_gear(count: int) -> str:
    """`: of 42 teeth it is moved on by 14`."""
    moves = ((teeth, starts.teeth_for(teeth, count)) for teeth in _USUAL_TEETH)
    first = next(((teeth, moved) for teeth, moved in moves if moved is not None), None)
    return f": of {first[0]} teeth it is moved on by {first[1]}" if first is not None else ""


def _off_by_jaws(is_plate: bool) -> str:
    """What jaws that stand a little off their places make of the pitch; slots of a plate are milled truer."""
    if is_plate:
        return ""
    minutes = holding.value("index.jaw_error")
    share = starts.error_on_pitch(Fraction(1000), minutes / 60)
    return f"; jaws {int(minutes)} minutes of arc off put a start {in_tenths(share)} thousandths of the lead off"
