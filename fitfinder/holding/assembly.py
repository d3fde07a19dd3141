"""A way put together: its pieces with keys and what supports the work, what comes off, its reasons and cautions."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.collets.grips import wanted_pieces
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.rules import bearings, behind, grip_length, lifting, limits, passage, second_operation
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.rules.features import starts_in_a_grip, taper_of
from fitfinder.holding.rules.grip_length import GripCheck
from fitfinder.holding.rules.support import Support, at_one_end, with_center_for_a_short_grip
from fitfinder.holding.rules.truth import Regrip
from fitfinder.holding.runout import Runout
from fitfinder.holding.way import Hold, ThrowBy, Way
from inventory.measures.lengths import Length
from inventory.reference.lifting import Lift


def incomplete(start: Way, here: CribAtLathe, missing: Missing, run: Runout, regrip: Regrip, effort: Effort) -> Way:
    """A way that would do and is not all here; how true and how long it would be is told all the same.

    What holds the work is to be had: length and taper ask for the same then as if it were here.
    """
    made = taper_of(start.job, start.lathe, is_between_centers=False)
    if made.why_not is not None:
        return start.refused(made.why_not)
    held_up = at_one_end(start.job, here, ()) if start.by.grips_a_length else Support()
    return replace(
        start,
        missing=(missing, *held_up.first.missing, *held_up.then.missing, *made.missing),
        doubts=made.doubts,
        runout=run,
        regrip=regrip,
        effort=effort,
    )


def held(
    start: Way,
    here: CribAtLathe,
    hold: Hold,
    parts: Parts,
    *,
    variant: str,
    run: Runout,
    regrip: Regrip,
    but: Iterable[Reason | None] = (),
) -> Way:
    """Work that is gripped at one end: with the way to what grips it, and what holds up the other end."""
    bearing = bearings.of_piece(hold.piece, hold.jaws, is_bored=start.by.is_bored)
    job = grip_length.gripped_by(start.job, bearing) if start.by.grips_a_length else start.job
    job, laid = limits.laid_in_the_spindle(job, here.lathe, hold.piece)
    if start.by.grips_a_length and not hold.is_inside:
        job, further_out = passage.set_further_out(job, hold.piece, hold.chain, hold.jaws)
        parts = Parts(reasons=further_out) + parts
    start, pieces = replace(start, job=job), (*hold.chain.links, hold.piece)
    support = at_one_end(job, here, pieces)
    check = GripCheck(against=tuple(one for one in but if one), untold=_doubts(hold.chain))
    check += GripCheck(against=_packed_and_long(start, support))
    if start.by.grips_a_length:
        support = with_center_for_a_short_grip(support, job, here, pieces)
        check += grip_length.checked(job, bearing, is_propped=support.is_any)
        check += second_operation.checked(job, hold, here, is_bored=start.by.is_bored)
        check += GripCheck(untold=passage.doubts(job, hold.piece, hold.chain, hold.jaws))
    made = taper_of(job, here.lathe, is_between_centers=False) + starts_in_a_grip(job)
    parts = Parts(pieces=pieces) + support.first + parts + Parts(reasons=laid) + check.parts + support.then + made
    why_not = parts.why_not or _no_room(start, hold, support)
    if why_not:
        return start.refused(why_not)
    way = replace(start, variant=variant, hold=hold, but=check.against, doubts=check.untold)
    after = tuple(limits.in_the_gap(job, here.lathe) or limits.slide_in_the_way(job, here.lathe))
    return put_together(way, here, parts, run=run, regrip=regrip, after=after)


def _packed_and_long(way: Way, support: Support) -> tuple[Reason, ...]:
    """A packed jaw grips on two lines and a sliver: a center off the axis of the scroll only pries work out of it."""
    if way.job.throw is None or way.by.throw_by is not ThrowBy.PACKING or not support.is_any:
        return ()
    return (Reason("packing one jaw is for short work: this needs holding up at its end, off the axis of the jaws"),)


def _no_room(way: Way, hold: Hold, support: Support) -> Reason | None:
    """Why the bar does not go through what holds it, or is too long for the bed with it."""
    if way.by.grips_a_length and not hold.is_inside:
        why_not = passage.why_not(way.job, hold.piece, hold.chain, hold.jaws)
        if why_not is not None:
            return why_not
    beyond = limits.beyond_the_bed(way.job, way.lathe, hold.piece) if support.has_center else None
    return beyond or behind.why_not(way.job, way.lathe)


def driven(
    start: Way,
    here: CribAtLathe,
    chain: Chain | None,
    drive: Parts,
    own: Parts,
    *,
    run: Runout,
    regrip: Regrip,
    variant: str = "",
    but: tuple[Reason, ...] = (),
    head: Length | None = None,
    first: tuple[SetupStep, ...] = (),
) -> Way:
    """Work that centers carry or that sits on an arbor: its own parts after what drives it, to which `chain` leads.
    `head` is what the center in the headstock runs out, and `first` what is done before anything drives it."""
    way = replace(start, variant=variant, but=but, head=head, doubts=_doubts(chain))
    parts = replace(drive + own, reasons=own.reasons + drive.reasons, steps=first + drive.steps + own.steps)
    if parts.why_not:
        return start.refused(parts.why_not)
    return put_together(way, here, parts, run=run, regrip=regrip)


def put_together(
    way: Way, here: CribAtLathe, parts: Parts, *, run: Runout, regrip: Regrip, after: tuple[Reason, ...] = ()
) -> Way:
    """With the nuts and keys that the pieces want, what has to come off before them, and what can hurt."""
    nuts, without_nut = here.nuts_for(parts.pieces)
    keys, without_key = here.keys_for(parts.pieces)
    full = replace(
        way,
        pieces=tuple(dict.fromkeys((*parts.pieces, *nuts, *keys))),
        off=here.coming_off(parts.pieces),
        missing=(*parts.missing, *without_nut, *without_key),
        runout=run,
        regrip=regrip,
        but=(*way.but, *parts.but, *_may_unscrew(way, parts)),
        doubts=(*way.doubts, *parts.doubts),
        reasons=(*parts.reasons, *after, *lifting.asked_material(way.weight)),
        steps=_held_up_first(parts.steps, lifting.held_up(way.weight)),
    )
    # The work weighs the same in every way.
    hoisting = here.hoisting(here.lift_of(full.pieces, full.off))
    return replace(full, effort=parts.effort + hoisting, reasons=(*full.reasons, *_wanted(full)))


def _wanted(way: Way) -> tuple[Reason, ...]:
    """What other jobs are waiting for, without what the grip of a collet says already."""
    in_the_grip = way.collet.pieces if way.collet is not None else ()
    waited_for = [piece for piece in way.pieces if piece.reserved is not None and piece not in in_the_grip]
    return tuple(map(Reason, wanted_pieces(waited_for)))


def _may_unscrew(way: Way, parts: Parts) -> tuple[Reason, ...]:
    """What jerks or pulls to one side belongs on a camlock."""
    job, weight = way.job, way.weight
    is_heavy = weight is not None and Lift.of(weight.ug) is Lift.HOIST
    if not (is_heavy or job.throw is not None or job.is_irregular):
        return ()
    if not any(piece.mounts_in is not None and piece.mounts_in.is_thread for piece in parts.pieces):
        return ()
    what = "eccentric" if job.throw is not None else "uneven" if job.is_irregular else "heavy"
    return (Reason(f"{what} work can unscrew what is on a threaded nose: a camlock first"),)


def _held_up_first(steps: tuple[SetupStep, ...], held_up: tuple[SetupStep, ...]) -> tuple[SetupStep, ...]:
    """What holds up heavy work comes before the first step that grips or drills it."""
    if not held_up:
        return steps
    takes_it = (at for at, step in enumerate(steps) if step.act in (Act.GRIP, Act.CENTER_DRILL))
    first = next(takes_it, len(steps))
    return (*steps[:first], *held_up, *steps[first:])


def _doubts(chain: Chain | None) -> tuple[Reason, ...]:
    return (Reason(chain.doubt),) if chain is not None and not chain.is_checked else ()
