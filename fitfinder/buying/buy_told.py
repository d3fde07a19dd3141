"""A buy list as the page tells it: plain values, which can be kept and shown again without working it out."""

from __future__ import annotations

from fitfinder.buying import buy_words
from fitfinder.buying.buy_list import BuyList, Line, Uncovered
from inventory.measures.lengths import nominal

LONGEST_WHY = 200
_KINDS = {"blank": "machinable collet"}


def told(found: BuyList) -> dict:
    """All that the page shows. Money is in whole cents."""
    act, _, so = buy_words.headline(found).partition(": ")
    return {
        "act": act,
        "so": so[:1].upper() + so[1:],
        "proof": buy_words.proof(found),
        "is_proved": found.is_proved,
        "cents": found.cents,
        "bound": found.bound,
        "greedy_cents": found.greedy_cents,
        "met": found.met,
        "held_weight": found.held_weight,
        "lines": [_line(line) for line in found.lines],
        "uncovered": [_uncovered(item) for item in found.uncovered],
        "held": [demand.name for demand in found.held],
    }


def _line(line: Line) -> dict:
    is_set = line.offer.kind == "set"
    return {
        "name": line.offer.name,
        "cents": line.cents,
        "reason": buy_words.reason(line),
        "sizes": f"{line.offer.series.figures.code}: {buy_words.sizes_in_words(line)}" if is_set else "",
        "box": _box(line),
    }


def _box(line: Line) -> str:
    """What the page sends back where this line is ticked."""
    figures, offer = line.offer.series.figures, line.offer
    sizes = ",".join(str(size.nm) for size in offer.sizes)
    what = "a blank, to be bored to it: " if offer.kind == "blank" else ""
    why = f"{what}holds {buy_words.in_short(line.covers)}"[:LONGEST_WHY]
    name = offer.name.replace("|", "/") if offer.kind == "set" else ""
    return "|".join([figures.code, figures.shape, sizes, _KINDS.get(offer.kind, ""), str(line.cents), name, why])


def _uncovered(item: Uncovered) -> dict:
    priced = None
    if item.offer is not None:
        figures = item.offer.series.figures
        priced = {"series": figures.code, "shape": figures.shape, "size": nominal(item.offer.sizes[0])}
    return {"name": item.name, "why": item.why, "to_price": priced}
