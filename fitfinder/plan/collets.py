"""The collet way: what the finder answers, or a blank that is bored in place."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fitfinder import runout
from fitfinder.answers import Answer, answer
from fitfinder.chains import Chain
from fitfinder.gaps import bore_for
from fitfinder.grips import Grip
from fitfinder.methods import typical_tir
from fitfinder.pieces import LatheOnHand, Piece
from fitfinder.plan import limits
from fitfinder.plan.efforts import Effort
from fitfinder.plan.floor import Floor, reached
from fitfinder.plan.job import Job
from fitfinder.plan.truth import Regrip
from fitfinder.plan.ways import Way
from fitfinder.verdicts import Reach, Verdict
from inventory.lengths import Length, named, nominal

STEPS = ("collet", "collet change")


@dataclass(frozen=True, slots=True)
class _Held:
    chuck: Piece
    chain: Chain
    reach: Reach


def collet(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="collet", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe) or _never(job):
        return limits.cannot(start, why)
    reply = answer(job.stock, floor.on(lathe))
    grips = [grip for grip in reply.grips if grip.method == "collet"]
    sure = [grip for grip in grips if grip.verdict is not Verdict.MEASURE_FIRST]
    if sure:
        return _in_collet(start, floor, sure[0])
    if reply.blanks:
        return _in_blank(start, floor, reply.blanks[0])
    if grips:
        return _in_collet(start, floor, grips[0])
    if not reply.left_out and reply.gap is None:
        return limits.cannot(start, f"no size of a series on file holds {job.read_as.partition(',')[0]}")
    run = runout.restarted("a collet in its closer", typical_tir("collet in a closer"))
    return limits.incomplete(start, _missing(reply), run, Regrip.ADDS, _effort(floor))


def _never(job: Job) -> str:
    if job.is_irregular:
        return "a collet holds smooth, even stock only"
    if job.shape == "rectangular":
        return "no collet has a rectangular hole"
    if job.throw is not None:
        return "a collet holds on the axis: no throw"
    return ""


def _effort(floor: Floor) -> Effort:
    return Effort(set_up=floor.minutes.of("collet change"), per_part=floor.minutes.of("collet"), names=STEPS)


def _fit(grip_chain: Chain, floor: Floor) -> Effort:
    """Fitting the closer: 0 where all that leads to the collet is on the lathe."""
    here = grip_chain.lathe.id if grip_chain.lathe else None
    if grip_chain.links and here is not None and grip_chain.mounted_links == len(grip_chain.links):
        return Effort()
    return Effort(fit=floor.minutes.of("closer fit"), names=("closer fit",))


def _in_collet(start: Way, floor: Floor, grip: Grip) -> Way:
    run = grip.runout
    if not grip.in_true_zone:
        # What is marked is not promised here: what the links before it add is still known.
        run = runout.Runout.of(
            *run.parts[:-1], runout.Part(f"{grip.piece.tag} outside its true zone", None, runout.UNKNOWN)
        )
    reasons = [f"{grip.name}: {grip.verdict.value}", *grip.reasons]
    if start.job.is_thin:
        reasons.append(f"a wall of {named(start.job.wall)} in is thin: a plug in the bore keeps it round")
    way = limits.held(
        start,
        floor,
        variant=grip.name,
        grip=_Held(grip.piece, grip.chain, grip.reach),
        runout=run,
        regrip=Regrip.ADDS,
        effort=_fit(grip.chain, floor) + _effort(floor),
        reasons=reasons,
        steps=[
            "Wipe the collet, its seat and the bar; put the bar in before you close it.",
            "A stop in the collet moves with the draw-in; a stop in the spindle does not.",
        ],
    )
    if way.can and grip.verdict is Verdict.MEASURE_FIRST:
        return replace(way, doubts=("mic the bar first: some of such bars fit, some do not", *way.doubts))
    return way


def _in_blank(start: Way, floor: Floor, blank: Piece) -> Way:
    chain = reached(blank, floor, start.lathe)
    run = runout.restarted("bored in place", typical_tir("machinable collet"))
    bored = Effort(set_up=floor.minutes.of("machinable collet bored"), names=("machinable collet bored",))
    if isinstance(chain, str):
        return limits.incomplete(start, chain, run, Regrip.ADDS, bored + _effort(floor))
    bore = bore_for(start.job.stock)
    return limits.held(
        start,
        floor,
        variant=f"{blank.tag} bored to {_with_unit(bore)}",
        grip=_Held(blank, chain, Reach(smallest=bore, largest=bore)),
        runout=run,
        regrip=Regrip.ADDS,
        effort=_fit(chain, floor) + bored + _effort(floor),
        reasons=[
            f"no collet here holds it; blank {blank.tag} can be bored to {_with_unit(bore)}",
            "a bore can only be opened: it serves this size and larger ones after",
        ],
        steps=[f"Close {blank.tag} on its pins and bore it in place to {_with_unit(bore)}, then deburr the slots."],
    )


def _with_unit(bore: Length) -> str:
    return nominal(bore) if bore.is_metric else f"{named(bore)} in"


def _missing(reply: Answer) -> str:
    if reply.left_out:
        return reply.left_out[0].sentence
    return f"a {nominal(reply.gap.size)} {reply.gap.shape} {reply.gap.series} collet: {reply.gap.why}"
