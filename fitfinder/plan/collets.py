"""The collet way: what the finder answers, a blank that is bored in place, a bored one opened further, or a step
collet turned to the work."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from fitfinder.find.answer import Answer, answer
from fitfinder.find.gaps import bore_for, fitting_blanks
from fitfinder.holding import runout
from fitfinder.holding.chains import Chain
from fitfinder.holding.grips import Grip
from fitfinder.holding.methods.chucks import typical_tir
from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.holding.verdicts import Reach, Verdict
from fitfinder.plan import limits
from fitfinder.plan.efforts import Effort
from fitfinder.plan.floor import Floor, best, reached, unusable
from fitfinder.plan.job import Job
from fitfinder.plan.truth import Regrip
from fitfinder.plan.ways import Way
from inventory.measures.lengths import Length, named, nominal
from inventory.reference import practice

STEPS = ("collet", "collet change")


class _Held(Struct, frozen=True):
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
    if (opened := _opened(start, floor, reply)) is not None:
        return opened
    if (stepped := _stepped(start, floor)) is not None:
        return stepped
    if not reply.left_out and reply.gap is None:
        return limits.cannot(start, f"no size of a series on file holds {job.read_as.partition(',')[0]}")
    run = runout.restarted("a collet in its closer", typical_tir("collet in a closer"))
    return limits.incomplete(start, _missing(reply), run, Regrip.ADDS, _effort(floor))


def _never(job: Job) -> str:
    if job.is_irregular:
        return "a collet holds smooth, even stock only"
    if job.shape == "rectangular":
        return "no collet has a hole for flat bar"
    if job.throw is not None:
        return "a collet holds on the axis: no throw"
    return ""


def _effort(floor: Floor) -> Effort:
    return Effort(set_up=floor.minutes.of("collet change"), per_part=floor.minutes.of("collet"), names=STEPS)


def _fit(grip_chain: Chain, floor: Floor) -> Effort:
    """Fitting the closer: 0 where all that leads to the collet is on the lathe."""
    if grip_chain.is_on:
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


def _opened(start: Way, floor: Floor, reply: Answer) -> Way | None:
    """A blank that is bored already and can be opened to this bore: the largest bore first."""
    series = floor.on(start.lathe).series
    for blank in fitting_blanks(start.job.stock, floor.bored, series):
        if isinstance(reached(blank, floor, start.lathe), Chain) and blank.mounted_on in (None, _id(start.lathe)):
            now = _with_unit(blank.pilot)
            but = f"{blank.tag} is bored to {now} now, for other work perhaps: ask first, a bore never closes again"
            return _in_blank(start, floor, blank, but=(but,))
    return None


def _id(lathe: LatheOnHand | None) -> int | None:
    return lathe.id if lathe else None


def _stepped(start: Way, floor: Floor) -> Way | None:
    """A step collet whose step takes the size; it is short, and its step is turned in place as a blank is bored."""
    job, lathe = start.job, start.lathe
    steps = [
        piece
        for piece in floor.of_kind("step collet")
        if piece.outside_smallest is not None
        and piece.outside_largest is not None
        and piece.outside_smallest <= job.stock.band.smallest
        and job.stock.band.largest <= piece.outside_largest
    ]
    if not steps or job.shape not in ("round", "tube"):
        return None
    if job.is_fed:
        return limits.cannot(start, "no collet here passes it: a step collet holds short work, and no bar goes through")
    run = runout.restarted("turned in place", typical_tir("machinable collet"))
    effort = _bored_effort(floor) + _effort(floor)
    usable = [piece for piece in steps if piece.is_usable]
    chains = {piece: reached(piece, floor, lathe) for piece in usable}
    piece = best((piece for piece in usable if isinstance(chains[piece], Chain)), lathe)
    if piece is None:
        why = next(iter(chains.values()), "") or unusable(steps)
        return limits.incomplete(start, why, run, Regrip.ADDS, effort)
    size = _with_unit(bore_for(job.stock))
    return limits.held(
        start,
        floor,
        variant=f"step collet {piece.tag}, step at {size}",
        grip=_Held(piece, chains[piece], Reach(smallest=piece.outside_smallest, largest=piece.outside_largest)),
        runout=run,
        regrip=Regrip.ADDS,
        effort=_fit(chains[piece], floor) + effort,
        reasons=[f"{piece.tag} takes {named(piece.outside_smallest)} to {named(piece.outside_largest)} in on its step"],
        steps=[
            f"Look at what the step of {piece.tag} is turned to now: it can only be opened.",
            f"Close {piece.tag} on its pins and turn the step in place to {size}, then deburr the slots.",
        ],
        but=[_shallow(job, piece)],
    )


def _shallow(job: Job, piece: Piece) -> str:
    """The step is all the grip there is; it wants a third of what stands out, as any grip without a center."""
    depth = piece.step_depth
    if depth is None:
        return f"how deep the step of {piece.tag} is, is not filled in: it is for short work"
    share = practice.grip("share of the stick-out, no center").low
    out = (job.length - depth) if job.length is not None and job.length > depth else None
    if out is None or Fraction(depth.nm) >= share * out.nm:
        return ""
    return f"its step is {named(depth)} in deep, short for {named(out)} in standing out"


def _bored_effort(floor: Floor) -> Effort:
    return Effort(set_up=floor.minutes.of("machinable collet bored"), names=("machinable collet bored",))


def _in_blank(start: Way, floor: Floor, blank: Piece, *, but=()) -> Way:
    chain = reached(blank, floor, start.lathe)
    run = runout.restarted("bored in place", typical_tir("machinable collet"))
    bored = _bored_effort(floor)
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
            f"no collet here holds it; {blank.tag} can be bored to {_with_unit(bore)}",
            "a bore can only be opened: it serves this size and larger ones after",
        ],
        steps=[f"Close {blank.tag} on its pins and bore it in place to {_with_unit(bore)}, then deburr the slots."],
        but=but,
    )


def _with_unit(bore: Length) -> str:
    return nominal(bore) if bore.is_metric else f"{named(bore)} in"


def _missing(reply: Answer) -> str:
    if reply.left_out:
        return reply.left_out[0].sentence
    return f"a {nominal(reply.gap.size)} {reply.gap.shape} {reply.gap.series} collet: {reply.gap.why}"
