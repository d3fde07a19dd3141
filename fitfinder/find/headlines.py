"""The one sentence of an answer that a person can act on."""

from __future__ import annotations

from fitfinder.find.answer import Answer
from fitfinder.find.way_grips import Grip
from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.collets.grips import wanted_pieces
from fitfinder.holding.lost import lost_chuck, lost_collet
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import Piece
from fitfinder.holding.runout import Basis
from fitfinder.holding.verdicts import Outcome, Verdict
from fitfinder.holding.wants import OpenWant
from inventory.measures.length_words import in_unit, nominal, runout_in_words, span
from inventory.reference import practice
from inventory.reference.place_words import place_words


def headline_of(answer: Answer) -> str:
    """What to take, or what to do instead."""
    if answer.verdict is Outcome.BLANK:
        return _bore(answer)
    if not answer.grips:
        return _nothing(answer)
    lead = answer.grips[0]
    if answer.verdict is Outcome.CHUCK:
        return _no_collet(answer, lead)
    if not isinstance(lead, ColletGrip):
        return _not_the_collet(answer, lead)
    text = _take(lead) + _misses(lead)
    if answer.asked_tir is not None and lead.meets_tir is None:
        text += " How truly it runs here is not known."
    elif answer.asked_tir is not None and lead.runout.basis is Basis.TYPICAL:
        text += " It typically runs that truly, but was not measured."
    return text + _not_checked(lead) + _lost(answer, lead) + _wanted(*lead.pieces) + _quicker(answer.quicker)


def _lost(answer: Answer, lead: Grip | None = None) -> str:
    """What would have been in the place of what leads, and is lost."""
    stock, left_out = answer.stock, answer.left_out
    item = lost_collet(left_out, stock, lead.piece if lead is not None else None)
    item = item or lost_chuck(left_out, (grip.piece.kind for grip in answer.grips))
    return f" {item.sentence}." if item is not None else ""


def _take(grip: ColletGrip) -> str:
    piece = f"{grip.piece.tag}{_where(grip)}"
    if grip.verdict is Verdict.HOLDS:
        return f"Take {piece}: {grip.size.name} holds it."
    if grip.verdict is Verdict.AT_THE_LIMIT:
        return f"Take {piece}: {grip.size.name} holds it, {in_unit(grip.margin)} from its limit."
    return f"Mic it first: {piece}, {grip.size.name}, holds it from {span(grip.reach.smallest, grip.reach.largest)}."


def _quicker(chuck: Grip | None) -> str:
    if chuck is None or chuck.chain.lathe is None:
        return ""
    where, parts = chuck.chain.lathe.name, parts_until_collet_is_quicker()
    return f" The universal chuck {chuck.piece.tag} is on {where} now: quicker for up to {parts} parts."


def _not_the_collet(answer: Answer, lead: Grip) -> str:
    """Where a collet would hold it, but another way leads."""
    if answer.stock.is_rough:
        return f"Hot rolled bar is scaled and out of round: a chuck first. {_other_way(lead)}{_misses(lead)}"
    best = next(grip for grip in answer.grips if isinstance(grip, ColletGrip))
    runs = f"runs {runout_in_words(best.runout.known)} or more" if best.meets_tir is False else _RUNS_UNKNOWN
    return f"{_other_way(lead)} {best.size.name} holds it, but {runs}.{_lost(answer, best)}"


_RUNS_UNKNOWN = "how truly it runs is not known"


def _no_collet(answer: Answer, lead: Grip) -> str:
    link = next((item for item in answer.left_out if item.lacks_link), None)
    if link is not None:
        return f"{_other_way(lead)} {link.sentence}.{_lost(answer)}{_misses(lead)}"
    return f"No collet here holds it.{_who_has_one(answer)}{_lost(answer)} {_other_way(lead)}{_misses(lead)}"


