"""The way that leads an answer, as HTML: its name and place, its range as a picture, and the way to the work.

Drawn for every answer, with some sixty figures and words: as with the rows, a template takes six times as long over
them. All that is not ours is escaped; figures are our own.
"""

from __future__ import annotations

from html import escape

from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst

from fitfinder.find.window import Window
from fitfinder.holding.grips import Grip
from fitfinder.holding.pieces import BORED_KIND
from inventory.web.addresses import address_of_tag

_NOMINAL_UPTO = 270
"""A nominal size further right would be written over the limit."""


def head_html(grip: Grip) -> SafeString:
    """What it is called, where it is, and in what condition."""
    piece = grip.piece
    place = f'<span class="drawer">{escape(grip.where)}</span>' if grip.where else ""
    condition = '<span class="tag-word worn">worn</span>' if piece.condition == "worn" else piece.condition
    return mark_safe(
        f'<h1>{escape(grip.name)}</h1>\n<p class="where">{place}\n'
        f'<span><a href="{address_of_tag(piece.tag)}">{escape(piece.tag)}</a> · {condition}</span></p>'
    )


def window_html(window: Window, grip: Grip) -> SafeString:
    """The picture with its words; of a bored blank, which has no range beside its bore, words alone."""
    if grip.piece.kind == BORED_KIND:
        return mark_safe(
            '<p class="hint">Bored here, and promised at that bore only. It runs true while it stays where it was '
            "bored; put in again, indicate it.</p>"
        )
    zone = nominal = ""
    if window.zone_width:
        zone = f'<rect class="zone" x="{window.zone_from}" y="21" width="{window.zone_width}" height="22"/>'
    if window.nominal and window.nominal < _NOMINAL_UPTO:
        nominal = f'<text class="zone" x="{window.nominal}" y="64" text-anchor="middle">{grip.nominal.inch_text}</text>'
    hint = "Outside the zone where it runs as marked: its run-out is not promised."
    if grip.in_true_zone:
        hint = "Inside the dashed zone, where it runs as marked."
    return mark_safe(
        f'<svg viewBox="0 0 358 68" role="img" aria-label="{escape(window.words)}">'
        f'<rect class="win" x="{window.left}" y="20" width="{window.width}" height="24"/>{zone}'
        f'<rect class="stock" x="{window.stock_from}" y="12" width="{window.stock_width}" height="40"/>'
        f'<text class="stock" x="{window.stock_middle}" y="9" text-anchor="middle">your bar</text>'
        f'<text class="limit" x="{window.left}" y="64">{grip.reach.smallest.inch_text}</text>'
        f'<text class="limit" x="{window.right}" y="64" text-anchor="end">{grip.reach.largest.inch_text}</text>'
        f'{nominal}</svg>\n<p class="hint">{hint}</p>'
    )


def foot_html(grip: Grip, *, may_issue: bool, here: str, csrf_token: str, token: str) -> SafeString:
    """Whether a bar goes through, or what there is to say of centers; then the tap that issues it or brings it back.

    `here` is the page to come back to; both tokens are the request's own.
    """
    tag, address = escape(grip.piece.tag), address_of_tag(grip.piece.tag)
    button = ""
    if grip.piece.is_with_asker:
        button = f'<a class="button button-quiet" href="{address}">Return {tag}</a>'
    elif may_issue:
        fields = {"csrfmiddlewaretoken": csrf_token, "token": token, "next": here}
        hidden = "".join(f'<input type="hidden" name="{name}" value="{escape(text)}">' for name, text in fields.items())
        issue = address_of_tag(grip.piece.tag, "tool_issue")
        button = (
            f'<form method="post" action="{issue}">{hidden}<button class="button">Issue {tag} to me</button></form>'
        )
    return mark_safe(f"{_passes(grip)}\n{button}")


def _passes(grip: Grip) -> str:
    if grip.method == "between centers":
        return f"<p>{escape(capfirst('; '.join(grip.reasons)))}.</p>"
    words = {True: "yes", None: "not known", False: "no: short work only"}[grip.passes_through]
    return f'<dl class="facts">\n<dt>Bar goes through</dt><dd>{words}</dd>\n</dl>'


def chain_html(grip: Grip) -> SafeString:
    """Each link with its place and its run-out, then how true the whole is."""
    steps = [(escape(step.name), f"· {escape(step.place)} " if step.place else "", step.truth) for step in grip.steps]
    names = [name for name, _, _ in steps[:-1]] + [f"<b>{name}</b>" for name, _, _ in steps[-1:]]
    items = "".join(
        f"<li>{name} <span>{place}· {escape(truth)}</span></li>"
        for name, (_, place, truth) in zip(names, steps, strict=True)
    )
    misses = " · misses what you asked" if grip.meets_tir is False else ""
    doubt = "" if grip.chain.is_checked else f"<dt>Not checked</dt><dd>{escape(grip.chain.doubt)}</dd>"
    return mark_safe(
        f'<ol class="chain">{items}</ol>\n'
        f'<dl class="facts"><dt>How true</dt><dd>{_how_true(grip)}{misses}</dd>{doubt}</dl>'
    )


def _how_true(grip: Grip) -> str:
    total, known = grip.runout.total, grip.runout.known
    if total and not grip.in_true_zone:
        return f"<b>not promised here</b>; {total.inch_text} in TIR at its marked size"
    if total:
        return f"<b>{total.inch_text} in TIR</b>, {grip.runout.basis}; axis off by {grip.runout.axis_off.inch_text} in"
    return f"<b>at least {known.inch_text} in TIR</b>; the rest is not known" if known.nm else "<b>not known</b>"
