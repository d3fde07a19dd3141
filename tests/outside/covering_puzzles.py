"""Invented covering problems: rows along a line, columns that cover runs of them, some with holes."""

import random
from itertools import combinations

from fitfinder.buying.covering import all_covered, covered_weight
from fitfinder.buying.reducing import VALUES, Column


def puzzle(seed, *, rows, columns, reach=3, prices=(500, 4000), step=5, holes=True):
    """Columns and the rows' weights. `reach` is about how many rows a column covers."""
    dice = random.Random(seed)
    places = sorted(dice.randrange(10**6) for _ in range(rows))
    made = []
    for _ in range(columns):
        start = dice.randrange(10**6)
        end = start + dice.randrange(1, max(2, 2 * reach * 10**6 // rows))
        # With holes it is as where some lathes take only some of the series: the line's structure is lost.
        covers = sum(
            1 << row for row, at in enumerate(places) if start <= at <= end and not (holes and dice.random() < 0.15)
        )
        made.append(Column(covers=covers, cents=dice.randrange(*prices, step), pieces=1, misfit=dice.randrange(0, 400)))
    return made, [dice.randrange(1, 20) for _ in range(rows)]


def key(columns, picked):
    return tuple(sum(getattr(columns[place], what) for place in picked) for what in VALUES)


def every_choice(columns):
    for count in range(len(columns) + 1):
        yield from combinations(range(len(columns)), count)


def cheapest_by_trying_all(columns):
    every = all_covered(columns)
    return min(key(columns, some) for some in every_choice(columns) if all_covered(columns[p] for p in some) == every)


def most_by_trying_all(columns, weights, budget):
    """Weight met (below zero) and key of the best choice within the budget."""
    ranked = ((-covered_weight(columns, some, weights), key(columns, some)) for some in every_choice(columns))
    return min(best for best in ranked if best[1][0] <= budget)
