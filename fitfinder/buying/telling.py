"""A buy list as it is told: in words, as JSON, as lines for a terminal, and as what the page shows.

In the JSON fields may be added; none is renamed or dropped without a line in CHANGELOG.md.
"""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from fitfinder.buying.buy_list import BuyLine, BuyList, Unmet
from fitfinder.buying.demand import in_short
from fitfinder.buying.offers import DemandBySize, money
from inventory.measures import money as amounts
from inventory.measures.length_words import nominal
from inventory.measures.lengths import length_json

_COUNTED = "each bar counted by how much it matters"
LONGEST_WHY = 200
BETWEEN_WHYS = "¦"
"""Between what each size of a set holds; no size is written with it."""
_MOST_SIZES_NAMED = 12
_KINDS = {"blank": "machinable collet"}


def headline(buy: BuyList) -> str:
    """One sentence a person can act on."""
    if not (buy.lines or buy.unmet or buy.held):
        return "No demand is on file: say which bar the shop keeps, and what to buy for it follows."
    if not buy.lines and not buy.unmet:
        return "Nothing is to buy: all the demand on file is held by what is here."
    if not buy.lines:
        return "Nothing can be bought for what is left of the demand: see why below."
    things = f"{len(buy.lines)} thing{'' if len(buy.lines) == 1 else 's'}"
    if buy.budget is None:
        rest = "all the demand that can be held" if buy.unmet else "all the demand on file"
        return f"Buy {things} for {money(buy.cents)}: with them {rest} is held."
    if not any(item.is_too_dear for item in buy.unmet):
        return f"Buy {things} for {money(buy.cents)}: more than that of {money(buy.budget)} is not needed."
    return f"Buy {things} for {money(buy.cents)} of {money(buy.budget)}: that meets the most demand for the money."


def proof(buy: BuyList) -> list[str]:
    """How good the list is, sentence by sentence."""
    if not buy.lines:
        return [_left_out(buy)] if buy.unpriced else []
    sentences = [_is_best(buy), _bought_singly(buy)]
    if buy.is_proved and not buy.is_settled:
        sentences.append(
            "Time ran out before equally cheap choices were compared: another may have fewer or nearer sizes."
        )
    sentences.append(
        f"It was chosen among {buy.priced:,} sizes, sets and blanks with a price that would hold some of the demand."
    )
    return [sentence for sentence in (*sentences, _left_out(buy)) if sentence]


def reason(line: BuyLine) -> str:
    """Why a line is on the list: what it holds, what its price is, and what a set saves."""
    parts = [f"holds {in_short(line.covers)}", _price(line)]
    if line.offer.series.doubt:
        parts.append(f"not checked: {line.offer.series.doubt}")
    return ". ".join(part[0].upper() + part[1:].rstrip(".") for part in parts if part) + "."


