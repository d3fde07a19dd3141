"""Choosing what to buy: all of the demand at least cost, or the most of it for a budget. Whole numbers in and out.

What decides is, in this order: the weight of the demand that is met, the cost, the number of pieces, and how near the
sizes are to the bar. All of it is asked in one go, each of them worth more than all that follows it together.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import ceil, floor

from msgspec import Struct

from fitfinder.buying import solver

ALLOWED_SECONDS = 10
_ALL_TIES = Fraction(1, 4)
"""What the pieces and the nearness of everything on offer count together, in cents."""
_HALF = Fraction(1, 2)
"""A bound is rounded beyond half a cent: that is more than all ties, and leaves as much room for the solver's slips."""


class Buyable(Struct, frozen=True, kw_only=True):
    """Something that could be bought. `holds` are the places of the demand that it serves.

    `pieces` and `misfit` decide between equally cheap ones: fewer, then nearer.
    """

    holds: frozenset[int]
    cents: int
    pieces: int = 1
    misfit: int = 0

    @property
    def rank(self) -> tuple[int, int, int]:
        return (self.cents, self.pieces, self.misfit)


class Choice(Struct, frozen=True, kw_only=True):
    """The chosen candidates by their place, in order, and what they come to.

    No choice that meets as much costs less than `bound`; none within the budget meets more than `met_bound`.
    `is_settled` is False where time ran out before all other choices were ruled out.
    """

    picked: tuple[int, ...]
    cents: int
    bound: int
    met: int
    met_bound: int
    is_settled: bool


def choose(
    candidates: Sequence[Buyable],
    weights: Sequence[int],
    budget: int | None = None,
    *,
    seconds: float = ALLOWED_SECONDS,
) -> Choice:
    """The cheapest choice that meets all that can be met, or with a budget in cents the one that meets most for it."""
    everything = one_by_one(candidates, weights)
    if budget is None or budget >= cents_of(candidates, everything):
        return _cheapest(candidates, weights, everything, seconds)
    return _most_for(budget, candidates, weights, seconds)


def _cheapest(candidates: Sequence[Buyable], weights: Sequence[int], everything: list[int], seconds: float) -> Choice:
    asked = _worth_asking(candidates)
    rows = _rows(candidates, asked, weights)
    solved = solver.least(list(rows), _costs(candidates, asked), seconds=seconds)
    picked = _better(everything, _picked(solved, asked), candidates, weights)
    met = met_by(candidates, picked, weights)
    bound = 0 if solved.bound is None else ceil(solved.bound - _HALF)
    return _choice(candidates, picked, solved, bound=bound, met=met, met_bound=met)


def _most_for(budget: int, candidates: Sequence[Buyable], weights: Sequence[int], seconds: float) -> Choice:
    asked = [place for place in _worth_asking(candidates) if candidates[place].cents <= budget]
    rows = _rows(candidates, asked, weights)
    # More than any choice costs, so that a little more demand goes before all the money.
    worth = budget + 1
    solved = solver.least(
        list(rows),
        _costs(candidates, asked),
        worths=[weight * worth for weight in rows.values()],
        limits=[solver.Limit({at: candidates[place].cents for at, place in enumerate(asked)}, budget)],
        seconds=seconds,
    )
    picked = _picked(solved, asked)
    if cents_of(candidates, picked) > budget:
        picked = []
    picked = _better(one_by_one(candidates, weights, budget), picked, candidates, weights)
    met, met_bound, bound = met_by(candidates, picked, weights), sum(rows.values()), 0
    if solved.bound is not None:
        met_bound = min(met_bound, floor((budget + _HALF - solved.bound) / worth))
    if solved.bound is not None and met >= met_bound:
        bound = ceil(solved.bound + met * worth - _HALF)
    return _choice(candidates, picked, solved, bound=bound, met=met, met_bound=max(met, met_bound))


