"""Universal and independent chucks."""

from __future__ import annotations

from collections.abc import Sequence

from fitfinder.holding import runout
from fitfinder.holding.assembly import held, incomplete
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.chosen import ChosenPiece
from fitfinder.holding.job import Job
from fitfinder.holding.mechanics.throws import PACKED_JAWS, packing, packs
from fitfinder.holding.method import Method
from fitfinder.holding.methods.jaws import against, by_jaws, grip_of, holds, instead, jaws_steps, no_scroll
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules import limits
from fitfinder.holding.rules.efforts import Effort, Minutes, first_and_next
from fitfinder.holding.rules.self_centering import FLATS, flats_sit, typical_of_jaws
from fitfinder.holding.rules.truth import Regrip, trued
from fitfinder.holding.runout import Runout
from fitfinder.holding.way import ThrowBy, Way
from inventory.measures.length_words import in_unit, measured
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind


class UniversalChuck(ChosenPiece):
    """A scroll centers the work; a throw comes from packing under one jaw."""

    name = Method.UNIVERSAL_CHUCK
    throw_by = ThrowBy.PACKING
    chosen_from = (Kind.UNIVERSAL_CHUCK,)

    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        return limits.on_a_face(job, here.lathe) or no_scroll(job)

    def runout_of(self, piece: Piece, chain: Chain) -> Runout:
        return chain.runout_to(piece, typical=typical_of_jaws(piece.jaws))

    def hold_in(self, start: Way, here: CribAtLathe, pieces: Sequence[Piece]) -> Way:
        job = start.job
        effort = _effort(job, here.minutes)
        chucks = [chuck for chuck in pieces if packs(job, chuck.jaws)]
        hold = grip_of(job, chucks, here, without=f"no universal chuck: {_wanted(job)}")
        if isinstance(hold, Missing):
            run = runout.restarted("a universal chuck", typical_of_jaws(None))
            return incomplete(start, here, hold, run, Regrip.ADDS, effort)
        chuck = hold.piece
        parts = Parts(
            reasons=(holds(hold), *instead(job, hold)),
            steps=jaws_steps(hold),
            effort=here.fitting(chuck, hold.chain) + effort,
        )
        if job.throw is not None:
            parts += _packed(job.stock.band.largest, job.throw)
        return held(
            start,
            here,
            hold,
            parts,
            variant=by_jaws(chuck, is_inside=hold.is_inside),
            run=self.runout_of(chuck, hold.chain),
            regrip=Regrip.ADDS,
            but=against(job, hold),
        )


class IndependentChuck(ChosenPiece):
    """Each jaw moves by itself, and the work is dialled in."""

    name = Method.INDEPENDENT_CHUCK
    is_dialled_in = True
    chosen_from = (Kind.INDEPENDENT_CHUCK,)

    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        return limits.on_a_face(job, here.lathe)

    def runout_of(self, piece: Piece, chain: Chain) -> Runout:
        return trued("dialled in", "independent 4-jaw")

    def hold_in(self, start: Way, here: CribAtLathe, pieces: Sequence[Piece]) -> Way:
        job = start.job
        first, then = (here.minutes.of(f"independent 4-jaw, {part}") for part in ("dialled in", "next part"))
        effort = first_and_next(first, then=then)
        run = trued("dialled in", "independent 4-jaw")
        hold = grip_of(job, pieces, here, without="no independent chuck")
        if isinstance(hold, Missing):
            return incomplete(start, here, hold, run, Regrip.RESTARTS, effort)
        aim = "to the second axis" if job.throw is not None else "to the least swing"
        dial = SetupStep(
            f"Dial it in {aim}: opposite jaws together, by half of what the indicator differs between them.",
            act=Act.DIAL_IN,
        )
        parts = Parts(
            reasons=(
                holds(hold),
                Reason("each jaw moves by itself: any shape, any axis, and it is dialled in"),
                *instead(job, hold),
            ),
            steps=(*jaws_steps(hold), dial),
            effort=here.fitting(hold.piece, hold.chain) + effort,
        )
        return held(
            start,
            here,
            hold,
            parts,
            variant=by_jaws(hold.piece, is_inside=hold.is_inside),
            run=run,
            regrip=Regrip.RESTARTS,
            but=against(job, hold),
        )


def _effort(job: Job, minutes: Minutes) -> Effort:
    """A strip is cut and its throw put right once; on each part it is laid under its jaw and looked at again."""
    effort = Effort(per_part=minutes.of("universal chuck"))
    if job.throw is None:
        return effort
    first, then = (minutes.of(f"packing under one jaw, {part}") for part in ("first part", "next part"))
    return effort + first_and_next(first, then=then)


def _packed(across: Length, throw: Length) -> Parts:
    narrow, flat = packing(across, throw)
    step = SetupStep(
        f"Pack one jaw for a throw of {in_unit(throw)}: {measured(narrow)} under a narrow jaw, {measured(flat)} "
        f"under a flat one, wired or glued, or it flies. The outside swings {measured(throw * 2)}. Light cuts."
    )
    return Parts(reasons=(Reason("the throw comes from packing under one jaw"),), steps=(step,))


def _wanted(job: Job) -> str:
    if job.throw is not None:
        return f"packing one jaw wants {PACKED_JAWS} jaws"
    if job.shape in FLATS:
        able = [str(jaws) for jaws in (2, 3, 4, 6) if flats_sit(jaws, job.shape)]
        return f"{job.shape} bar wants {' or '.join(able)} jaws"
    return f"one that takes {in_unit(job.stock.band.largest)}"
