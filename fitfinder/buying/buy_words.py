"""The buy list in words: what it comes to, how it is proved, and why each thing is on it."""

from __future__ import annotations

from fitfinder.buying.buy_list import BuyList, Line, money
from fitfinder.buying.demand import in_short
from inventory.measures.lengths import nominal

_COUNTED = "each bar counted by how much it matters"


def headline(found: BuyList) -> str:
    """One sentence a person can act on."""
    if not (found.lines or found.uncovered or found.held):
        return "No demand is on file: say which bar the shop keeps, and what to buy for it follows."
    if not found.lines and not found.uncovered:
        return "Nothing is to buy: all the demand on file is held by what is here."
    if not found.lines:
        return "Nothing can be bought for what is left of the demand: see why below."
    things = f"{len(found.lines)} thing{'' if len(found.lines) == 1 else 's'}"
    if found.budget is None:
        rest = "all the demand that can be held" if found.uncovered else "all the demand on file"
        return f"Buy {things} for {money(found.cents)}: with them {rest} is held."
    if not any(item.is_too_dear for item in found.uncovered):
        return f"Buy {things} for {money(found.cents)}: more than that of {money(found.budget)} is not needed."
    return f"Buy {things} for {money(found.cents)} of {money(found.budget)}: that meets the most demand for the money."


PARTS = {
    "cents": "what it costs at least",
    "met": "what meets the most demand for the budget",
    "pieces": "whether fewer pieces do for that money",
    "misfit": "which sizes of equal price come nearest to the bar",
}
"""What each part of the solver's work settles."""
MOST_PARTS = 3
MOST_PARTS_FOR_A_BUDGET = 5


def proof(found: BuyList) -> list[str]:
    """How good the list is, sentence by sentence."""
    if not found.lines:
        return [_left_out(found)] if found.unpriced else []
    sentences = [_is_best(found), _bought_singly(found)]
    if found.is_tied and found.is_proved:
        sentences.append(
            "Time ran out before equally cheap choices were compared: another may have fewer or nearer sizes."
        )
    sentences.append(
        f"It was chosen among {found.priced:,} sizes, sets and blanks with a price that would hold some of the demand."
    )
    return [sentence for sentence in (*sentences, _left_out(found)) if sentence]


def reason(line: Line) -> str:
    """Why a line is on the list: what it holds, what its price is, and what a set saves."""
    parts = [f"holds {in_short(line.covers)}", _price(line)]
    if line.offer.series.doubt:
        parts.append(f"not checked: {line.offer.series.doubt}")
    return ". ".join(part[0].upper() + part[1:].rstrip(".") for part in parts if part) + "."


def basis(line: Line) -> str:
    """Where its price comes from, in a few words."""
    return line.offer.price.basis


def sizes_in_words(line: Line) -> str:
    sizes = [nominal(size) for size in line.offer.sizes]
    return ", ".join(sizes) if len(sizes) <= 12 else f"{len(sizes)} sizes from {sizes[0]} to {sizes[-1]}"


def percent(part: int, whole: int) -> str:
    """A share, rounded up to a tenth of a percent, so that it never says too little."""
    tenths = -(-part * 1000 // max(whole, 1))
    return f"{tenths // 10}.{tenths % 10} %"


def _is_best(found: BuyList) -> str:
    if found.budget is not None and found.met < found.met_bound:
        share = percent(found.met_bound - found.met, found.met_bound)
        return (
            f"Best found in the time allowed: it meets {found.met} of the demand, {_COUNTED}; no choice for this "
            f"budget can meet more than {found.met_bound}, so it is within {share}."
        )
    if found.budget is None and found.cents > found.bound:
        share = percent(found.cents - found.bound, found.cents)
        return f"Best found in the time allowed: none can cost less than {money(found.bound)}, so it is within {share}."
    if found.budget is None:
        return f"Proved: no choice among these prices that holds as much costs less than {money(found.bound)}."
    best = f"Proved: no choice for {money(found.budget)} meets more than {found.met_bound} of the demand, {_COUNTED}"
    if found.cents > found.bound:
        return f"{best}; whether another that meets as much is cheaper was not settled in time."
    return f"{best}, and none that meets as much costs less than {money(found.bound)}."


def _bought_singly(found: BuyList) -> str:
    one_by_one = "Bought one by one, each time what holds most for its price,"
    if found.budget is not None and found.greedy_met < found.met:
        short = found.met - found.greedy_met
        return f"{one_by_one} it would be {money(found.greedy_cents)} for {found.greedy_met} of demand, {short} less."
    more = found.greedy_cents - found.cents
    if found.greedy_met == found.met and more > 0:
        return f"{one_by_one} the same would have cost {money(found.greedy_cents)}, {money(more)} more."
    return f"{one_by_one} it would have cost the same."


def _left_out(found: BuyList) -> str:
    count = len(found.unpriced)
    if not count:
        return ""
    one = count == 1
    return (
        f"{count:,} further size{'' if one else 's'} would hold some of it too but "
        f"{'has' if one else 'have'} no price, so {'it was' if one else 'they were'} not thought of."
    )


def _price(line: Line) -> str:
    where = f"price: {line.offer.price.basis}"
    if line.singly is None:
        return where
    if line.singly > line.cents:
        return f"{where}; singly the sizes of it that are needed would be {money(line.singly)}"
    return where