def _who_has_one(answer: Answer) -> str:
    """A collet that somebody has is had back by asking, before a blank is bored or a chuck is hung on; next comes one
    that is on its way."""
    for step in answer.ladder:
        if step.left_out is not None:
            return f" {step.left_out.sentence}."
        if step.want is not None:
            return _on_its_way(step.want)
    return ""


def _on_its_way(want: OpenWant) -> str:
    return f" A {want.name} was {want.words}."


def _misses(grip: Grip) -> str:
    if grip.meets_tir is not False:
        return ""
    return f" It runs {runout_in_words(grip.runout.known)} or more: known to miss the TIR that you asked for."


def _where(grip: Grip) -> str:
    if grip.is_mounted or grip.piece.is_with_asker:
        return f", {grip.where}"
    return f" from {place_words(grip.where)}" if grip.where else ""


def _other_way(grip: Grip) -> str:
    piece = f"{grip.piece.tag}{_where(grip)}"
    sentence = SENTENCE_OF_METHOD[grip.method].format(piece=piece, tags=", ".join(grip.tags), jaws=grip.piece.jaws)
    return sentence + _not_checked(grip) + _wanted(*grip.pieces)


def _wanted(*pieces: Piece) -> str:
    """What another job is waiting for of these."""
    return "".join(f" {words}." for words in wanted_pieces(pieces))


def _not_checked(grip: Grip) -> str:
    return "" if grip.chain.is_checked else f" Not checked: {grip.chain.doubt}"


SENTENCE_OF_METHOD = {
    Method.UNIVERSAL_CHUCK: "Use {piece}, universal chuck, {jaws} jaws.",
    Method.INDEPENDENT_CHUCK: "Dial it in: {piece}, independent chuck.",
    Method.BETWEEN_CENTERS: "Hold it between centers: {tags}.",
    Method.COLLET: "Turn the step of {piece} to it: it can only be opened.",
    Method.SOFT_CENTER: "Hold it between centers, on a soft center turned in place: {tags}.",
    Method.FACEPLATE: "Clamp it to the faceplate {piece}, and dial it in.",
    Method.SOFT_JAWS: "Bore the soft jaws of {piece} to it.",
    Method.SPLIT_BUSHING: "Make a split bushing for it, to go in {piece}.",
    Method.MANDREL: "Hold it by its bore: {piece}.",
}


def _bore(answer: Answer) -> str:
    """A bore cannot be closed again, so a blank comes after what holds the stock as it is."""
    blank = answer.blanks[0]
    where = f" from {place_words(blank.location)}" if blank.location else ""
    bore = f"ore blank {blank.tag}{where} to {in_unit(answer.bore_to)}"
    once = f"A bore can only be opened later, never closed.{_wanted(blank)}"
    before = f"No collet here holds it.{_who_has_one(answer)}{_lost(answer)}"
    if answer.leads_without_blank:
        return f"{before} {_other_way(answer.grips[0])} Or b{bore}. {once}"
    others = f", or use {answer.grips[0].piece.tag}" if answer.grips else ""
    return f"{before} B{bore}{others}. {once}"


def _nothing(answer: Answer) -> str:
    if answer.gap is not None:
        gap = answer.gap
        asked = _on_its_way(answer.wants[0]) if answer.wants else ""
        would = f"A {nominal(gap.size)} {gap.shape} {gap.series} would: {gap.why}."
        return f"Nothing on hand holds it. {would}{'' if gap.is_lost else _lost(answer)}{asked}"
    if answer.left_out:
        return f"Nothing on hand holds it now: {answer.left_out[0].sentence}."
    return "Nothing on hand holds it, and no size of a series known here would."


def parts_until_collet_is_quicker() -> int:
    """Up to how many parts a chuck that is on the lathe now beats fitting a closer and a collet.

    From the working minutes of common practice: fitting costs once, the chuck costs more for each part.
    """
    fit = practice.minutes("closer fit").most + practice.minutes("collet change").most
    per_part = practice.minutes("universal chuck").most - practice.minutes("collet").most
    return int(fit / per_part)
