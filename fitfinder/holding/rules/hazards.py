"""What can hurt in one way of the plan, from its own numbers; silent where nothing calls for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from fitfinder.holding.job import in_tenths
from fitfinder.holding.parts import Act
from fitfinder.holding.pieces import CENTER_KINDS, CHUCK_KINDS, COLLET_KINDS, REST_KINDS
from fitfinder.holding.rules import grip_length, lifting, turning_hazards
from fitfinder.holding.rules.cautions import COMMON, Caution, jaws_near_their_end
from fitfinder.holding.rules.center_drilling import hole_in
from fitfinder.holding.verdicts import Verdict
from inventory.measures import amounts
from inventory.measures.length_words import in_unit, measured, runout_text, span, span_of_sizes
from inventory.measures.lengths import Length
from inventory.reference import practice
from inventory.reference.kinds import Kind

if TYPE_CHECKING:
    from fitfinder.holding.way import Way

PROPS = CENTER_KINDS | REST_KINDS | {Kind.BULL_NOSE_CENTER}
"""What holds up the free end."""


def for_way(way: Way) -> tuple[Caution, ...]:
    return (
        *_lifting(way),
        *turning_hazards.behind_spindle(way),
        *turning_hazards.unbalance(way),
        *turning_hazards.speed(way),
        *turning_hazards.nose(way),
        *turning_hazards.clearance(way),
        *_stick_out(way),
        *_of_the_bar(way, _short_grip(way)),
        *_centers(way),
        *_of_the_bar(way, _jaw_end(way)),
        *_of_the_bar(way, _collet(way)),
    )


def _of_the_bar(way: Way, cautions: Iterable[Caution]) -> Iterator[Caution]:
    """What follows from the size of the bar holds for the first set-up alone where the second grips what was turned."""
    for caution in cautions:
        is_of_the_first = way.job.setups > 1 and way.job.is_on_turned
        yield Caution(f"Set-up 1: {caution.text}", caution.source) if is_of_the_first else caution


def _lifting(way: Way) -> list[Caution]:
    caution = lifting.caution(way.lifted)
    return [] if caution is None else [caution]


def is_forbidden(way: Way) -> bool:
    """Whether no cut is taken as it is: long work that nothing holds up, as what should is missing or there is no such
    way."""
    out, free = way.job.diameters_out, practice.stick_out("chuck or collet").most
    return out is not None and out > free and not way.by.carries_both_ends and not way.has(*PROPS)


def _stick_out(way: Way) -> list[Caution]:
    out, free = way.job.diameters_out, practice.stick_out("chuck or collet").most
    if out is None or not is_forbidden(way):
        return []
    remedy = "No cut without a center or a rest."
    if way.job.bore is None and hole_in(way.job.thickness) is None:
        most = in_unit(Length(int(way.job.thickness.nm * free)))
        remedy = f"It is too thin for a center hole: let no more than {most} stand out, or set a rest."
    return [
        Caution(
            f"It stands out {way.job.thicknesses(out)} with nothing to hold up its end: above {in_tenths(free)} it "
            f"bends, climbs and is thrown. {remedy}",
            COMMON,
        )
    ]


_ONE_JAW = Fraction(1000)
"""What a jaw may press with, in pounds: to say what a grip bears."""


def _short_grip(way: Way) -> list[Caution]:
    out, gripped = way.job.stands_out, way.job.gripped
    if out is None or not way.by.grips_a_length or way.has(*PROPS) or not grip_length.is_short(way.job):
        return []
    return [
        Caution(
            f"{in_unit(gripped)} of grip is short for {in_unit(out)} standing out: grip more, or bring up a center."
            f"{_rocks(way, gripped, out)}",
            COMMON,
        )
    ]


def _rocks(way: Way, gripped: Length, out: Length) -> str:
    jaws = way.hold.piece.jaws if way.hold is not None else None
    force = grip_length.rocks_at(_ONE_JAW, grip=Fraction(gripped.nm), stick_out=Fraction(out.nm), jaws=jaws or 0)
    return (
        f" With {amounts.force(_ONE_JAW)} at each jaw {amounts.force(force)} across its end rock it."
        if force is not None
        else ""
    )


def _centers(way: Way) -> list[Caution]:
    cautions = [
        Caution(f"{piece.tag} does not turn: without lubricant it welds itself to the work.", COMMON)
        for piece in way.used_to(Act.LUBRICATE)
    ]
    if way.does(Act.TURN_SOFT_CENTER):
        cautions.append(Caution("A soft center that was taken out is cut again in place, or it runs out.", COMMON))
    return cautions


def _jaw_end(way: Way) -> list[Caution]:
    hold = way.hold
    if hold is None or hold.piece.kind not in CHUCK_KINDS or hold.reach is None or hold.band is None:
        return []
    return jaws_near_their_end(hold.piece.tag, held=hold.band.largest, largest=hold.reach.largest)


def _collet(way: Way) -> Iterator[Caution]:
    """What closing a collet on this work asks for."""
    grip = way.collet
    if grip is None:
        yield from _undersize(way)
        return
    tag, low, high = grip.piece.tag, grip.reach.smallest, grip.reach.largest
    if grip.piece.over_limit is not None and grip.piece.tir is not None:
        yield Caution(
            f"{tag} reads {runout_text(grip.piece.tir)} TIR, over its limit of {runout_text(grip.piece.over_limit)}, "
            "and is still called good: inspect it.",
            "the limit of its series or kind",
        )
    if grip.verdict is Verdict.MEASURE_FIRST:
        yield Caution(
            f"Mic it first: close {tag} only on stock from {span(low, high)}. Closed on less it "
            "takes a set or breaks; never force more in.",
            COMMON,
        )
    if grip.verdict is Verdict.AT_THE_LIMIT and grip.margin.nm >= 0:
        near = f"{in_unit(grip.margin)} from" if grip.margin.nm else "Exactly at"
        is_low = grip.held.smallest < grip.reach.smallest + grip.reach.edge_bottom
        on_less = f" Closed on less than {measured(low)} it takes a set or breaks." if is_low else ""
        yield Caution(f"{near} the limit of {tag}: mic the bar along the gripped length.{on_less}", COMMON)
    if grip.is_by_corners:
        yield Caution("Only the corners touch: they mark, and the grip is weak. Light cuts, low speed.", COMMON)
    if grip.passes_through is False:
        yield Caution("Short work only: this bar does not pass through all of the way.", "through-holes of the pieces")


def _undersize(way: Way) -> list[Caution]:
    """What is bored or turned in place closes on that size alone."""
    hold = way.hold
    if hold is None or hold.piece.kind not in COLLET_KINDS or hold.reach is None:
        return []
    if way.job.stock.band.smallest >= hold.reach.smallest + hold.reach.edge_bottom:
        return []
    low, high = hold.reach.smallest, hold.reach.largest
    stock = f"stock of {in_unit(low)}" if low == high else f"stock from {span_of_sizes(low, high)}"
    return [
        Caution(f"Close {hold.piece.tag} only on {stock}: closed empty or on less it takes a set or breaks.", COMMON)
    ]
