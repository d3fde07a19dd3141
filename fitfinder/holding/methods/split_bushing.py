"""A split bushing, made for the job: a ring bored in place to the work and slit, closed by a chuck."""

from __future__ import annotations

from fitfinder.holding.assembly import held, incomplete
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Missing
from fitfinder.holding.job import Job
from fitfinder.holding.method import Method
from fitfinder.holding.methods.jaws import grip_of, no_rough, no_scroll, not_bored_round
from fitfinder.holding.parts import Parts, Reason, SetupStep
from fitfinder.holding.pieces import CHUCK_KINDS
from fitfinder.holding.rules import limits
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.rules.truth import Regrip, trued
from fitfinder.holding.stock import Band
from fitfinder.holding.way import HoldingMethod, UsedUp, Way
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import Length
from inventory.reference import holding

WALL = Length.inches("1/4")
"""What a split bushing wants around the work: common practice, no source."""


class SplitBushing(HoldingMethod):
    name = Method.SPLIT_BUSHING
    is_bored = True
    uses_up = UsedUp.BLANK
    is_last_resort = True

    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        return (
            limits.on_a_face(job, here.lathe)
            or not_bored_round(job, "a split bushing")
            or no_scroll(job)
            or _too_thin(job)
        )

    def hold(self, start: Way, here: CribAtLathe) -> Way:
        job, outside = start.job, start.job.stock.band.largest + WALL * 2
        run = trued("bored in place", "split bushing")
        effort = Effort(set_up=here.minutes.of("split bushing made"), per_part=here.minutes.of("universal chuck"))
        without = f"no chuck that closes on a bushing of {in_unit(outside)}"
        hold = grip_of(job, here.of_kind(*CHUCK_KINDS), here, without=without, ring=Band(outside, outside))
        if isinstance(hold, Missing):
            return incomplete(start, here, hold, run, Regrip.ADDS, effort)
        parts = Parts(
            reasons=(Reason("made for the job and bored in place; it spreads the grip and does not mark"),),
            steps=(
                SetupStep(f"Grip a ring of {in_unit(outside)} and bore it to {in_unit(job.middle)}.", (hold.piece,)),
                SetupStep("Mark the jaw that it sat at, slit it once, deburr, and put it back at the mark."),
            ),
            effort=here.fitting(hold.piece, hold.chain) + effort,
        )
        ring = Reason(f"has to be made first, from a ring of {in_unit(outside)} that is no piece of the crib")
        variant = f"in {hold.piece.tag}"
        return held(
            start,
            here,
            hold,
            parts,
            variant=variant,
            run=run,
            regrip=Regrip.ADDS,
            but=[ring, no_rough(job, "a bushing")],
        )


def _too_thin(job: Job) -> Reason | None:
    least = holding.length("bushing.least_work")
    if job.thickness >= least:
        return None
    words = f"{in_unit(job.thickness)} is too thin for a bushing to be bored and slit for it: {in_unit(least)} at least"
    return Reason(words, needs=least, has=job.thickness)
