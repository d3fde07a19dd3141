"""Choosing columns that cover rows, at least cost or for a budget. Whole numbers in, whole numbers out.

The solver works in floating point, so its word is only taken for *which* columns to choose: cost and cover are worked
out again from those in whole cents. Ties are settled by further solves, not by one scaled objective: a solver takes
0.999999 for 1, and with cents times pieces times distances in one number that slip would be worth more than a cent.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import floor
from time import monotonic

from fitfinder import solving
from fitfinder.reducing import VALUES, Column, bits, columns_of_rows, components, reduced, undominated
from fitfinder.solving import Puzzle, Solved

ALLOWED_SECONDS = 20
TIE_SECONDS = 4
"""More than this no tie is worth: the cost, or what is met for the budget, is proved by then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The chosen columns by their place, in order.

    No choice that meets as much costs less than `bound`; none within the budget meets more than `met_bound`.
    `is_tied` is True where time ran out before pieces and misfit were settled among equally cheap choices.
    """

    picked: tuple[int, ...]
    cents: int
    bound: int
    met: int
    met_bound: int
    is_tied: bool = False

    @property
    def is_proved(self) -> bool:
        return self.bound >= self.cents and self.met_bound <= self.met


def cheapest(columns: Sequence[Column], weights: Sequence[int], *, seconds: float = ALLOWED_SECONDS) -> Choice:
    """The cheapest choice that covers every row that can be covered; then fewest pieces, then least misfit."""
    until = monotonic() + seconds
    forced, left, rows = reduced(columns, all_covered(columns))
    picked, bound, is_tied = list(forced), _sum(columns, forced, "cents"), False
    for places, part in components(columns, left, rows):
        chosen, least, tied = _covered(columns, places, part, until)
        picked += chosen
        bound += least
        is_tied = is_tied or tied
    best, met = _better(columns, weights, greedy(columns, weights), picked)
    cents = _sum(columns, best, "cents")
    return Choice(
        picked=tuple(sorted(best)), cents=cents, bound=min(bound, cents), met=met, met_bound=met, is_tied=is_tied
    )


def most_for(
    columns: Sequence[Column], weights: Sequence[int], budget: int, *, seconds: float = ALLOWED_SECONDS
) -> Choice:
    """The choice within `budget` cents that covers the most weight; then cheapest, fewest pieces, least misfit."""
    until = monotonic() + seconds
    whole = cheapest(columns, weights, seconds=seconds / 2)
    if whole.cents <= budget:
        return whole
    affordable = [place for place, column in enumerate(columns) if column.cents <= budget]
    left = undominated(columns, affordable, all_covered(columns))
    if not left:
        return Choice(picked=(), cents=0, bound=0, met=0, met_bound=0)
    puzzle = _merged(columns, left, weights)
    found = solving.most(puzzle, limits={"cents": budget}, until=until)
    met_bound = sum(puzzle.weights) if found.bound is None else floor(-found.bound + solving.SLIP)
    best, met = _better(columns, weights, greedy(columns, weights, budget), _places(left, found))
    if met < met_bound:
        cents = _sum(columns, best, "cents")
        return Choice(picked=tuple(sorted(best)), cents=cents, bound=cents, met=met, met_bound=met_bound, is_tied=True)
    best, bound, is_tied = _settled(columns, left, puzzle, best, limits={"cents": budget}, until=until, met=met)
    cents = _sum(columns, best, "cents")
    return Choice(
        picked=tuple(sorted(best)), cents=cents, bound=min(bound, cents), met=met, met_bound=met, is_tied=is_tied
    )


def greedy(columns: Sequence[Column], weights: Sequence[int], budget: int | None = None) -> list[int]:
    """Bought one by one, each time the one that meets most for its price; the order is that of buying.

    Within a budget what is met counts by its weight; without one each row counts alike, as all of them are wanted.
    """
    gain = _counted if budget is None else _weighing(weights)
    left, money = all_covered(columns), budget
    queue = [
        (-gain(column.covers) / column.cents, column.key, place)
        for place, column in enumerate(columns)
        if column.covers
    ]
    heapq.heapify(queue)
    bought = []
    while queue and left:
        worth, key, place = heapq.heappop(queue)
        column = columns[place]
        now = -gain(column.covers & left) / column.cents
        if now == 0 or (money is not None and column.cents > money):
            continue
        if now > worth:
            # What was bought since took some of it. It only ever becomes worth less, so it can wait for its turn.
            heapq.heappush(queue, (now, key, place))
            continue
        bought.append(place)
        left &= ~column.covers
        if money is not None:
            money -= column.cents
    return bought


def covered_weight(columns: Sequence[Column], picked: Iterable[int], weights: Sequence[int]) -> int:
    return _weighing(weights)(all_covered([columns[place] for place in picked]))


def all_covered(columns: Iterable[Column]) -> int:
    """The rows that any of the columns covers."""
    every = 0
    for column in columns:
        every |= column.covers
    return every


def _covered(columns, places: list[int], rows: int, until: float) -> tuple[list[int], int, bool]:
    """A group of columns by itself: what is chosen of it, what it costs at least, and whether ties are left open."""
    numbers = {row: number for number, row in enumerate(bits(rows))}
    puzzle = Puzzle(
        covers=[[numbers[row] for row in bits(columns[place].covers & rows)] for place in places],
        values=_values(columns, places),
        weights=[1] * len(numbers),
    )
    narrowed = [
        Column(covers=columns[place].covers & rows, **{what: getattr(columns[place], what) for what in VALUES})
        for place in places
    ]
    rough = [places[number] for number in greedy(narrowed, [])]
    return _settled(columns, places, puzzle, rough, limits={}, until=until, met=None)


def _settled(columns, left, puzzle: Puzzle, best, *, limits, until, met) -> tuple[list[int], int, bool]:
    """Cents, then pieces, then misfit made as small as can be: the choice, its bound in cents, and what is tied."""
    limits, bound = dict(limits), 0
    is_first_proved = met is not None
    for what in VALUES:
        if is_first_proved:
            until = min(until, monotonic() + TIE_SECONDS)
        is_first_proved = True
        found = solving.least(puzzle, what, limits=limits, until=until, met=met)
        picked = _places(left, found)
        if picked is not None and _key(columns, picked) < _key(columns, best):
            best = picked
        if what == "cents":
            bound = found.least
        if not found.is_done:
            return best, bound, True
        limits[what] = _sum(columns, best, what)
    return best, bound, False


def _merged(columns, left: list[int], weights: Sequence[int]) -> Puzzle:
    """The puzzle of the columns that are left, in which rows that are always covered together are one."""
    of_row = columns_of_rows(columns, left, all_covered([columns[place] for place in left]))
    merged: dict[int, int] = {}
    for row, places in of_row.items():
        merged[places] = merged.get(places, 0) + weights[row]
    covers: list[list[int]] = [[] for _ in left]
    for number, places in enumerate(merged):
        for place in bits(places):
            covers[place].append(number)
    return Puzzle(covers=covers, values=_values(columns, left), weights=list(merged.values()))


def _values(columns, places) -> dict[str, list[int]]:
    return {what: [getattr(columns[place], what) for place in places] for what in VALUES}


def _places(left: list[int], found: Solved) -> list[int] | None:
    return None if found.picked is None else [left[number] for number in found.picked]


def _sum(columns, picked: Iterable[int], what: str) -> int:
    return sum(getattr(columns[place], what) for place in picked)


def _key(columns, picked: Iterable[int]) -> tuple[int, int, int]:
    picked = list(picked)
    return tuple(_sum(columns, picked, what) for what in VALUES)


def _better(columns, weights, one: list[int], other: list[int] | None) -> tuple[list[int], int]:
    """The better one of two choices, and the weight that it meets: more weight first, then the lower key."""
    choices = [one] if other is None else [one, other]
    ranked = [(-covered_weight(columns, choice, weights), _key(columns, choice), choice) for choice in choices]
    weight, _, best = min(ranked)
    return best, -weight


def _counted(mask: int) -> int:
    return mask.bit_count()


def _weighing(weights: Sequence[int]) -> Callable[[int], int]:
    def weight(mask: int) -> int:
        return sum(weights[row] for row in bits(mask))

    return weight
