"""The one sentence of an answer that a person can act on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitfinder.holding.methods import chucks
from fitfinder.holding.verdicts import Verdict
from inventory.measures.lengths import named, nominal

if TYPE_CHECKING:
    from fitfinder.find.answer import Answer
    from fitfinder.holding.grips import Grip


def headline_of(answer: Answer) -> str:
    """What to take, or what to do instead."""
    if not answer.grips:
        return _without_a_grip(answer)
    if answer.verdict == "chuck":
        text = f"No collet here holds it.{_who_has_one(answer)} {_other_way(answer.grips[0])}"
        link = next((item for item in answer.left_out if item.lacks_link), None)
        if link is not None:
            text = f"{_other_way(answer.grips[0])} {link.sentence}."
        return text + _misses(answer.grips[0])
    if answer.verdict == "blank":
        return _without_a_grip(answer)
    lead = answer.grips[0]
    if lead.method != "collet":
        if answer.stock.is_rough:
            return f"Hot rolled bar is scaled and out of round: a chuck first. {_other_way(lead)}{_misses(lead)}"
        best = next(grip for grip in answer.grips if grip.method == "collet")
        return f"{_other_way(lead)} {best.piece.size.name} {_why_not_true(best)}."
    text = _take(answer, lead)
    text += _misses(lead)
    if answer.asked_tir is not None and lead.meets_tir is None:
        text += " How truly it runs here is not known."
    elif answer.asked_tir is not None and lead.runout.basis == "typical":
        text += " It typically runs that truly, but was not measured."
    if answer.quicker is not None:
        parts = chucks.parts_until_collet_is_quicker()
        chuck, lathe = answer.quicker.piece.tag, answer.quicker.chain.lathe.name
        text += f" The universal chuck {chuck} is on {lathe} now: quicker for up to {parts} parts."
    return text


def _misses(grip: Grip) -> str:
    if grip.meets_tir is not False:
        return ""
    return f" It runs {named(grip.runout.known)} or more: known to miss the TIR that you asked for."


def _take(answer: Answer, grip: Grip) -> str:
    where = _where(grip)
    if grip.verdict is Verdict.HOLDS:
        return f"Take {grip.piece.tag}{where}: {grip.piece.size.name} holds it."
    if grip.verdict is Verdict.AT_THE_LIMIT:
        return f"Take {grip.piece.tag}{where}: {grip.piece.size.name} holds it, {named(grip.margin)} in from its limit."
    low, high = grip.reach.smallest.inch_text, grip.reach.largest.inch_text
    return f"Mic it first: {grip.piece.tag}{where}, {grip.piece.size.name}, holds it from {low} to {high} in."


def _who_has_one(answer: Answer) -> str:
    """A collet that somebody has is had back by asking, before a blank is bored or a chuck is hung on."""
    out = next((item for item in answer.left_out if item.series and item.is_in_other_hands), None)
    return f" {out.sentence}." if out is not None else ""


def _where(grip: Grip) -> str:
    if grip.is_mounted or grip.piece.is_with_asker:
        return f", {grip.where}"
    return f" from {grip.where}" if grip.where else ""


def _why_not_true(grip: Grip) -> str:
    if grip.meets_tir is False:
        return f"holds it, but runs {named(grip.runout.known)} or more"
    return "holds it, but how truly it runs is not known"


def _other_way(grip: Grip) -> str:
    where = _where(grip)
    if grip.method == "independent chuck":
        return f"Dial it in: {grip.piece.tag}{where}, independent chuck."
    if grip.method == "between centers":
        return f"Hold it between centers: {', '.join(grip.tags)}."
    return f"Use {grip.piece.tag}{where}, universal chuck, {grip.piece.jaws} jaws."


def _without_a_grip(answer: Answer) -> str:
    if answer.verdict == "blank":
        blank = answer.blanks[0]
        where = f" from {blank.location}" if blank.location else ""
        holds = f"No collet here holds it.{_who_has_one(answer)}"
        text = f"{holds} Bore blank {blank.tag}{where} to {named(answer.bore_to)} in"
        others = f", or use {answer.grips[0].piece.tag}" if answer.grips else ""
        return f"{text}{others}. A bore can only be opened later, never closed."
    if answer.gap is not None:
        gap = answer.gap
        return f"Nothing on hand holds it. A {nominal(gap.size)} {gap.shape} {gap.series} would: {gap.why}."
    if answer.left_out:
        first = answer.left_out[0]
        return f"Nothing on hand holds it now: {first.sentence}."
    return "Nothing on hand holds it, and no size of a series known here would."
