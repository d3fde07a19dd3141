"""Between centers: put back or turned round, the work keeps its axis.

A plate and a center in the headstock taper, or a soft center that is turned in a chuck: a way of its own, which needs
neither plate nor taper and is thrown away when the chuck is wanted.
"""

from __future__ import annotations

from abc import abstractmethod
from fractions import Fraction
from typing import ClassVar

from msgspec.structs import replace

from fitfinder.holding.assembly import driven
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Missing
from fitfinder.holding.job import Job, WorkShape
from fitfinder.holding.mechanics.throws import second_centers_reach
from fitfinder.holding.method import Method
from fitfinder.holding.methods.drive import Drive, by_a_plate, by_a_soft_center, fetched_from
from fitfinder.holding.parts import NO_PARTS, Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules import center_load, limits, support
from fitfinder.holding.rules.center_drilling import (
    center_drill,
    drilled_with,
    hole_in,
    passes_spindle,
    short_out,
    too_thin,
)
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.rules.features import starts_between_centers, taper_of
from fitfinder.holding.rules.rests import minutes_of, rest_of
from fitfinder.holding.rules.truth import Regrip
from fitfinder.holding.runout import Runout
from fitfinder.holding.way import HoldingMethod, ThrowBy, Way
from inventory.measures.display import now
from inventory.measures.length_words import in_unit, measured
from inventory.measures.lengths import Length
from inventory.reference import holding, practice
from inventory.reference.center_drills import CenterHole
from inventory.reference.kinds import Kind


class OnCenters(HoldingMethod):
    """Whatever drives the dog."""

    is_between_centers = True
    carries_both_ends = True
    grips_a_length = False
    throw_by = ThrowBy.SECOND_CENTERS
    is_drilled_beforehand: ClassVar[bool] = True
    """Whether what drives the dog leaves no chuck on the spindle to drill the ends in."""
    indicated = "near the headstock, then near the tailstock"

    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        if job.is_fed:
            return Reason("bar that is fed through cannot stand between centers")
        if job.shape is WorkShape.TUBE:
            return Reason(
                "a tube has no center holes: plug both ends first, or plug one and carry the other on a bull-nose"
            )
        if job.bore is not None:
            return Reason("its bore is where the center holes would be: hold it by the bore, or plug it")
        if hole_in(job.thickness) is None:
            return Reason(too_thin(job))
        return limits.over_the_slide(job, here.lathe)

    @abstractmethod
    def drive(self, job: Job, here: CribAtLathe, hole: CenterHole | None) -> Drive:
        """What carries and turns the work."""

    def hold(self, start: Way, here: CribAtLathe) -> Way:
        job, hole = start.job, hole_in(start.job.thickness)
        drive = self.drive(job, here, None if _on_the_bench(job, here) else hole)
        drilled = _both_ends(job, here, drive, hole, beforehand=self.is_drilled_beforehand)
        drilled += _second_centers(job, hole, here, beforehand=drilled.steps[-1].is_beforehand)
        drilled = center_drill(here, hole) + drilled
        own = replace(drilled, steps=()) + _dogged_each_time(drive, here) + support.at_both_ends(job, here)
        own += taper_of(job, here.lathe, is_between_centers=True) + starts_between_centers(job, drive.driver)
        if drive.tail is not None:
            own += center_load.of_the_work(drive.tail, center_load.on_each_end(job, here.lathe))
        but = (Reason("uneven work needs two ends that take a center hole"),) if job.is_irregular else ()
        return driven(
            start,
            here,
            drive.chain,
            drive.parts,
            own,
            run=Runout.of(drive.run),
            regrip=Regrip.RETURNS,
            but=but,
            head=drive.head,
            first=drilled.steps,
        )


class BetweenCenters(OnCenters):
    name: ClassVar[Method] = Method.BETWEEN_CENTERS

    def drive(self, job: Job, here: CribAtLathe, hole: CenterHole | None) -> Drive:
        return by_a_plate(here, ends_of(job), hole=hole, each=center_load.on_each_end(job, here.lathe))


class SoftCenter(OnCenters):
    name: ClassVar[Method] = Method.SOFT_CENTER
    is_drilled_beforehand = False

    def drive(self, job: Job, here: CribAtLathe, hole: CenterHole | None) -> Drive:
        each = center_load.on_each_end(job, here.lathe)
        return by_a_soft_center(here, ends_of(job), hole=hole, starts=job.starts, each=each)


