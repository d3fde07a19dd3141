"""What every way checks alike: the swing of the lathe, the length, the bar that is fed through; and how it is told."""

from __future__ import annotations

from msgspec.structs import replace

from fitfinder.holding.pieces import LatheOnHand
from fitfinder.holding.runout import Runout
from fitfinder.plan import cautions, truth
from fitfinder.plan.efforts import Effort
from fitfinder.plan.floor import Floor, coming_off, keys_for
from fitfinder.plan.job import Job
from fitfinder.plan.support import support, too_long
from fitfinder.plan.truth import Regrip
from fitfinder.plan.ways import Way
from inventory.measures.lengths import Length, named


def on_a_face(job: Job, lathe: LatheOnHand | None) -> str:
    """Why the lathe cannot swing the work at all, nor pass the bar that is to be fed through its spindle; empty where
    it can or that is not known."""
    if lathe is None:
        return ""
    if job.is_fed and lathe.spindle_bore is not None and job.circle > lathe.spindle_bore:
        return f"{_across(job)} does not pass the spindle of {lathe.name}, {named(lathe.spindle_bore)} in"
    if lathe.swing_over_bed is not None and job.swing > lathe.swing_over_bed:
        return f"it swings {named(job.swing)} in, and {lathe.name} takes {named(lathe.swing_over_bed)} in over the bed"
    return ""


def _across(job: Job) -> str:
    """The bar by what has to pass: flats are told with the corners that decide."""
    size = named(job.stock.band.largest)
    if not job.is_flat_sided:
        return f"bar of {size} in"
    return f"{job.shape} bar, {job.circle.inch_text} in across its corners,"


def over_the_slide(job: Job, lathe: LatheOnHand | None) -> str:
    """Why work that lies over the cross slide for its whole length does not clear it."""
    if lathe is None:
        return ""
    if lathe.swing_over_slide is not None and job.swing > lathe.swing_over_slide:
        most = named(lathe.swing_over_slide)
        return f"it swings {named(job.swing)} in, and {lathe.name} takes {most} in over the cross slide"
    return too_long(job, lathe)


def cannot(way: Way, why: str) -> Way:
    return replace(way, why_not=why, reasons=(why,))


def incomplete(way: Way, missing: str, run: Runout, regrip: Regrip, effort: Effort) -> Way:
    """A way that would do and is not all here; how true and how long it would be is told all the same."""
    told = truth.words(way.job, regrip, run)
    return replace(
        way,
        missing=(missing,),
        runout=run,
        regrip=regrip,
        effort=effort,
        reasons=tuple(word for word in [told] if word),
    )


def held(
    way: Way, floor: Floor, *, variant, grip, runout: Runout, regrip, effort: Effort, reasons, steps, but=()
) -> Way:
    """The way with its pieces, what supports the work, keys, cautions and sentences. `grip` has chuck, chain, reach."""
    job, lathe, chain = way.job, way.lathe, grip.chain
    propped = support(job, floor, lathe)
    if propped.why_not:
        return cannot(way, propped.why_not)
    if job.is_fed and (why := _is_not_fed(job, grip)):
        return cannot(way, why)
    pieces = (*chain.links, grip.chuck, *propped.pieces)
    keys, without_key = keys_for(pieces, floor, lathe)
    told = truth.words(job, regrip, runout)
    jaws = getattr(grip, "jaws", None)
    full = replace(
        way,
        variant=variant,
        jaws=None if jaws is None or jaws.is_in else jaws,
        pieces=(*pieces, *keys),
        off=coming_off(pieces, floor, lathe),
        missing=(*propped.missing, *without_key),
        doubts=() if chain.is_checked else (chain.doubt,),
        runout=runout,
        regrip=regrip,
        effort=effort + propped.effort,
        but=tuple(word for word in but if word),
        reasons=tuple(
            word for word in (*reasons, *propped.reasons, told, *_slide(job, lathe), *_features(job)) if word
        ),
        steps=(*steps, *propped.steps),
    )
    return replace(full, cautions=cautions.for_way(full, grip, floor))


def _is_not_fed(job: Job, grip) -> str:
    """Bar that is fed has to pass the chuck, its adapters and the spindle."""
    for piece in (*grip.chain.links, grip.chuck):
        hole = Length(0) if piece.is_solid else piece.through
        if hole is not None and hole < job.circle:
            size = "which is solid" if piece.is_solid else f"{named(hole)} in"
            return f"{_across(job)} does not pass {piece.tag}, {size}"
    return ""


def _slide(job: Job, lathe: LatheOnHand | None) -> list[str]:
    if lathe is None or lathe.swing_over_slide is None or job.swing <= lathe.swing_over_slide:
        return []
    return [f"the cross slide clears {named(lathe.swing_over_slide)} in only: keep it out from under the work"]


def _features(job: Job) -> list[str]:
    """How a taper or several starts are made where the work is held at one end."""
    found = []
    if job.taper is not None:
        found.append("a taper is turned with the compound, as far as it travels; a longer one wants centers")
    if job.starts > 1:
        found.append(f"{job.starts} starts are set by the compound: it moves on by the lead over {job.starts}")
    return found
