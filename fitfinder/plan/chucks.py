"""Universal and independent chucks, soft jaws bored in place, and a split bushing in a chuck."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from fitfinder import runout, verdicts
from fitfinder.chains import Chain
from fitfinder.methods import FLATS, flats_sit, typical_tir
from fitfinder.pieces import JawSet, LatheOnHand, Piece
from fitfinder.plan import limits
from fitfinder.plan.efforts import Effort
from fitfinder.plan.floor import Floor, best, fitting, reached, unusable
from fitfinder.plan.job import Job
from fitfinder.plan.truth import Regrip
from fitfinder.plan.ways import Way
from fitfinder.setups import largest_throw
from fitfinder.stock import Band
from fitfinder.verdicts import Reach, Verdict
from inventory.lengths import Length, named

BUSHING_WALL = Length.inches("1/4")
"""What a split bushing wants around the work: common practice, no source."""


@dataclass(frozen=True, slots=True)
class JawGrip:
    """A chuck that can grip the job: by which jaws, outside or in the bore, and within which reach."""

    chuck: Piece
    chain: Chain
    reach: Reach
    is_inside: bool = False
    jaws: JawSet | None = None


def universal(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="universal chuck", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe) or _no_scroll(job):
        return limits.cannot(start, why)
    chucks = floor.of_kind("universal chuck")
    grip = _grip(job, chucks, floor, lathe)
    if isinstance(grip, str):
        missing = grip or f"no universal chuck: {_wanted(job)}"
        typical = runout.restarted("a universal chuck", _typical(None))
        return limits.incomplete(start, missing, typical, Regrip.ADDS, _efforts(floor, "universal chuck"))
    chuck = grip.chuck
    reasons = [_holds(grip), *_thin(job, chuck)]
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
    )


def independent(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="independent chuck", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe):
        return limits.cannot(start, why)
    name = "independent 4-jaw, dialled in"
    run = runout.restarted("dialled in", typical_tir("independent 4-jaw"))
    grip = _grip(job, floor.of_kind("independent chuck"), floor, lathe)
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
        steps=[_jaw_step(grip), f"Dial it in {aim}: opposite jaws together, by half of what the indicator swings."],
    )


def soft_jaws(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="soft jaws", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe) or _no_scroll(job) or _bored_round(job, "Soft jaws"):
        return limits.cannot(start, why)
    run = runout.restarted("bored in place", typical_tir("soft jaws"))
    effort = Effort(
        set_up=floor.minutes.of("soft jaws turned"),
        per_part=floor.minutes.of("universal chuck"),
        names=("soft jaws turned", "universal chuck"),
    )
    chucks = {piece.id: piece for piece in floor.of_kind("universal chuck")}
    sets = [jaws for jaws in floor.jaw_sets if jaws.kind == "soft" and jaws.chuck in chucks]
    reaching = [jaws for jaws in sets if jaws.outside is not None and _reaches(job.stock.band, jaws.outside)]
    grips = [
        JawGrip(chucks[jaws.chuck], chain, jaws.outside, jaws=jaws)
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
    words = f"soft jaws last bored to {named(bored)} in" if bored else "soft jaws never bored yet"
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
            f"Put the soft jaws in {chuck.tag} and close them on a ring or plug.",
            f"Bore them to {named(_middle(job))} in, the size of the work, without moving the scroll since.",
        ],
    )


def split_bushing(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    """Made for the job: a ring bored in place to the work and slit, closed by a chuck."""
    start = Way(method="split bushing", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe) or _no_scroll(job) or _bored_round(job, "A split bushing"):
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
    grip = _grip(job, chucks, floor, lathe, band=ring, shape="round")
    if isinstance(grip, str):
        missing = grip or f"no chuck that closes on a bushing of {named(outside)} in"
        return limits.incomplete(start, missing, run, Regrip.RESTARTS, effort)
    reasons = [
        "made for the job and bored in place; it spreads the grip and does not mark",
        f"wants a ring of {named(outside)} in outside to be made from",
    ]
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
        return f"{what} bored round would touch the corners only"
    return f"{what} bored in place holds on the axis: no throw" if job.throw is not None else ""


def _typical(jaws: int | None) -> Length | None:
    return (typical_tir(f"universal {jaws}-jaw") if jaws else None) or typical_tir("universal 3-jaw")


def _efforts(floor: Floor, name: str) -> Effort:
    return Effort(per_part=floor.minutes.of(name), names=(name,))


def _grip(job, chucks, floor, lathe, *, band: Band | None = None, shape: str = "") -> JawGrip | str:
    """The best chuck that reaches, seats and can be used; else what is in the way, empty where there is no chuck."""
    able = [piece for piece in chucks if not _shape_words(piece, shape or job.shape)]
    if chucks and not able:
        return f"{chucks[0].tag}: {_shape_words(chucks[0], shape or job.shape)}"
    found, obstacles = [], []
    for piece in able:
        reaches = list(_reaches_of(job, piece, floor, band))
        if not reaches:
            obstacles.append((2, _reach_words(job, piece, band)))
        elif not piece.is_usable:
            obstacles.append((0, unusable([piece])))
        else:
            chain = reached(piece, floor, lathe)
            if isinstance(chain, str):
                obstacles.append((1, chain))
            else:
                found.append(JawGrip(piece, chain, *reaches[0]))
    chuck = best((grip.chuck for grip in found), lathe)
    if chuck is not None:
        return next(grip for grip in found if grip.chuck is chuck)
    return min(obstacles)[1] if obstacles else ""


def _shape_words(chuck: Piece, shape: str) -> str:
    if chuck.kind == "independent chuck" or chuck.jaws is None or flats_sit(chuck.jaws, shape):
        return ""
    return f"the flats of {shape} bar do not sit on {chuck.jaws} jaws"


def _reaches_of(job: Job, chuck: Piece, floor: Floor, band: Band | None) -> Iterator[tuple]:
    """(reach, inside, jaw set) of all that would grip it: the jaws that are in first."""
    outside = band or job.stock.band
    own = _reach(chuck.outside_smallest, chuck.outside_largest)
    if own is not None and _reaches(outside, own):
        yield own, False, None
    sets = [jaws for jaws in floor.jaw_sets if jaws.chuck == chuck.id and not jaws.why_not and jaws.kind != "soft"]
    for jaws in sets:
        if jaws.outside is not None and _reaches(outside, jaws.outside):
            yield jaws.outside, False, jaws
    if job.bore is None or band is not None:
        return
    bore = Band(job.bore, job.bore)
    own = _reach(chuck.inside_smallest, chuck.inside_largest)
    if own is not None and _reaches(bore, own):
        yield own, True, None
    for jaws in sets:
        if jaws.inside is not None and _reaches(bore, jaws.inside):
            yield jaws.inside, True, jaws


def _reach(smallest: Length | None, largest: Length | None) -> Reach | None:
    return None if smallest is None or largest is None else Reach(smallest=smallest, largest=largest)


def _reaches(band: Band, reach: Reach) -> bool:
    return verdicts.judge(band, reach) in (Verdict.HOLDS, Verdict.AT_THE_LIMIT)


def _reach_words(job: Job, chuck: Piece, band: Band | None) -> str:
    wanted = named((band or job.stock.band).largest)
    if chuck.outside_largest is None or chuck.outside_smallest is None:
        return f"what {chuck.tag} holds is not filled in"
    return (
        f"no jaws here for {wanted} in: {chuck.tag} holds {named(chuck.outside_smallest)} to "
        f"{named(chuck.outside_largest)} in outside"
    )


def _no_soft_jaws(job: Job, sets: list[JawSet], reaching: list[JawSet]) -> str:
    if not sets:
        return "no soft jaws for any chuck here"
    if not reaching:
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


def _thin(job: Job, chuck: Piece) -> list[str]:
    if not job.is_thin or chuck.jaws is None or chuck.jaws >= 6:
        return []
    return [
        f"a wall of {named(job.wall)} in is thin for {chuck.jaws} jaws: six jaws, a plug or soft jaws hold it round"
    ]


def _middle(job: Job) -> Length:
    band = job.stock.band
    return job.stock.nominal or Length((band.smallest.nm + band.largest.nm) // 2)
