"""What there is to know of the way that leads, beside its verdict: what to mic for, and where a stop ends up."""

from __future__ import annotations

from fitfinder.find.answer import Answer
from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.runout import Basis
from fitfinder.holding.stock import Band, Stock
from fitfinder.holding.verdicts import Reach, Verdict
from inventory.measures.display import now
from inventory.measures.length_words import measured, other_unit, span
from inventory.measures.lengths import NM_PER_MM, NM_PER_TENTH, Length
from inventory.reference.draw_in import draw_in
from inventory.reference.er_runout import class_2_runout, is_of_the_standard

A_THOU = Length.inches("0.001")


def notes_of(answer: Answer) -> tuple[str, ...]:
    """Sentences for the collet that leads; where a chuck leads, only which bars the best collet would take."""
    lead = answer.grips[0] if answer.grips else None
    if isinstance(lead, ColletGrip):
        of_the_size = (*_which_fit(answer.stock, lead), *_stop_thread(answer.stock, lead))
        return (*of_the_size, *_class_of_er(lead), *_stop(lead))
    collet = next((grip for grip in answer.grips if isinstance(grip, ColletGrip)), None)
    return tuple(_which_fit(answer.stock, collet)) if collet is not None else ()


def which_fit(band: Band, reach: Reach) -> str:
    """Which bars of a band that straddles a limit fit the range, which do not, and what to mic for.

    Limits are given inward to what a micrometer shows, so that a bar at the figure itself fits.
    """
    low, high = _from(reach.smallest), _upto(reach.largest)
    ends = span(band.smallest, band.largest)
    if band.smallest >= reach.smallest:
        return f"of bars from {ends} those up to {high} fit, larger ones do not. Mic for {high} or less."
    if band.largest <= reach.largest:
        return f"of bars from {ends} those from {low} up fit, smaller ones do not. Mic for {low} or more."
    return f"of bars from {ends} only those from {low} to {high} fit. Mic for both limits."


def _which_fit(stock: Stock, grip: ColletGrip) -> tuple[str, ...]:
    if grip.verdict is not Verdict.MEASURE_FIRST:
        return ()
    words = f"{grip.size.name}: {which_fit(grip.held, grip.reach)}"
    return (f"{words} Mic it in several places round: such bar is not round." if stock.is_rough else words,)


def _upto(limit: Length) -> str:
    step = _step()
    return f"{measured(Length(limit.nm // step * step))} ({other_unit(limit)})"


def _from(limit: Length) -> str:
    step = _step()
    return f"{measured(Length(-(-limit.nm // step) * step))} ({other_unit(limit)})"


def _step() -> int:
    """What is read off a micrometer: a tenth of a thousandth, or a hundredth of a millimetre."""
    return NM_PER_MM // 100 if now().is_metric else NM_PER_TENTH


def _stop_thread(stock: Stock, lead: ColletGrip) -> list[str]:
    size = lead.size
    narrow = size.passes_with_stop_thread
    if lead.piece.stop_thread is not None or narrow is None or size.passes is None:
        return []
    if not narrow < stock.across_corners <= size.passes:
        return []
    return [f"Goes through {lead.piece.tag} unless a thread for a stop is cut in it: then {measured(narrow)} is all."]


def _class_of_er(lead: ColletGrip) -> list[str]:
    size = lead.size
    known = class_2_runout(size.nominal) if is_of_the_standard(size.series) else None
    part = next((part for part in lead.runout.parts if part.name == lead.piece.tag), None)
    if known is None or part is None or part.basis is not Basis.TYPICAL or part.tir != known.class_2:
        return []
    return [f"{known.class_2.mm_text} mm is ISO 15488 class 2, at nominal size only; this collet was not measured."]


def _stop(lead: ColletGrip) -> list[str]:
    spread = lead.held.largest - lead.held.smallest
    differs = spread if spread.nm else A_THOU
    moved = draw_in(lead.size.series, differs)
    if moved is None:
        return []
    return [
        f"A stop in the collet moves as it draws in: {measured(differs)} of diameter moves the face "
        f"{measured(moved)}. A spindle stop does not move."
    ]
