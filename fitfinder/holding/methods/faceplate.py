"""Clamped to a faceplate and dialled in: what no jaw takes, what is large, heavy or irregular."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from fitfinder.holding.assembly import held, incomplete
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.chosen import ChosenPiece
from fitfinder.holding.job import Job
from fitfinder.holding.mechanics.weights import Weight, of_work
from fitfinder.holding.method import Method
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules import limits
from fitfinder.holding.rules.efforts import first_and_next
from fitfinder.holding.rules.plates import balanced, clamp_room, on_plate, too_tall
from fitfinder.holding.rules.truth import Regrip, trued
from fitfinder.holding.runout import Runout
from fitfinder.holding.seats import away
from fitfinder.holding.way import Hold, Way
from inventory.measures.length_words import in_unit
from inventory.reference import holding, practice
from inventory.reference.kinds import Kind


class Faceplate(ChosenPiece):
    name = Method.FACEPLATE
    is_dialled_in = True
    grips_a_length = False
    chosen_from = (Kind.FACEPLATE,)
    indicated = "on the face, then on the bore or the round"

    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        if why := limits.on_a_face(_all_out(job), here.lathe) or limits.too_long(job, here.lathe):
            return why
        if job.is_fed:
            return Reason("bar cannot be fed through a clamped face")
        if job.circle * 2 < clamp_room(job.circle) and not job.is_irregular:
            clamps = holding.value("faceplate.min_clamps")
            return Reason(f"{in_unit(job.circle)} across is too small for {clamps} clamps on its face")
        out = job.slenderness  # all of it stands off the plate, whatever is to stand out of a grip
        if out is not None and out > practice.stick_out("chuck or collet").most and not job.is_irregular:
            return Reason("it is too long for its thickness to stand on its face")
        return None

    def against(self, job: Job) -> Reason | None:
        if not job.is_bare or job.is_irregular:
            return None
        return Reason("bar is clamped to a face where no jaw takes it, and short: its length decides")

    def runout_of(self, piece: Piece, chain: Chain) -> Runout:
        return trued("dialled in", "faceplate")

    def hold_in(self, start: Way, here: CribAtLathe, pieces: Sequence[Piece]) -> Way:
        job = _all_out(start.job)
        start = replace(start, job=job)
        run = trued("dialled in", "faceplate")
        effort = first_and_next(here.minutes.of("faceplate"), then=here.minutes.of("faceplate, with a locating ring"))
        chains = here.chains_to(pieces)
        plate = here.best(chains)
        if plate is None:
            name = here.lathe.name if here.lathe else "the lathe"
            missing = Missing(f"no faceplate for the nose of {name}", away(pieces))
            return incomplete(start, here, missing, run, Regrip.RESTARTS, effort)
        hold = Hold(piece=plate, chain=chains[plate])
        parts = Parts(
            reasons=(Reason("clamped against its face and dialled in: any shape, any axis"),),
            steps=_steps(job, plate, of_work(job, here.lathe)),
            effort=here.fitting(plate, hold.chain) + effort,
        )
        parts += on_plate(job, plate)
        but = [self.against(job), _long_bar(job), too_tall(job)]
        return held(start, here, hold, parts, variant=plate.tag, run=run, regrip=Regrip.RESTARTS, but=but)


def _all_out(job: Job) -> Job:
    """None of it lies in a grip or in the spindle, whatever is to stand out of a chuck."""
    return job if job.length is None else replace(job, stick_out=job.length)


def _long_bar(job: Job) -> Reason | None:
    """Against bar that stands on a sawn end and is longer than that is wide."""
    if job.length is None or job.is_irregular or job.length <= job.circle:
        return None
    words = f"{in_unit(job.length)} is long for an end of {in_unit(job.circle)}"
    return Reason(f"{words}: a plate is for short work with a flat, finished face", needs=job.length, has=job.circle)


def _steps(job: Job, plate: Piece, weight: Weight | None) -> tuple[SetupStep, ...]:
    clamps = holding.value("faceplate.min_clamps")
    under = " on a ring or parallels, so that the tool comes through," if job.bore is not None else ""
    return (
        SetupStep(
            f"Clamp it evenly{under} by {clamps} clamps or more that bear over their packing, and dial it in.",
            (plate,),
            Act.GRIP,
        ),
        balanced(job, plate, weight),
        SetupStep("Turn it round by hand once, past the bed and the slide, before it runs."),
    )
