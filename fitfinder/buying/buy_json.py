"""The buy list for other programs. Fields may be added; none is renamed or dropped without a line in CHANGELOG.md."""

from __future__ import annotations

from fitfinder.buying import buy_words
from fitfinder.buying.buy_list import BuyList, Line
from inventory.measures.lengths import length_json


def buy_json(found: BuyList) -> dict:
    return {
        "headline": buy_words.headline(found),
        "budget": None if found.budget is None else _money(found.budget),
        "cost": _money(found.cents),
        "bound": _money(found.bound),
        "proved": found.is_proved,
        "greedy_cost": _money(found.greedy_cents),
        "lines": [_line(line) for line in found.lines],
        "met": float(found.met),
        "met_bound": float(found.met_bound),
        "greedy_met": float(found.greedy_met),
        "held": float(found.held_weight),
        "uncovered": [{"demand": item.name, "why": item.why} for item in found.uncovered],
        "proof": buy_words.proof(found),
    }


def _line(line: Line) -> dict:
    offer = line.offer
    return {
        "kind": offer.kind,
        "series": offer.series.figures.code,
        "shape": offer.series.figures.shape,
        "size": None if offer.kind == "set" else length_json(offer.sizes[0]),
        "set": {"name": offer.name, "sizes": [length_json(size) for size in offer.sizes]}
        if offer.kind == "set"
        else None,
        "price": _money(line.cents),
        "price_basis": offer.price.basis,
        "covers": [demand.name for demand in line.covers],
        "reason": buy_words.reason(line),
    }


def _money(cents: int) -> str:
    return f"{cents // 100}.{cents % 100:02d}"
