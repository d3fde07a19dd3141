"""By a finished bore: on a mandrel between centers, or on an expanding arbor."""

from __future__ import annotations

from msgspec.structs import replace

from fitfinder.holding import runout
from fitfinder.holding.assembly import driven
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.job import Job
from fitfinder.holding.method import Method
from fitfinder.holding.methods.drive import for_an_arbor
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules import limits
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.rules.truth import Regrip, trued
from fitfinder.holding.runout import Runout
from fitfinder.holding.seats import away, takes_bore
from fitfinder.holding.way import HoldingMethod, Way
from inventory.measures.length_words import in_unit
from inventory.reference.kinds import Kind


class Mandrel(HoldingMethod):
    name = Method.MANDREL
    carries_both_ends = True
    grips_a_length = False

    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        if job.bore is None:
            return Reason("it has no finished bore to be held by")
        if job.is_fed:
            return Reason("bar that is fed through cannot sit on a mandrel")
        if job.throw is not None:
            return Reason("a mandrel holds on the axis of the bore: no throw")
        return limits.over_the_slide(job, here.lathe)

    def hold(self, start: Way, here: CribAtLathe) -> Way:
        bore = start.job.bore
        assert bore is not None
        reaching = [piece for piece in here.of_kind(Kind.MANDREL, Kind.EXPANDING_ARBOR) if takes_bore(piece, bore)]
        on_seat = next(iter(here.chains_to(one for one in reaching if one.mounts_in is not None).items()), None)
        if on_seat is not None:
            return _on_its_seat(start, here, *on_seat)
        loose = here.best(one for one in reaching if one.is_usable and one.mounts_in is None)
        if loose is not None:
            return _between_centers(start, here, loose)
        missing = Missing(f"no mandrel or expanding arbor for a bore of {in_unit(bore)}", away(reaching))
        return _without_arbor(start, here, missing)


def _on_its_seat(start: Way, here: CribAtLathe, arbor: Piece, chain: Chain) -> Way:
    """An arbor with a shank, which goes on or into the spindle."""
    fitted = Parts(pieces=chain.links, effort=here.fitting(arbor, chain))
    run = chain.runout_to(arbor, typical=None)
    own = _work_on(arbor, start.job, here)
    return driven(start, here, chain, fitted, own, run=run, regrip=Regrip.ADDS, variant=arbor.tag)


def _between_centers(start: Way, here: CribAtLathe, arbor: Piece) -> Way:
    # Its ends are turned just below its small end: that dog, and not any.
    drive = for_an_arbor(here, arbor.inside_smallest)
    its_own = runout.Part(arbor.tag, arbor.tir, runout.UNKNOWN if arbor.tir is None else runout.MEASURED)
    run = Runout.of(drive.run, its_own)
    own = _work_on(arbor, start.job, here)
    return driven(start, here, drive.chain, drive.parts, own, run=run, regrip=Regrip.STAYS, variant=arbor.tag)


def _without_arbor(start: Way, here: CribAtLathe, missing: Missing) -> Way:
    """What is missing beside the arbor is told too."""
    drive = for_an_arbor(here, start.job.bore)
    parts = Parts(missing=(missing,)) + replace(drive.parts, steps=())
    run = trued("between centers", "between centers")
    return driven(start, here, drive.chain, parts, Parts(effort=_effort(here)), run=run, regrip=Regrip.STAYS)


def _effort(here: CribAtLathe) -> Effort:
    return Effort(per_part=here.minutes.of("mandrel"))


def _work_on(arbor: Piece, job: Job, here: CribAtLathe) -> Parts:
    if arbor.kind == Kind.EXPANDING_ARBOR:
        seat = (
            f"Wipe bore and arbor, slide the work onto {arbor.tag}, and expand it evenly until the work does not turn."
        )
        cut = "Cut lightly: only friction drives the work."
    else:
        seat = f"Wipe bore and mandrel, a film of oil, and press the work onto {arbor.tag} from the small end."
        cut = "Cut toward the large end of the mandrel, lightly: only friction drives the work."
    bore = f" of {in_unit(job.bore)}" if job.bore else ""
    return Parts(
        pieces=(arbor,),
        reasons=(Reason(f"held by its bore{bore}: what is turned runs true to the bore"),),
        steps=(SetupStep(seat, (arbor,)), SetupStep(cut, act=Act.CUT)),
        effort=_effort(here),
    )
