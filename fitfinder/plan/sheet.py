"""What stands on a setup sheet: the steps from the empty spindle to the first cut, and the numbers of this setup."""

from __future__ import annotations

from fitfinder.plan.support import across, diameters_out, slenderness
from fitfinder.plan.ways import Way
from fitfinder.plan.worked import worked
from inventory.measures.lengths import shown


def steps(way: Way) -> list[str]:
    """All that is done, in order; empty where the way cannot be used."""
    if not way.can:
        return []
    found = ["Power off and isolated, a board over the ways.", "Wipe every seat and shank; look for chips and burrs."]
    found[1:1] = [f"Take off {piece.tag}, {piece.kind}." for piece in way.off]
    found += [f"Fit {piece.tag}, {piece.kind}{_from(piece)}." for piece in way.pieces if _is_fitted(way, piece)]
    return [*found, *way.steps, *_indicator(way)]


def _is_fitted(way: Way, piece) -> bool:
    """What is on the lathe already is not fitted, and what a step of the way itself seats is told there."""
    here = way.lathe.id if way.lathe else None
    if piece.kind in ("key", "lathe dog") or (here is not None and piece.mounted_on == here):
        return False
    # A tag has neither blank nor comma in it: what stands before one is the whole tag.
    return not any(f"seat {piece.tag}{end}" in step for step in way.steps for end in " ,")


def _from(piece) -> str:
    return f", from {piece.location}" if piece.location and not piece.is_with_asker else ""


def _indicator(way: Way) -> list[str]:
    run = way.runout
    if run is None or run.total is None:
        return ["Put an indicator on the work close to what grips it: how much it swings is not known beforehand."]
    if way.job.throw is not None and way.method != "between centers":
        return [_at_the_throw(way)]
    if way.method == "between centers":
        where = "near the headstock, then near the tailstock"
    elif way.method == "faceplate":
        where = "on the face, then on the bore or the round"
    else:
        where = "on the work close to what grips it"
    swing = f"{run.total.inch_text} in TIR ({run.basis})"
    if way.method in ("independent chuck", "faceplate"):
        return [f"It is dialled in when the indicator, {where}, swings no more than {swing}."]
    return [f"Put an indicator {where}: it should swing no more than {swing}."]


def _at_the_throw(way: Way) -> str:
    """The outside swings by twice the throw; what is to run true is the second axis."""
    swing = f"the outside swings {(way.job.throw * 2).inch_text} in in all"
    if way.method == "universal chuck":
        return f"Put an indicator on the outside: with the packing right, {swing}."
    return (
        f"Put an indicator on what marks the second axis, a line, a plug or a wiggler: dial it in to "
        f"{way.runout.total.inch_text} in TIR ({way.runout.basis}); then {swing}."
    )


def numbers(way: Way) -> list[tuple[str, str]]:
    """The numbers of this setup in words and values."""
    job, run = way.job, way.runout
    found = [("Stock", job.read_as), ("Parts", str(job.parts)), ("Set-ups", str(job.setups))]
    if run is not None and run.total is not None:
        found.append(("One gripping", f"{shown(run.total)} TIR, {run.basis}; axis off by {run.axis_off.inch_text} in"))
    if job.setups > 1 and way.tir is not None:
        found.append(("Between set-ups", f"{shown(way.tir)} TIR: it {way.regrip}"))
    is_on_arbor = any(piece.kind == "expanding arbor" for piece in way.pieces)
    if way.method in ("between centers", "mandrel") and not is_on_arbor:
        if job.length is not None:
            found.append(("Between centers", f"{shown(job.length)}, {across(job, slenderness(job))}"))
    elif job.stands_out is not None and job.stands_out.nm > 0:
        found.append(("Stands out", f"{shown(job.stands_out)}, {across(job, diameters_out(job))}"))
    if way.lowest_marked_speed is not None:
        rpm, piece = way.lowest_marked_speed
        found.append(("Never above", f"{rpm} rpm, marked on {piece.tag}"))
    return found + [(one.words, one.value) for one in worked(way)]
