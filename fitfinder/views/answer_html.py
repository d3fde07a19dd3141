"""The head of an answer page, as HTML: the question as it was read, and the verdict.

Each has a dozen conditions over a few words, over which a template takes ten times as long. All that is not ours is
escaped.
"""

from __future__ import annotations

from html import escape

from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from fitfinder.answers import Answer
from fitfinder.grips import Grip
from fitfinder.questions import Question

_WITHOUT_COLLET = {
    "blank": "No collet here holds it",
    "chuck": "No collet here holds it",
    "nothing": "Nothing holds it",
}


def ask_html(question: Question, reply: Answer, address: str) -> SafeString:
    """What was asked, as it was read; it leads back to the form."""
    more = f"&amp;{escape(address)}" if address else ""
    words = [_band_words(reply)]
    if question.lathe:
        words.append(escape(question.lathe))
    if reply.asked_tir:
        words.append(f"{reply.asked_tir.inch_text} in TIR asked")
    return mark_safe(
        f'<a class="ask" href="{reverse("find")}?change=1{more}"><span><b>{escape(reply.stock.read_as)}</b>\n'
        f"<small>{' · '.join(words)}</small></span><small>change</small></a>"
    )


def _band_words(reply: Answer) -> str:
    low, high = reply.stock.band.smallest, reply.stock.band.largest
    if reply.stock.grade:
        return f"{low.inch_text} in to {high.inch_text} in"
    return f"{low.mm_text} mm to {high.mm_text} mm" if high != low else f"{low.mm_text} mm"


def verdict_words(reply: Answer, lead: Grip | None, *, shows_collet: bool) -> str:
    """The verdict in large, and of a collet how much there is to spare."""
    verdict = str(reply.verdict)
    is_open = verdict == "measure first"
    words = _WITHOUT_COLLET.get(verdict) or verdict.capitalize()
    if is_open:
        words = "Mic it first" if shows_collet else "A chuck first"
    if not shows_collet or lead is None:
        return words
    if lead.is_at_nominal:
        return f"{words} · exactly its marked size"
    if lead.margin.nm == 0:
        return f"{words} · up to its limit, which it may reach"
    return words if is_open else f"{words} · {lead.margin.inch_text} in to spare"