def percent(part: int, total: int) -> str:
    """A share, rounded up to a tenth of a percent, so that it never says too little."""
    tenths = -(-part * 1000 // max(total, 1))
    return f"{tenths // 10}.{tenths % 10} %"


def _is_best(buy: BuyList) -> str:
    if buy.budget is not None and buy.met < buy.met_bound:
        share = percent(buy.met_bound - buy.met, buy.met_bound)
        return (
            f"Best found in the time allowed: it meets {buy.met} of the demand, {_COUNTED}; no choice for this "
            f"budget can meet more than {buy.met_bound}, so it is within {share}."
        )
    if buy.budget is None and buy.cents > buy.bound:
        share = percent(buy.cents - buy.bound, buy.cents)
        return f"Best found in the time allowed: none can cost less than {money(buy.bound)}, so it is within {share}."
    if buy.budget is None:
        return f"Proved: no choice among these prices that holds as much costs less than {money(buy.bound)}."
    best = f"Proved: no choice for {money(buy.budget)} meets more than {buy.met_bound} of the demand, {_COUNTED}"
    if buy.cents > buy.bound:
        return f"{best}; whether another that meets as much is cheaper was not settled in time."
    return f"{best}, and none that meets as much costs less than {money(buy.bound)}."


def _bought_singly(buy: BuyList) -> str:
    one_by_one = "Bought one by one, each time what holds most for its price,"
    if buy.budget is not None and buy.greedy_met < buy.met:
        short = buy.met - buy.greedy_met
        return f"{one_by_one} it would be {money(buy.greedy_cents)} for {buy.greedy_met} of demand, {short} less."
    more = buy.greedy_cents - buy.cents
    if buy.greedy_met == buy.met and more > 0:
        return f"{one_by_one} the same would have cost {money(buy.greedy_cents)}, {money(more)} more."
    return f"{one_by_one} it would have cost the same."


def _left_out(buy: BuyList) -> str:
    count = len(buy.unpriced)
    if not count:
        return ""
    one = count == 1
    return (
        f"{count:,} further size{'' if one else 's'} would hold some of it too but "
        f"{'has' if one else 'have'} no price, so {'it was' if one else 'they were'} not thought of."
    )


def _price(line: BuyLine) -> str:
    where = f"price: {line.price.basis}"
    if line.singly is not None and line.singly > line.price.cents:
        return f"{where}; singly the sizes of it that are needed would be {money(line.singly)}"
    return where


def _sizes_of_set(line: BuyLine) -> str:
    """What a set consists of; empty where the line is none."""
    if line.offer.kind != "set":
        return ""
    sizes = [nominal(size) for size in line.offer.sizes]
    few = len(sizes) <= _MOST_SIZES_NAMED
    words = ", ".join(sizes) if few else f"{len(sizes)} sizes from {sizes[0]} to {sizes[-1]}"
    return f"{line.offer.series.figures.code}: {words}"


def as_json(buy: BuyList) -> dict[str, Any]:
    return {
        "headline": headline(buy),
        "budget": None if buy.budget is None else _amount(buy.budget),
        "cost": _amount(buy.cents),
        "bound": _amount(buy.bound),
        "proved": buy.is_proved,
        "greedy_cost": _amount(buy.greedy_cents),
        "lines": [_line_as_json(line) for line in buy.lines],
        "met": float(buy.met),
        "met_bound": float(buy.met_bound),
        "greedy_met": float(buy.greedy_met),
        "held": float(buy.held_weight),
        "uncovered": [{"demand": item.name, "why": item.why} for item in buy.unmet],
        "proof": proof(buy),
    }


def _line_as_json(line: BuyLine) -> dict[str, Any]:
    offer, is_set = line.offer, line.offer.kind == "set"
    return {
        "kind": offer.kind,
        "series": offer.series.figures.code,
        "shape": offer.series.figures.shape,
        "size": None if is_set else length_json(offer.sizes[0]),
        "set": {"name": offer.name, "sizes": [length_json(size) for size in offer.sizes]} if is_set else None,
        "price": _amount(line.price.cents),
        "price_basis": line.price.basis,
        "covers": [demand.name for demand in line.covers],
        "reason": reason(line),
    }


def _amount(cents: int) -> str:
    return amounts.plain(cents)


def as_text(buy: BuyList, *, seconds: float) -> str:
    """The whole list in plain lines, the sentence to act on first."""
    held = len(buy.held)
    return "\n".join(
        [
            headline(buy),
            *(_line_as_text(line) for line in buy.lines),
            *proof(buy),
            *([f"Held already: {held} of the demand on file."] if held else []),
            *(f"Stays without: {item.name}: {item.why}." for item in buy.unmet),
            f"Worked out in {seconds:.2f} s.",
        ]
    )


def _line_as_text(line: BuyLine) -> str:
    sizes = _sizes_of_set(line)
    name = f"{line.offer.name} ({sizes})" if sizes else line.offer.name
    return f"  {money(line.price.cents):>10}  {name}. {reason(line)}"


def for_page(buy: BuyList) -> dict[str, Any]:
    """All that the page shows. Money is in whole cents."""
    act, _, so = headline(buy).partition(": ")
    return {
        "act": act,
        "so": so[:1].upper() + so[1:],
        "proof": proof(buy),
        "is_proved": buy.is_proved,
        "cents": buy.cents,
        "bound": buy.bound,
        "greedy_cents": buy.greedy_cents,
        "met": buy.met,
        "held_weight": buy.held_weight,
        "lines": [_line_for_page(line) for line in buy.lines],
        "unmet": [_unmet_for_page(item) for item in buy.unmet],
        "is_empty": not (buy.lines or buy.unmet or buy.held),
        "held": [demand.name for demand in buy.held],
    }


def _line_for_page(line: BuyLine) -> dict[str, Any]:
    return {
        "name": line.offer.name,
        "cents": line.price.cents,
        "reason": reason(line),
        "sizes": _sizes_of_set(line),
        "box": _box(line),
    }


def _box(line: BuyLine) -> str:
    """What the page sends back where this line is ticked."""
    figures, offer = line.offer.series.figures, line.offer
    sizes = ",".join(str(size.nm) for size in offer.sizes)
    why = BETWEEN_WHYS.join(_whys(line))
    name = offer.name.replace("|", "/") if offer.kind == "set" else ""
    return "|".join([figures.code, figures.shape, sizes, _KINDS.get(offer.kind, ""), str(line.price.cents), name, why])


def _whys(line: BuyLine) -> list[str]:
    """What each of its sizes holds; empty for a size of a set that is only needed for being in it."""
    offer = line.offer
    if offer.kind != "set":
        what = "a blank, to be bored to it: " if offer.kind == "blank" else ""
        return [f"{what}holds {in_short(line.covers)}"[:LONGEST_WHY]]
    by_size = DemandBySize(line.covers)
    held = [[line.covers[place] for place in by_size.held_by(reach, offer.series)] for reach in offer.reaches]
    return [f"holds {in_short(covers)}"[:LONGEST_WHY] if covers else "" for covers in held]


def _unmet_for_page(item: Unmet) -> dict[str, Any]:
    """`to_price` is the query of the page on which the price that lacks is entered."""
    query = ""
    if item.offer is not None:
        figures = item.offer.series.figures
        size = nominal(item.offer.sizes[0])
        query = urlencode({"series": figures.code, "shape": figures.shape, "size": size}, safe="/")
    return {"name": item.name, "why": item.why, "to_price": query}