def ends_of(job: Job) -> tuple[Length, ...]:
    """What the dog closes on: the bar, and turned end for end what was turned of it."""
    return (job.circle, job.turned) if job.turned is not None and job.setups > 1 else (job.circle,)


def _dogged_each_time(drive: Drive, here: CribAtLathe) -> Parts:
    """Both center holes count once, the dog each time."""
    end = in_unit(holding.length(f"dog.parallel_end{'.si' if now().is_metric else ''}"))
    return Parts(
        reasons=(
            Reason("both ends are center-drilled first; put back or turned round, it keeps its axis"),
            Reason("its ends carry it: no hole is drilled or bored in them this way"),
            Reason(f"the dog takes {end} of one end, which stays as it is until the work is turned round"),
        ),
        steps=(_dogged(drive, here),),
        effort=Effort(once=here.minutes.of("two centers drilled"), per_part=here.minutes.of("dog on and off")),
    )


def _on_the_bench(job: Job, here: CribAtLathe) -> bool:
    """Whether no end of long work could be drilled on the lathe, as it neither passes nor is steadied."""
    return not (_is_short(job) or passes_spindle(job, here, ()) or isinstance(_steady(job, here), Piece))


def _is_short(job: Job) -> bool:
    """Whether neither end stands out too far while the other is gripped by a diameter."""
    return job.slenderness is None or job.slenderness <= practice.stick_out("chuck or collet").most + 1


def _steady(job: Job, here: CribAtLathe) -> Piece | Missing:
    return rest_of(job, here, Kind.STEADY_REST)


def _both_ends(job: Job, here: CribAtLathe, drive: Drive, hole: CenterHole | None, *, beforehand: bool) -> Parts:
    """Where they are drilled: short work anywhere, long work in the spindle, by the steady, or on the bench."""
    drill = f"Center-drill both ends{drilled_with(hole)}"
    if _is_short(job):
        return Parts(steps=(SetupStep(f"{drill}.", drive.drill, Act.CENTER_DRILL, beforehand),))
    if passes_spindle(job, here, ()):
        words = f"{drill}, in a chuck, slid into the spindle until {in_unit(short_out(job))} or less stand out."
        return Parts(steps=(SetupStep(words, drive.drill, Act.CENTER_DRILL, beforehand),))
    steady = _steady(job, here)
    if isinstance(steady, Missing):
        words = f"Lay out the centers of both ends and drill them{drilled_with(hole)}, on the bench or a drill press."
        more = here.minutes.of("center laid out and drilled on the bench") * 2 - here.minutes.of("two centers drilled")
        laid_out = Effort(once=max(more, Fraction(0)))
        return Parts(steps=(SetupStep(words, (), Act.CENTER_DRILL, is_beforehand=True),), effort=laid_out)
    set_rest = f"In a chuck, set {steady.tag} close to the jaws, lock its fingers and slide it to the end."
    steps = (
        SetupStep(set_rest, (steady,), is_beforehand=beforehand),
        SetupStep(f"{drill}, close to the steady, at low speed.", drive.drill, Act.CENTER_DRILL, beforehand),
    )
    return Parts(pieces=(steady,), steps=steps, effort=minutes_of(steady, here))


def _dogged(drive: Drive, here: CribAtLathe) -> SetupStep:
    dog = drive.dog
    fasten = f"Fasten the dog {dog.tag}{fetched_from(dog, here)} to the work" if dog else "Dog the work"
    return SetupStep(
        f"{fasten}, its tail free of the bottom of its slot and clear of bed and slide, and set "
        "the tailstock without end play and without force.",
        (dog,) if dog else (),
    )


def _second_centers(job: Job, hole: CenterHole | None, here: CribAtLathe, *, beforehand: bool) -> Parts:
    """A second pair for a throw, where its mouth stays inside the ends; else blocks on the ends carry it."""
    if job.throw is None or hole is None:
        return NO_PARTS
    reach = second_centers_reach(job.throw, hole.hole) * 2
    reasons = (Reason("a second pair of center holes gives the throw", needs=reach, has=job.thickness),)
    if reach > job.thickness:
        why = Missing(
            f"throw blocks for the ends: a second center {in_unit(job.throw)} off reaches across "
            f"{measured(reach)}, and the ends have {in_unit(job.thickness)}"
        )
        return Parts(missing=(why,), reasons=reasons)
    words = f"Drill a second pair of centers {in_unit(job.throw)} from the first, both at one angle."
    effort = Effort(once=here.minutes.of("two centers drilled"))
    return Parts(reasons=reasons, steps=(SetupStep(words, is_beforehand=beforehand),), effort=effort)
