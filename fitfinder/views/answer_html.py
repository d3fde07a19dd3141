"""An answer page, as HTML: the question as it was read, the verdict, the way that leads, and what else there is.

Each part has a dozen conditions over a few words, over which a template takes ten times as long. All that is not ours
is escaped. The way that leads is in `lead_html.py`, the rows of the lists in `rows.py`; what few answers have, like a
gap, stays with the templates.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from urllib.parse import quote

from django.utils.safestring import SafeString, mark_safe

from fitfinder.find.answer import Answer
from fitfinder.find.question import Question
from fitfinder.find.window import window
from fitfinder.holding.cautions import Caution
from fitfinder.holding.grips import Grip
from fitfinder.holding.stock import Stock
from fitfinder.views.lead_html import chain_html, foot_html, head_html, window_html
from fitfinder.views.rows import Rows
from inventory.measures.lengths import nominal
from inventory.web.addresses import address_of_page, address_of_tag

_WITHOUT_COLLET = {
    "blank": "No collet here holds it",
    "chuck": "No collet here holds it",
    "nothing": "Nothing holds it",
}


class AnswerPage:
    """The parts of the page of one answer.

    `address` is the question as a query string and `here` the page to come back to. A blank is told in place of a way
    that leads: beside it no collet holds the stock, and what is left are the other ways.
    """

    def __init__(self, question: Question, reply: Answer, *, address: str, here: str, user) -> None:
        self._question, self._reply, self._user = question, reply, user
        self._address, self._here = escape(address), here
        self._is_blank = reply.verdict == "blank"
        self._lead = reply.grips[0] if reply.grips and not self._is_blank else None
        self._leads_collet = self._lead is not None and self._lead.piece.size is not None

    def top(self, *, csrf_token: str, token: str) -> SafeString:
        """What was asked, the verdict, and the way that leads; both tokens are the request's own."""
        lead, reply = self._lead, self._reply
        if self._is_blank:
            way = _blank_html(reply)
        elif lead is None:
            way = "<h1>No way to hold it is on hand</h1>"
        else:
            way = f"{head_html(lead)}\n{self._picture()}\n{chain_html(lead)}\n{self._lathes_to_describe()}"
        foot = ""
        if lead is not None:
            may_issue = self._user.may_issue
            foot = foot_html(lead, may_issue=may_issue, here=self._here, csrf_token=csrf_token, token=token)
        verdict = verdict_words(reply, lead, shows_collet=self._leads_collet)
        return mark_safe(
            f'{ask_html(self._question, reply, self._address)}\n<section class="lead">\n'
            f'<p class="verdict">{escape(verdict)}</p>\n{way}\n<p>{escape(reply.headline)}</p>\n{foot}\n</section>'
        )

    def _picture(self) -> str:
        if not self._leads_collet:
            return ""
        stock = self._reply.stock
        return window_html(window(self._lead, stock.band, stock.shape), self._lead)

    def _lathes_to_describe(self) -> str:
        if self._lead.chain.lathe is not None or not self._user.may_keep:
            return ""
        return f'<p><a href="{address_of_page("lathe_list")}">Describe the lathes</a> to have it checked.</p>'

    def care(self, notes: Iterable[str]) -> SafeString:
        """What can hurt by the way that leads, how its bar may measure, and what else is good to know of it."""
        cautions = self._lead.cautions if self._lead is not None else ()
        parts = [_caution_html(caution) for caution in cautions]
        if self._reply.stock.grade:
            parts.append(_grade_html(self._reply.stock))
        parts += [f"<p>{escape(note)}</p>" for note in notes]
        return mark_safe("\n".join(parts))

    def rest(self) -> SafeString:
        """The other ways, what is left out, what is near; and what holds for every answer."""
        reply, rows = self._reply, Rows()
        others = () if self._is_blank else reply.grips[1:]
        shown = set() if self._is_blank else {grip.piece.id for grip in reply.grips}
        other_ways = reply.grips if self._is_blank else reply.fallbacks
        fallbacks = _best_of_each_method(grip for grip in other_ways if grip.piece.id not in shown)
        parts = (
            _list_html("Also holds", rows.also_holds(others)),
            _more_html(reply),
            _list_html("Without a collet", rows.without_collet(fallbacks)),
            f'<p><a href="{address_of_page("plan")}?{self._address}">Compare all ways to hold it in the Plan</a></p>',
            _list_html("In a pinch", rows.in_a_pinch(reply.make_dos)),
            _list_html("Left out", rows.left_out(reply.left_out)),
            _list_html("Nearest sizes", rows.nearest(reply.near_enough)),
            self._details_missing(),
            f'<p class="care">{escape(reply.cautions[-1].text)}</p>',
            self._numbers(),
        )
        return mark_safe("\n".join([part for part in parts if part]))

    def _details_missing(self) -> str:
        count = self._reply.details_missing
        if not count:
            return ""
        may_fill_in = self._user.may_keep
        where = address_of_page("details_missing") if may_fill_in else f"{address_of_page('tool_list')}?state=details"
        pieces = "piece" if count == 1 else "pieces"
        return f'<p>{count} {pieces} could not be considered: <a href="{where}">details missing</a>.</p>'

    def _numbers(self) -> str:
        series = f"?q={quote(self._lead.piece.size.series)}" if self._leads_collet else ""
        return f'<p><a href="{address_of_page("numbers")}{series}">Where our numbers come from</a></p>'


