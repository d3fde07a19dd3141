"""A sum in parts: left after one of them, gone on with, and come to the same."""

from time import monotonic

import pytest

from fitfinder.buying.covering import cheapest, most_for
from fitfinder.buying.parts import Parts, Paused
from fitfinder.buying.solving import Solved
from tests.outside.covering_puzzles import puzzle

NOW = 0.0
"""A moment that is over already."""


def by_turns(solve):
    """Solve it with a new turn for each part; returns the choice, and how many turns it took."""
    done, turns = [], 0
    while True:
        parts, turns = Parts(done, pause_at=NOW), turns + 1
        try:
            return solve(parts), turns
        except Paused:
            assert len(parts.done) == len(done) + 1
            done = parts.done


@pytest.mark.parametrize("seed", range(4))
def test_a_sum_by_turns_comes_to_the_same_as_in_one_go(seed):
    columns, weights = puzzle(seed, rows=60, columns=150, reach=5)

    choice, turns = by_turns(lambda parts: cheapest(columns, weights, parts=parts))

    assert choice == cheapest(columns, weights)
    assert turns == 3


@pytest.mark.parametrize("seed", range(4))
def test_a_budgeted_sum_by_turns_comes_to_the_same_as_in_one_go(seed):
    columns, weights = puzzle(seed, rows=60, columns=150, reach=5)
    budget = cheapest(columns, weights).cents // 3

    choice, turns = by_turns(lambda parts: most_for(columns, weights, budget, parts=parts))

    assert choice == most_for(columns, weights, budget)
    assert turns == 5


def test_what_costs_too_much_anyway_is_not_settled_further():
    columns, weights = puzzle(7, rows=60, columns=150, reach=5)
    parts = Parts()

    most_for(columns, weights, 4000, parts=parts)

    assert parts.names == ["cents", "met", "cents", "pieces", "misfit"]


def test_a_short_turn_that_is_over_keeps_nothing():
    columns, weights = puzzle(7, rows=60, columns=150, reach=5)
    parts = Parts(pause_at=NOW, is_short=True)

    with pytest.raises(Paused):
        cheapest(columns, weights, parts=parts)

    assert (parts.done, parts.names) == ([], ["cents"])


def test_a_part_that_a_short_turn_cuts_off_is_not_kept():
    until = monotonic() + 60
    parts = Parts(pause_at=until, is_short=True)
    ends = []

    with pytest.raises(Paused):
        parts.solved("cents", lambda end: ends.append(end) or Solved(None, None, False), until=until + 60)

    assert parts.done == []
    assert ends[0] < until + 60
