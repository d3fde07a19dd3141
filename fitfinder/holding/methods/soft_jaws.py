"""Soft jaws, bored in place to the size of the work."""

from __future__ import annotations

from collections.abc import Iterable

from fitfinder.holding.assembly import held, incomplete
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Missing
from fitfinder.holding.job import Job
from fitfinder.holding.mechanics import thin_wall
from fitfinder.holding.method import Method
from fitfinder.holding.methods.jaws import (
    Grasp,
    by_jaws,
    hold_by,
    no_rough,
    no_scroll,
    not_bored_round,
    put_in,
    reaches,
)
from fitfinder.holding.parts import Parts, Reason, SetupStep
from fitfinder.holding.pieces import JawsOnHand
from fitfinder.holding.rules import limits
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.rules.truth import Regrip, trued
from fitfinder.holding.way import Hold, HoldingMethod, UsedUp, Way
from inventory.measures.length_words import in_unit
from inventory.reference.kinds import JawKind, Kind


class SoftJaws(HoldingMethod):
    name = Method.SOFT_JAWS
    is_bored = True
    uses_up = UsedUp.JAWS

    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        return limits.on_a_face(job, here.lathe) or not_bored_round(job, "soft jaws") or no_scroll(job)

    def hold(self, start: Way, here: CribAtLathe) -> Way:
        job = start.job
        run = trued("bored in place", "soft jaws")
        effort = Effort(set_up=here.minutes.of("soft jaws turned"), per_part=here.minutes.of("universal chuck"))
        hold = _best_hold(job, here)
        if isinstance(hold, Missing):
            return incomplete(start, here, hold, run, Regrip.ADDS, effort)
        size = f"{in_unit(job.middle)}, the size of the work"
        bore = SetupStep(f"Bore them to {size}, without moving the scroll since.", (hold.piece,))
        parts = Parts(
            reasons=(
                _as_bored(hold),
                Reason("bored in place to the size of the work, they run true and do not mark"),
                *thin_wall.wrapped(job, hold.piece.jaws),
            ),
            steps=(_closed(hold), bore),
            effort=here.fitting(hold.piece, hold.chain) + effort,
        )
        variant = by_jaws(hold.piece, is_inside=False)
        but = [no_rough(job, "soft jaws")]
        return held(start, here, hold, parts, variant=variant, run=run, regrip=Regrip.ADDS, but=but)


def _best_hold(job: Job, here: CribAtLathe) -> Hold | Missing:
    chucks = {piece.id: piece for piece in here.of_kind(Kind.UNIVERSAL_CHUCK)}
    sets = [jaws for jaws in here.jaw_sets if jaws.kind == JawKind.SOFT and jaws.chuck in chucks]
    chains = here.chains_to(chucks.values())
    holds: list[Hold] = []
    reaching: list[JawsOnHand] = []
    for jaws in sets:
        if jaws.outside is None or not reaches(job.stock.band, jaws.outside):
            continue
        reaching.append(jaws)
        chuck = chucks[jaws.chuck]
        if not jaws.why_not and chuck in chains:
            holds.append(hold_by(chuck, chains[chuck], Grasp(jaws.outside, job.stock.band, jaws=jaws)))
    best = here.best(hold.piece for hold in holds)
    return next((hold for hold in holds if hold.piece is best), None) or _none(job, sets, reaching)


def _none(job: Job, sets: list[JawsOnHand], reaching: Iterable[JawsOnHand]) -> Missing:
    size = in_unit(job.middle)
    if not sets:
        return Missing("no soft jaws for any chuck here")
    if not reaching:
        bored = min((jaws.last_bored for jaws in sets if jaws.last_bored is not None), default=None)
        if bored is not None and bored > job.middle:
            return Missing(f"no soft jaws for {size}: those here are bored to {in_unit(bored)} already")
        return Missing(f"no soft jaws that can be bored to {size}")
    why = next((jaws.why_not for jaws in reaching if jaws.why_not), "")
    return Missing(f"the soft jaws are {why}" if why else "the chuck of the soft jaws cannot be used here")


def _as_bored(hold: Hold) -> Reason:
    bored = hold.jaws.last_bored if hold.jaws else None
    if bored is None:
        return Reason("soft jaws not bored yet")
    return Reason(f"soft jaws last bored to {in_unit(bored)}, and only ever opened")


def _closed(hold: Hold) -> SetupStep:
    """Soft jaws are closed on a ring or plug before they are bored."""
    if hold.jaws is None or hold.jaws.is_in:
        return SetupStep(f"The soft jaws are in {hold.piece.tag}: close them on a ring or plug.", (hold.piece,))
    return SetupStep(f"{put_in(hold.jaws, hold.piece)}, and close them on a ring or plug.", (hold.piece,))
