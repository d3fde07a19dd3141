"""Clamped to a faceplate and dialled in: what no jaw takes, what is large, heavy or irregular."""

from __future__ import annotations

from msgspec import Struct

from fitfinder.holding import runout
from fitfinder.holding.chains import Chain
from fitfinder.holding.methods.chucks import typical_tir
from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.holding.verdicts import Reach
from fitfinder.plan import limits
from fitfinder.plan.efforts import Effort
from fitfinder.plan.floor import Floor, because, best, fitting, reached
from fitfinder.plan.job import Job
from fitfinder.plan.support import diameters_out
from fitfinder.plan.truth import Regrip
from fitfinder.plan.ways import Way
from inventory.reference import practice


class _Clamped(Struct, frozen=True):
    chuck: Piece
    chain: Chain
    reach: Reach | None = None


def faceplate(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="faceplate", job=job, lathe=lathe)
    if why := limits.on_a_face(job, lathe) or _never(job):
        return limits.cannot(start, why)
    run = runout.restarted("dialled in", typical_tir("faceplate"))
    effort = Effort(per_part=floor.minutes.of("faceplate"), names=("faceplate",))
    plates = floor.of_kind("faceplate")
    ways = {
        piece: chain
        for piece in plates
        if piece.is_usable
        for chain in [reached(piece, floor, lathe)]
        if isinstance(chain, Chain)
    }
    plate = best(ways, lathe)
    if plate is None:
        name = lathe.name if lathe else "the lathe"
        missing = f"no faceplate for the nose of {name}{because(plates)}"
        return limits.incomplete(start, missing, run, Regrip.RESTARTS, effort)
    return limits.held(
        start,
        floor,
        variant=plate.tag,
        grip=_Clamped(plate, ways[plate]),
        runout=run,
        regrip=Regrip.RESTARTS,
        effort=fitting(plate, ways[plate], floor) + effort,
        reasons=["clamped against its face and dialled in: any shape, any axis"],
        steps=[
            "Clamp it evenly with clamps that bear over their packing, and dial it in.",
            "Counterweight it until the spindle stops anywhere by itself, in neutral with the power off.",
            "Turn it round by hand once, past the bed and the slide, before it runs.",
        ],
    )


def _never(job: Job) -> str:
    if job.is_fed:
        return "bar cannot be fed through a clamped face"
    out = diameters_out(job)
    if out is not None and out > practice.stick_out("chuck or collet").typical and not job.is_irregular:
        return "it is too long for its thickness to stand on its face"
    return ""
