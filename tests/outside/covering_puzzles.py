"""Invented demand along a line, and candidates that hold runs of it, some with holes."""

import random
from itertools import combinations

from fitfinder.buying.choosing import Buyable, met_by


def puzzle(seed, *, demands, candidates, reach=3, prices=(500, 4000), step=5, holes=True):
    """The candidates and the weights of the demand. `reach` is about how much of it one candidate holds."""
    dice = random.Random(seed)
    places = sorted(dice.randrange(10**6) for _ in range(demands))
    made = []
    for _ in range(candidates):
        start = dice.randrange(10**6)
        end = start + dice.randrange(1, max(2, 2 * reach * 10**6 // demands))
        # With holes it is as where some lathes take only some of the series: the line's structure is lost.
        holds = frozenset(
            number for number, at in enumerate(places) if start <= at <= end and not (holes and dice.random() < 0.15)
        )
        made.append(Buyable(holds=holds, cents=dice.randrange(*prices, step), misfit=dice.randrange(0, 400)))
    return made, [dice.randrange(1, 20) for _ in range(demands)]


def all_held(candidates):
    return frozenset().union(*(one.holds for one in candidates))


def rank(candidates, picked):
    """Cents, pieces and misfit of a choice."""
    ranks = [candidates[place].rank for place in picked]
    return tuple(map(sum, zip(*ranks, strict=True))) if ranks else (0, 0, 0)


def every_choice(candidates):
    for count in range(len(candidates) + 1):
        yield from combinations(range(len(candidates)), count)


def cheapest_by_trying_all(candidates):
    every = all_held(candidates)
    return min(
        rank(candidates, some)
        for some in every_choice(candidates)
        if all_held(candidates[place] for place in some) == every
    )


def most_by_trying_all(candidates, weights, budget):
    """Weight met (below zero) and rank of the best choice within the budget."""
    ranked = ((-met_by(candidates, some, weights), rank(candidates, some)) for some in every_choice(candidates))
    return min(best for best in ranked if best[1][0] <= budget)