def _best_of_each_method(grips: Iterable[Grip]) -> list[Grip]:
    """The plan compares them all; here one of each will do, each with its cautions."""
    found = {}
    for grip in grips:
        found.setdefault(grip.method, grip)
    return list(found.values())


def _blank_html(reply: Answer) -> str:
    """What is to be bored, and where the blank for it is."""
    blank = reply.blanks[0]
    place = f'<span class="drawer">{escape(blank.location)}</span>' if blank.location else ""
    return (
        f"<h1>Bore a blank to {nominal(reply.bore_to)}</h1>\n"
        f'<p class="where">{place}<span><a href="{address_of_tag(blank.tag)}">{escape(blank.tag)}</a> · '
        f"{escape(blank.mounts_in.code)} blank, pilot {nominal(blank.pilot)}</span></p>"
    )


def _caution_html(caution: Caution) -> str:
    return f'<p class="care"><b>Take care.</b> {escape(caution.text)} <small>{escape(caution.source)}</small></p>'


def _grade_html(stock: Stock) -> str:
    band, grade = stock.band, stock.grade
    out_of_round = f"; and {stock.out_of_round.inch_text} in out of round" if stock.out_of_round else ""
    return (
        f'<p class="card">Such bar may be {band.smallest.inch_text} in to {band.largest.inch_text} in, '
        f"{escape(grade.deviations)} of nominal{out_of_round}. <small>{escape(grade.source)}</small></p>"
    )


def _list_html(heading: str, rows: str) -> str:
    return f'<h2>{heading}</h2>\n<ul class="rows">{rows}</ul>' if rows else ""


def _more_html(reply: Answer) -> str:
    if not reply.more:
        return ""
    words = "more piece holds" if reply.more == 1 else "more pieces hold"
    return f'<p>{reply.more} {words} it. <a href="{address_of_page("tool_list")}">See the tooling</a></p>'


def ask_html(question: Question, reply: Answer, address: str) -> SafeString:
    """What was asked, as it was read; it leads back to the form. The address is escaped already."""
    more = f"&amp;{address}" if address else ""
    words = [_band_words(reply)]
    if question.lathe:
        words.append(escape(question.lathe))
    if reply.asked_tir:
        words.append(f"{reply.asked_tir.inch_text} in TIR asked")
    return mark_safe(
        f'<a class="ask" href="{address_of_page("find")}?change=1{more}"><span><b>{escape(reply.stock.read_as)}</b>\n'
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
