"""The buy list's core against three others: trying all, the solver CBC through PuLP, and a sweep along the line."""

import random

import pulp
import pytest

from fitfinder.buying.covering import all_covered, cheapest, covered_weight, greedy, most_for
from fitfinder.buying.reducing import bits, reduced
from tests.outside import covering_puzzles as puzzles

# Newer releases want CBC installed by itself; the pinned one brings it along.
pytestmark = pytest.mark.filterwarnings("ignore:PULP_CBC_CMD is deprecated:DeprecationWarning")


def by_cbc(columns):
    """The least cost that covers all that can be covered. Source: PuLP 3.3 with its own CBC."""
    model = pulp.LpProblem("cover", pulp.LpMinimize)
    takes = [model.add_variable(f"x{place}", cat=pulp.LpBinary) for place in range(len(columns))]
    model += pulp.lpSum(column.cents * take for column, take in zip(columns, takes, strict=True))
    for row in bits(all_covered(columns)):
        model += pulp.lpSum(take for column, take in zip(columns, takes, strict=True) if column.covers >> row & 1) >= 1
    model.solve(pulp.PULP_CBC_CMD(msg=False, gapRel=0, gapAbs=0))
    assert pulp.LpStatus[model.status] == "Optimal"
    return sum(column.cents for column, take in zip(columns, takes, strict=True) if take.value() > 0.5)


def by_sweep(columns, rows):
    """The least cost where each column covers a run of the rows in order: a shortest path over how far all is covered.

    Rows that no column covers are skipped, as `cheapest` skips them.
    """
    coverable = bits(all_covered(columns))
    place = {row: number for number, row in enumerate(coverable)}
    runs = [(place[b[0]], place[b[-1]] + 1, column.cents) for column in columns if (b := bits(column.covers))]
    least = [0] + [None] * len(coverable)
    for start, end, cents in sorted(runs, key=lambda run: run[1]):
        reached = [least[at] for at in range(start, end) if least[at] is not None]
        if reached and (least[end] is None or min(reached) + cents < least[end]):
            least[end] = min(reached) + cents
    return least[-1] or 0


@pytest.mark.parametrize("seed", range(60))
def test_small_cases_come_out_as_when_all_choices_are_tried(seed):
    dice = random.Random(seed)
    columns, weights = puzzles.puzzle(
        seed, rows=dice.randrange(1, 9), columns=dice.randrange(1, 10), prices=(5, 25), step=5
    )

    choice = cheapest(columns, weights)

    assert puzzles.key(columns, choice.picked) == puzzles.cheapest_by_trying_all(columns)
    assert choice.is_proved and not choice.is_tied


@pytest.mark.parametrize("seed", range(60))
def test_small_budgets_come_out_as_when_all_choices_are_tried(seed):
    dice = random.Random(seed)
    columns, weights = puzzles.puzzle(
        seed, rows=dice.randrange(1, 9), columns=dice.randrange(1, 10), prices=(5, 25), step=5
    )
    budget = dice.randrange(0, 80)

    choice = most_for(columns, weights, budget)

    assert (-choice.met, puzzles.key(columns, choice.picked)) == puzzles.most_by_trying_all(columns, weights, budget)
    assert choice.is_proved


@pytest.mark.parametrize("first", range(0, 200, 20))
def test_the_cost_is_that_of_cbc(first):
    for seed in range(first, first + 20):
        columns, weights = puzzles.puzzle(seed, rows=25, columns=60)

        assert cheapest(columns, weights).cents == by_cbc(columns), f"puzzle {seed}"


@pytest.mark.parametrize("seed", range(10))
def test_where_all_series_serve_the_cost_is_that_of_the_sweep(seed):
    columns, weights = puzzles.puzzle(seed, rows=300, columns=600, reach=4, holes=False)

    assert cheapest(columns, weights).cents == by_sweep(columns, 300)


@pytest.mark.parametrize("seed", range(10))
def test_a_choice_covers_all_and_its_cost_and_bound_are_those_of_its_columns(seed):
    columns, weights = puzzles.puzzle(seed, rows=40, columns=80)

    choice = cheapest(columns, weights)

    assert all_covered(columns[place] for place in choice.picked) == all_covered(columns)
    assert choice.cents == choice.bound == sum(columns[place].cents for place in choice.picked)
    assert choice.cents <= sum(columns[place].cents for place in greedy(columns, weights))


@pytest.mark.parametrize("seed", range(8))
def test_more_money_never_meets_less_and_no_budget_is_passed(seed):
    columns, weights = puzzles.puzzle(seed, rows=20, columns=40)
    met = []
    for budget in range(0, 16_000, 1500):
        choice = most_for(columns, weights, budget)
        rough = greedy(columns, weights, budget)
        assert choice.cents <= budget
        assert sum(columns[place].cents for place in rough) <= budget
        assert choice.met == covered_weight(columns, choice.picked, weights)
        assert choice.met >= covered_weight(columns, rough, weights)
        met.append(choice.met)

    assert met == sorted(met)
    assert met[0] == 0 < met[-1]


@pytest.mark.parametrize("seed", range(20))
def test_what_is_left_out_before_solving_costs_nothing(seed):
    columns, weights = puzzles.puzzle(seed, rows=25, columns=60)
    forced, left, rows = reduced(columns, all_covered(columns))

    kept = [columns[place] for place in [*forced, *left]]

    assert all_covered(kept) == all_covered(columns)
    assert by_cbc(kept) == by_cbc(columns)
    assert not any(columns[place].covers & rows for place in forced)


def test_out_of_time_the_best_so_far_is_told_with_what_is_possible():
    columns, weights = puzzles.puzzle(3, rows=60, columns=200)

    choice = cheapest(columns, weights, seconds=0)

    assert all_covered(columns[place] for place in choice.picked) == all_covered(columns)
    assert choice.bound < choice.cents and not choice.is_proved


def test_out_of_time_a_budget_still_gets_what_buying_one_by_one_would_get():
    columns, weights = puzzles.puzzle(3, rows=60, columns=200)

    choice = most_for(columns, weights, 9000, seconds=0)

    assert choice.met >= covered_weight(columns, greedy(columns, weights, 9000), weights)
    assert choice.met_bound > choice.met and not choice.is_proved
