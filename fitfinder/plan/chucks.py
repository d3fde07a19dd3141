"""Universal and independent chucks, soft jaws bored in place, and a split bushing in a chuck."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.eccentric import largest_throw
from fitfinder.holding import runout
from fitfinder.holding.chains import Chain
from fitfinder.holding.methods.chucks import FLATS, flats_sit, typical_tir
from fitfinder.holding.pieces import JawSet, LatheOnHand
from fitfinder.holding.stock import Band
from fitfinder.plan import limits
from fitfinder.plan.efforts import Effort
from fitfinder.plan.floor import Floor, best, fitting, reached
from fitfinder.plan.jaws import JawGrip, grip_of, pressed_thin, reaches
from fitfinder.plan.job import Job
from fitfinder.plan.truth import Regrip
from fitfinder.plan.ways import Way
from inventory.measures.lengths import Length, named

BUSHING_WALL = Length.inches("1/4")
"""What a split bushing wants around the work: common practice, no source."""


def universal(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="universal chuck", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe) or _no_scroll(job):
        return limits.cannot(start, why)
    chucks = floor.of_kind("universal chuck")
    grip = grip_of(job, chucks, floor, lathe)
    if isinstance(grip, str):
        missing = grip or f"no universal chuck: {_wanted(job)}"
        typical = runout.restarted("a universal chuck", _typical(None))
        return limits.incomplete(start, missing, typical, Regrip.ADDS, _efforts(floor, "universal chuck"))
    chuck = grip.chuck
    reasons = [_holds(grip)]
    steps = [_jaw_step(grip)]
    if job.throw is not None:
        reasons.append("the throw comes from packing under one jaw")
        steps.append(f"Pack one jaw for a throw of {named(job.throw)} in, and look at the throw with an indicator.")
    run = runout.along(grip.chain, chuck, typical=_typical(chuck.jaws))
    return limits.held(
        start,
        floor,
        variant=f"{chuck.jaws} jaws" + (", in the bore" if grip.is_inside else ""),
        grip=grip,
        runout=run,
        regrip=Regrip.ADDS,
        effort=fitting(chuck, grip.chain, floor) + _efforts(floor, "universal chuck"),
        reasons=reasons,
        steps=steps,
        but=[pressed_thin(job, chuck)],
    )


def independent(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="independent chuck", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe):
        return limits.cannot(start, why)
    name = "independent 4-jaw, dialled in"
    run = runout.restarted("dialled in", typical_tir("independent 4-jaw"))
    grip = grip_of(job, floor.of_kind("independent chuck"), floor, lathe)
    if isinstance(grip, str):
        return limits.incomplete(start, grip or "no independent chuck", run, Regrip.RESTARTS, _efforts(floor, name))
    aim = "to the second axis" if job.throw is not None else "to the least swing"
    reasons = [_holds(grip), "each jaw moves by itself: any shape, any axis, and it is dialled in"]
    return limits.held(
        start,
        floor,
        variant=f"{grip.chuck.jaws} jaws" + (", in the bore" if grip.is_inside else ""),
        grip=grip,
        runout=run,
        regrip=Regrip.RESTARTS,
        effort=fitting(grip.chuck, grip.chain, floor) + _efforts(floor, name),
        reasons=reasons,
        steps=[
            _jaw_step(grip),
            f"Dial it in {aim}: opposite jaws together, by half of what the indicator differs between them.",
        ],
        but=[pressed_thin(job, grip.chuck)],
    )


def soft_jaws(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="soft jaws", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe) or _bored_round(job, "soft jaws") or _no_scroll(job):
        return limits.cannot(start, why)
    run = runout.restarted("bored in place", typical_tir("soft jaws"))
    effort = Effort(
        set_up=floor.minutes.of("soft jaws turned"),
        per_part=floor.minutes.of("universal chuck"),
        names=("soft jaws turned", "universal chuck"),
    )
    chucks = {piece.id: piece for piece in floor.of_kind("universal chuck")}
    sets = [jaws for jaws in floor.jaw_sets if jaws.kind == "soft" and jaws.chuck in chucks]
    reaching = [jaws for jaws in sets if jaws.outside is not None and reaches(job.stock.band, jaws.outside)]
    grips = [
        JawGrip(chucks[jaws.chuck], chain, jaws.outside, job.stock.band, jaws=jaws)
        for jaws in reaching
        if not jaws.why_not and chucks[jaws.chuck].is_usable
        for chain in [reached(chucks[jaws.chuck], floor, lathe)]
        if isinstance(chain, Chain)
    ]
    if not grips:
        return limits.incomplete(start, _no_soft_jaws(job, sets, reaching), run, Regrip.RESTARTS, effort)
    chuck = best([grip.chuck for grip in grips], lathe)
    grip = next(grip for grip in grips if grip.chuck is chuck)
    bored = grip.jaws.last_bored
    words = f"soft jaws last bored to {named(bored)} in, and only ever opened" if bored else "soft jaws not bored yet"
    return limits.held(
        start,
        floor,
        variant=f"{chuck.jaws} jaws",
        grip=grip,
        runout=run,
        regrip=Regrip.RESTARTS,
        effort=fitting(chuck, grip.chain, floor) + effort,
        reasons=[words, "bored in place to the size of the work, they run true and do not mark"],
        steps=[
            _soft_step(grip),
            f"Bore them to {named(_middle(job))} in, the size of the work, without moving the scroll since.",
        ],
    )


def split_bushing(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    """Made for the job: a ring bored in place to the work and slit, closed by a chuck."""
    start = Way(method="split bushing", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe) or _bored_round(job, "a split bushing") or _no_scroll(job):
        return limits.cannot(start, why)
    run = runout.restarted("bored in place", typical_tir("split bushing"))
    effort = Effort(
        set_up=floor.minutes.of("split bushing made"),
        per_part=floor.minutes.of("universal chuck"),
        names=("split bushing made", "universal chuck"),
    )
    outside = job.stock.band.largest + BUSHING_WALL * 2
    ring = Band(outside, outside)
    chucks = floor.of_kind("universal chuck", "independent chuck")
    grip = grip_of(job, chucks, floor, lathe, band=ring, shape="round")
    if isinstance(grip, str):
        missing = grip or f"no chuck that closes on a bushing of {named(outside)} in"
        return limits.incomplete(start, missing, run, Regrip.RESTARTS, effort)
    reasons = ["made for the job and bored in place; it spreads the grip and does not mark"]
    return limits.held(
        start,
        floor,
        variant=f"in {grip.chuck.tag}",
        grip=grip,
        runout=run,
        regrip=Regrip.RESTARTS,
        effort=fitting(grip.chuck, grip.chain, floor) + effort,
        reasons=reasons,
        steps=[
            f"Grip a ring of {named(outside)} in and bore it to {named(_middle(job))} in.",
            "Mark the jaw that it sat at, slit it once, deburr, and put it back at the mark.",
        ],
        but=[f"has to be made first, from a ring of {named(outside)} in that is no piece of the crib"],
    )


def _no_scroll(job: Job) -> str:
    if job.is_irregular:
        return "irregular work has nothing that self-centering jaws could center by"
    if job.throw is None:
        return ""
    if job.shape != "round":
        return "packing one jaw for a throw is for round work"
    most = largest_throw(Fraction(job.stock.band.smallest.nm, 2))
    if job.throw.nm >= most:
        return f"a throw of {named(job.throw)} in is more than packing one jaw gives: {Length(int(most)).inch_text} in"
    return ""


def _bored_round(job: Job, what: str) -> str:
    if job.is_flat_sided:
        return f"bored round, {what} would touch the corners only"
    return f"bored in place, {what} would hold on the axis: no throw" if job.throw is not None else ""


def _typical(jaws: int | None) -> Length | None:
    return (typical_tir(f"universal {jaws}-jaw") if jaws else None) or typical_tir("universal 3-jaw")


def _efforts(floor: Floor, name: str) -> Effort:
    return Effort(per_part=floor.minutes.of(name), names=(name,))


def _no_soft_jaws(job: Job, sets: list[JawSet], reaching: list[JawSet]) -> str:
    if not sets:
        return "no soft jaws for any chuck here"
    if not reaching:
        bored = min((jaws.last_bored for jaws in sets if jaws.last_bored is not None), default=None)
        if bored is not None and bored > _middle(job):
            return f"no soft jaws for {named(_middle(job))} in: those here are bored to {named(bored)} in already"
        return f"no soft jaws that can be bored to {named(_middle(job))} in"
    why = next((jaws.why_not for jaws in reaching if jaws.why_not), "")
    return f"the soft jaws are {why}" if why else "the chuck of the soft jaws cannot be used here"


def _wanted(job: Job) -> str:
    if job.shape in FLATS:
        able = [str(jaws) for jaws in (2, 3, 4, 6) if flats_sit(jaws, job.shape)]
        return f"{job.shape} bar wants {' or '.join(able)} jaws"
    return f"one that takes {named(job.stock.band.largest)} in"


def _holds(grip: JawGrip) -> str:
    where = "in the bore" if grip.is_inside else "outside"
    jaws = f" with its {grip.jaws.kind} jaws" if grip.jaws else ""
    return f"{grip.chuck.tag}{jaws} holds {named(grip.reach.smallest)} to {named(grip.reach.largest)} in {where}"


def _jaw_step(grip: JawGrip) -> str:
    if grip.jaws is not None and not grip.jaws.is_in:
        place = f" from {grip.jaws.location}" if grip.jaws.location else ""
        return f"Put the {grip.jaws.kind} jaws{place} in {grip.chuck.tag}, each in its own slot."
    return "Wipe the jaws and the work, and tighten at each pinion."


def _soft_step(grip: JawGrip) -> str:
    if grip.jaws.is_in:
        return f"The soft jaws are in {grip.chuck.tag}: close them on a ring or plug."
    place = f" from {grip.jaws.location}" if grip.jaws.location else ""
    return f"Put the soft jaws{place} in {grip.chuck.tag}, each in its own slot, and close them on a ring or plug."


def _middle(job: Job) -> Length:
    band = job.stock.band
    return job.stock.nominal or Length((band.smallest.nm + band.largest.nm) // 2)