def _choice(
    candidates: Sequence[Buyable], picked: list[int], solved: solver.Solved, *, bound: int, met: int, met_bound: int
) -> Choice:
    cents = cents_of(candidates, picked)
    return Choice(
        picked=tuple(sorted(picked)),
        cents=cents,
        bound=min(max(bound, 0), cents),
        met=met,
        met_bound=met_bound,
        is_settled=solved.is_done,
    )


def one_by_one(candidates: Sequence[Buyable], weights: Sequence[int], budget: int | None = None) -> list[int]:
    """Each time the one that meets most for its price, in the order of buying.

    Within a budget what is met counts by its weight; without one each demand counts alike, as all of it is wanted.
    """
    counts = [1] * len(weights) if budget is None else weights
    left, money, bought = {demand for one in candidates for demand in one.holds}, budget, []

    def worth(place: int) -> Fraction:
        gain = sum(counts[demand] for demand in candidates[place].holds & left)
        return Fraction(gain, candidates[place].cents)

    queue = [(-worth(place), one.rank, place) for place, one in enumerate(candidates)]
    heapq.heapify(queue)
    while queue and left:
        before, rank, place = heapq.heappop(queue)
        one, now = candidates[place], -worth(place)
        if now == 0 or (money is not None and one.cents > money):
            continue
        if now > before:
            # What was bought since took some of it. It only ever becomes worth less, so it can wait for its turn.
            heapq.heappush(queue, (now, rank, place))
            continue
        bought.append(place)
        left -= one.holds
        if money is not None:
            money -= one.cents
    return bought


def cents_of(candidates: Sequence[Buyable], picked: Iterable[int]) -> int:
    return sum(candidates[place].cents for place in picked)


def met_by(candidates: Sequence[Buyable], picked: Iterable[int], weights: Sequence[int]) -> int:
    """The weight of the demand that these serve."""
    return sum(weights[demand] for demand in {demand for place in picked for demand in candidates[place].holds})


def _worth_asking(candidates: Sequence[Buyable]) -> list[int]:
    """Of those that hold just the same the best one."""
    best: dict[frozenset[int], int] = {}
    for place, one in enumerate(candidates):
        if one.holds and (one.holds not in best or one.rank < candidates[best[one.holds]].rank):
            best[one.holds] = place
    return list(best.values())


def _rows(candidates: Sequence[Buyable], asked: Sequence[int], weights: Sequence[int]) -> dict[tuple[int, ...], int]:
    """For each demand the numbers of those asked that hold it, with its weight; demand that the same hold is one."""
    held_by: dict[int, list[int]] = {}
    for number, place in enumerate(asked):
        for demand in candidates[place].holds:
            held_by.setdefault(demand, []).append(number)
    rows: dict[tuple[int, ...], int] = {}
    for demand, numbers in held_by.items():
        rows[tuple(numbers)] = rows.get(tuple(numbers), 0) + weights[demand]
    return rows


def _costs(candidates: Sequence[Buyable], asked: Sequence[int]) -> list[Fraction]:
    """Cents, and as a small part of one the pieces and the misfit: one piece goes before all the misfit."""
    piece = 1 + sum(candidates[place].misfit for place in asked)
    ties = [candidates[place].pieces * piece + candidates[place].misfit for place in asked]
    share = _ALL_TIES / max(1, sum(ties))
    return [candidates[place].cents + tie * share for place, tie in zip(asked, ties, strict=True)]


def _picked(solved: solver.Solved, asked: Sequence[int]) -> list[int]:
    return [asked[number] for number in solved.picked or ()]


def _better(one: list[int], other: list[int], candidates: Sequence[Buyable], weights: Sequence[int]) -> list[int]:
    """What meets more weight, then what is cheaper, of fewer pieces, nearer: worked out in whole numbers."""

    def rank(picked: list[int]) -> tuple[int, ...]:
        sums = (sum(column) for column in zip(*(candidates[place].rank for place in picked), strict=True))
        return (-met_by(candidates, picked, weights), *sums)

    return min(one, other, key=rank)
