"""Between centers: put back or turned round, the work keeps its axis."""

from __future__ import annotations

from fitfinder.holding import limits, support
from fitfinder.holding.assembly import driven
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.efforts import Effort
from fitfinder.holding.job import Job, WorkShape
from fitfinder.holding.method import Method
from fitfinder.holding.methods.drive import Drive, drive_at, fetched_from
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.runout import Runout
from fitfinder.holding.truth import Regrip
from fitfinder.holding.way import HoldingMethod, ThrowBy, Way
from inventory.measures.lengths import named


class BetweenCenters(HoldingMethod):
    name = Method.BETWEEN_CENTERS
    is_between_centers = True
    carries_both_ends = True
    grips_a_length = False
    throw_by = ThrowBy.SECOND_CENTERS
    indicated = "near the headstock, then near the tailstock"

    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        if job.is_fed:
            return Reason("bar that is fed through cannot stand between centers")
        if job.shape is WorkShape.TUBE:
            return Reason("a tube has no center holes: plug both ends first")
        if job.bore is not None:
            return Reason("its bore is where the center holes would be: hold it by the bore, or plug it")
        return limits.over_the_slide(job, here.lathe)

    def hold(self, start: Way, here: CribAtLathe) -> Way:
        job = start.job
        drive = drive_at(here, across=job.circle)
        drilled = Parts(
            reasons=(
                Reason("both ends are center-drilled first; put back or turned round, it keeps its axis"),
                Reason("its ends carry it: no hole is drilled or bored in them this way"),
            ),
            steps=(_both_ends_drilled(drive, here),),
            effort=_effort(here),
        )
        own = drilled + support.at_both_ends(job, here) + _features(job)
        but = (Reason("uneven work needs two ends that take a center hole"),) if job.is_irregular else ()
        run = Runout.of(drive.run)
        return driven(
            start, here, drive.chain, drive.parts, own, run=run, regrip=Regrip.RETURNS, but=but, head=drive.head
        )


def _both_ends_drilled(drive: Drive, here: CribAtLathe) -> SetupStep:
    dog = drive.dog
    fasten = f"fasten the dog {dog.tag}{fetched_from(dog, here)} to the work" if dog else "dog the work"
    return SetupStep(
        f"Center-drill both ends, {fasten}, and set the tailstock without play and without force.",
        (dog,) if dog else (),
        Act.CENTER_DRILL,
    )


def _effort(here: CribAtLathe) -> Effort:
    """Its two center holes are drilled once: put back or turned round, a part has them."""
    return Effort(once=here.minutes.of("two centers drilled"), per_part=here.minutes.of("dog on and off"))


def _features(job: Job) -> Parts:
    """How a throw, a taper or several starts are made this way."""
    reasons, steps = [], []
    if job.throw is not None:
        reasons.append(Reason("a second pair of center holes gives the throw"))
        steps.append(
            SetupStep(f"Drill a second pair of centers {named(job.throw)} in from the first, both at one angle.")
        )
    if job.taper is not None:
        reasons.append(Reason("a long taper is turned with the tailstock set over"))
        steps.append(SetupStep("Set the tailstock over; bring it back with an indicator and a test bar afterwards."))
    if job.starts > 1:
        reasons.append(Reason(f"{job.starts} starts are indexed by the slots of the plate or the jaws"))
    return Parts(reasons=tuple(reasons), steps=tuple(steps))
