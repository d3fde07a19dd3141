"""Choosing columns that cover rows, at least cost or for a budget. Whole numbers in, whole numbers out.

The solver works in floating point, so its word is only taken for *which* columns to choose: cost and cover are worked
out again from those in whole cents. Ties are settled by further solves, not by one scaled objective: a solver takes
0.999999 for 1, and with cents times pieces times distances in one number that slip would be worth more than a cent.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Sequence
from math import floor
from time import monotonic

from msgspec import Struct

from fitfinder.buying import solving
from fitfinder.buying.parts import Parts
from fitfinder.buying.reducing import (
    VALUES,
    Column,
    bits,
    columns_of_rows,
    components,
    deciding_rows,
    reduced,
    undominated,
)
from fitfinder.buying.solving import Limit, Puzzle, Solved
from fitfinder.buying.sweeping import swept

ALLOWED_SECONDS = 20
TIE_SECONDS = 4
"""More than this no tie is worth: the cost, or what is met for the budget, is proved by then."""


class Choice(Struct, frozen=True, kw_only=True):
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
    is_budgeted: bool = False

    @property
    def is_proved(self) -> bool:
        """Whether nothing meets more for the money, and where all was to be met, whether nothing costs less."""
        return self.met_bound <= self.met and (self.is_budgeted or self.bound >= self.cents)


def cheapest(
    columns: Sequence[Column],
    weights: Sequence[int],
    *,
    seconds: float = ALLOWED_SECONDS,
    parts: Parts | None = None,
    most: int | None = None,
) -> Choice:
    """The cheapest choice that covers every row that can be covered; then fewest pieces, then least misfit.

    `parts` is what was solved of it before. Beyond `most` cents nothing is settled but the cost. Raises Paused.
    """
    until, parts = monotonic() + seconds, parts or Parts()
    best = _way_over_all(columns)
    if best is not None:
        cents, met = _sum(columns, best, "cents"), covered_weight(columns, best, weights)
        return Choice(picked=tuple(sorted(best)), cents=cents, bound=cents, met=met, met_bound=met)
    picked, bound, is_tied = _piecemeal(columns, until, parts, most)
    best, met = _better(columns, weights, greedy(columns, weights), picked)
    cents = _sum(columns, best, "cents")
    bound = min(bound, cents)
    return Choice(picked=tuple(sorted(best)), cents=cents, bound=bound, met=met, met_bound=met, is_tied=is_tied)


def most_for(
    columns: Sequence[Column],
    weights: Sequence[int],
    budget: int,
    *,
    seconds: float = ALLOWED_SECONDS,
    parts: Parts | None = None,
) -> Choice:
    """The choice within `budget` cents that covers the most weight; then cheapest, fewest pieces, least misfit.

    `parts` is what was solved of it before. Raises Paused.
    """
    until, parts = monotonic() + seconds, parts or Parts()
    whole = cheapest(columns, weights, seconds=seconds / 2, parts=parts, most=budget)
    if whole.cents <= budget:
        return whole
    affordable = [place for place, column in enumerate(columns) if column.cents <= budget]
    left = undominated(columns, affordable, all_covered(columns))
    if not left:
        return Choice(picked=(), cents=0, bound=0, met=0, met_bound=0)
    puzzle = _merged(columns, left, weights)
    within = Limit(dict(enumerate(puzzle.values["cents"])), budget)
    found = parts.solved("met", lambda end: solving.most(puzzle, limits=[within], until=end), until=until)
    met_bound = sum(puzzle.weights) if found.bound is None else floor(-found.bound + solving.SLIP)
    best, met = _better(columns, weights, greedy(columns, weights, budget), _places(left, found))
    bound, is_tied = 0, True
    if met >= met_bound:
        best, bound, is_tied = _settled(
            columns, left, puzzle, best, groups=[set(left)], until=until, parts=parts, limits=[within], met=met
        )
    cents = _sum(columns, best, "cents")
    return Choice(
        picked=tuple(sorted(best)),
        cents=cents,
        bound=min(bound, cents),
        met=covered_weight(columns, best, weights),
        met_bound=met_bound,
        is_tied=is_tied,
        is_budgeted=True,
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


def _way_over_all(columns) -> list[int] | None:
    """All of it by one sweep, where that is enough: then there is nothing to leave out first."""
    rows, every = all_covered(columns), range(len(columns))
    way = swept(columns, every, rows)
    if way is None:
        way = swept(columns, every, deciding_rows(columns, list(every), rows))
    return way


def _piecemeal(columns, until: float, parts: Parts, most: int | None) -> tuple[list[int], int, bool]:
    """Made smaller and taken apart: what is chosen, what it costs at least, and what is tied."""
    forced, left, rows = reduced(columns, all_covered(columns))
    picked, tangled = list(forced), []
    for places, part in components(columns, left, rows):
        way = swept(columns, places, part)
        if way is None:
            tangled.append((places, part))
        else:
            picked += way
    settled = _sum(columns, picked, "cents")
    most = None if most is None else most - settled
    chosen, least, is_tied = _untangled(columns, tangled, until, parts, most)
    return picked + chosen, settled + least, is_tied


def _untangled(
    columns, groups: list[tuple[list[int], int]], until: float, parts: Parts, most: int | None
) -> tuple[list[int], int, bool]:
    """Groups that the sweep cannot choose: what is chosen of them, what it costs at least, and what is tied.

    They are solved as one, because each call of the solver has its price; each group is held to its own least cost.
    """
    if not groups:
        return [], 0, False
    left = [place for places, _ in groups for place in places]
    rows = sum(part for _, part in groups)
    numbers = {row: number for number, row in enumerate(bits(rows))}
    puzzle = Puzzle(
        covers=[[numbers[row] for row in bits(columns[place].covers & rows)] for place in left],
        values=_values(columns, left),
        weights=[1] * len(numbers),
    )
    narrowed = [
        Column(covers=columns[place].covers & rows, **{what: getattr(columns[place], what) for what in VALUES})
        for place in left
    ]
    rough = [left[number] for number in greedy(narrowed, [])]
    groups = [set(places) for places, _ in groups]
    return _settled(columns, left, puzzle, rough, groups=groups, until=until, parts=parts, most=most)


def _settled(
    columns, left, puzzle: Puzzle, best, *, groups, until, parts: Parts, limits=(), met=None, most=None
) -> tuple[list[int], int, bool]:
    """Cents, then pieces, then misfit made as small as can be: the choice, its bound in cents, and what is tied."""
    limits, bound = list(limits), 0
    is_first_proved = met is not None
    for what in VALUES:
        if is_first_proved:
            until = min(until, monotonic() + TIE_SECONDS)
        is_first_proved = True
        found = parts.solved(what, _least(puzzle, what, tuple(limits), met), until=until)
        picked = _places(left, found)
        if picked is not None and _key(columns, picked) < _key(columns, best):
            best = picked
        if what == "cents":
            bound = found.least
        if not found.is_done or (most is not None and _sum(columns, best, "cents") > most):
            return best, bound, True
        limits += [_limit(columns, left, what, group, best) for group in groups]
    return best, bound, False


def _least(puzzle: Puzzle, what: str, limits: tuple[Limit, ...], met: int | None) -> Callable[[float], Solved]:
    return lambda until: solving.least(puzzle, what, limits=limits, until=until, met=met)


def _limit(columns, left: list[int], what: str, group: set[int], best: list[int]) -> Limit:
    """No more of this value in this group than the best choice so far has of it."""
    values = {number: getattr(columns[place], what) for number, place in enumerate(left) if place in group}
    return Limit(values, _sum(columns, [place for place in best if place in group], what))


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
