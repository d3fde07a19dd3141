"""What is chosen to buy, against three others: trying all, the solver CBC through PuLP, and a sweep along the line."""

import random

import pulp
import pytest

from fitfinder.buying.choosing import cents_of, choose, met_by, one_by_one
from tests.outside.covering_puzzles import all_held, cheapest_by_trying_all, most_by_trying_all, puzzle, rank

# Newer releases want CBC installed by itself; the pinned one brings it along.
pytestmark = pytest.mark.filterwarnings("ignore:PULP_CBC_CMD is deprecated:DeprecationWarning")


def by_cbc(candidates):
    """The least cost that meets all that can be met. Source: PuLP 3.3 with its own CBC."""
    model = pulp.LpProblem("cover", pulp.LpMinimize)
    takes = [model.add_variable(f"x{place}", cat=pulp.LpBinary) for place in range(len(candidates))]
    model += pulp.lpSum(one.cents * take for one, take in zip(candidates, takes, strict=True))
    for demand in all_held(candidates):
        model += pulp.lpSum(take for one, take in zip(candidates, takes, strict=True) if demand in one.holds) >= 1
    return _solved(model, candidates, takes)


def most_by_cbc(candidates, weights, budget):
    """The most weight that the budget meets."""
    model = pulp.LpProblem("most", pulp.LpMaximize)
    takes = [model.add_variable(f"x{place}", cat=pulp.LpBinary) for place in range(len(candidates))]
    met = {demand: model.add_variable(f"y{demand}", upBound=1, lowBound=0) for demand in all_held(candidates)}
    model += pulp.lpSum(weights[demand] * is_met for demand, is_met in met.items())
    model += pulp.lpSum(one.cents * take for one, take in zip(candidates, takes, strict=True)) <= budget
    for demand, is_met in met.items():
        model += is_met <= pulp.lpSum(take for one, take in zip(candidates, takes, strict=True) if demand in one.holds)
    _solved(model, candidates, takes)
    return met_by(candidates, [place for place, take in enumerate(takes) if take.value() > 0.5], weights)


def _solved(model, candidates, takes):
    model.solve(pulp.PULP_CBC_CMD(msg=False, gapRel=0, gapAbs=0))
    assert pulp.LpStatus[model.status] == "Optimal"
    return sum(one.cents for one, take in zip(candidates, takes, strict=True) if take.value() > 0.5)


def by_sweep(candidates):
    """The least cost where each candidate holds a run of the demand in order: a shortest path over how far it is met.

    Demand that nothing holds is skipped, as `choose` skips it.
    """
    place = {demand: number for number, demand in enumerate(sorted(all_held(candidates)))}
    runs = [(place[min(one.holds)], place[max(one.holds)] + 1, one.cents) for one in candidates if one.holds]
    least = [0] + [None] * len(place)
    for start, end, cents in sorted(runs, key=lambda run: run[1]):
        reached = [least[at] for at in range(start, end) if least[at] is not None]
        if reached and (least[end] is None or min(reached) + cents < least[end]):
            least[end] = min(reached) + cents
    return least[-1] or 0


@pytest.mark.parametrize("seed", range(60))
def test_small_cases_come_out_as_when_all_choices_are_tried(seed):
    dice = random.Random(seed)
    candidates, weights = puzzle(
        seed, demands=dice.randrange(1, 9), candidates=dice.randrange(1, 10), prices=(5, 25), step=5
    )

    choice = choose(candidates, weights)

    assert rank(candidates, choice.picked) == cheapest_by_trying_all(candidates)
    assert choice.bound == choice.cents and choice.is_settled


@pytest.mark.parametrize("seed", range(60))
def test_small_budgets_come_out_as_when_all_choices_are_tried(seed):
    dice = random.Random(seed)
    candidates, weights = puzzle(
        seed, demands=dice.randrange(1, 9), candidates=dice.randrange(1, 10), prices=(5, 25), step=5
    )
    budget = dice.randrange(0, 80)

    choice = choose(candidates, weights, budget)

    assert (-choice.met, rank(candidates, choice.picked)) == most_by_trying_all(candidates, weights, budget)
    assert choice.met == choice.met_bound and choice.bound == choice.cents


@pytest.mark.parametrize("first", range(0, 200, 20))
def test_the_cost_is_that_of_cbc(first):
    for seed in range(first, first + 20):
        candidates, weights = puzzle(seed, demands=25, candidates=60)

        choice = choose(candidates, weights)

        assert choice.cents == choice.bound == by_cbc(candidates), f"puzzle {seed}"


@pytest.mark.parametrize("first", range(0, 60, 20))
def test_a_budget_meets_as_much_as_with_cbc(first):
    for seed in range(first, first + 20):
        candidates, weights = puzzle(seed, demands=25, candidates=60)

        choice = choose(candidates, weights, 6000)

        assert choice.met == choice.met_bound == most_by_cbc(candidates, weights, 6000), f"puzzle {seed}"


@pytest.mark.parametrize("seed", range(10))
def test_where_all_series_serve_the_cost_is_that_of_the_sweep(seed):
    candidates, weights = puzzle(seed, demands=300, candidates=600, reach=4, holes=False)

    assert choose(candidates, weights).cents == by_sweep(candidates)


@pytest.mark.parametrize("seed", range(10))
def test_a_choice_meets_all_and_its_cost_and_bound_are_those_of_what_is_picked(seed):
    candidates, weights = puzzle(seed, demands=40, candidates=80)

    choice = choose(candidates, weights)

    assert all_held(candidates[place] for place in choice.picked) == all_held(candidates)
    assert choice.cents == choice.bound == cents_of(candidates, choice.picked)
    assert choice.cents <= cents_of(candidates, one_by_one(candidates, weights))


@pytest.mark.parametrize("seed", range(8))
def test_more_money_never_meets_less_and_no_budget_is_passed(seed):
    candidates, weights = puzzle(seed, demands=20, candidates=40)
    met = []
    for budget in range(0, 16_000, 1500):
        choice = choose(candidates, weights, budget)
        rough = one_by_one(candidates, weights, budget)
        assert choice.cents <= budget
        assert cents_of(candidates, rough) <= budget
        assert choice.met == met_by(candidates, choice.picked, weights)
        assert choice.met >= met_by(candidates, rough, weights)
        met.append(choice.met)

    assert met == sorted(met)
    assert met[0] == 0 < met[-1]


def test_out_of_time_the_best_so_far_is_told_with_what_is_possible():
    candidates, weights = puzzle(3, demands=60, candidates=200)

    choice = choose(candidates, weights, seconds=0)

    assert all_held(candidates[place] for place in choice.picked) == all_held(candidates)
    assert choice.bound < choice.cents and not choice.is_settled


def test_out_of_time_a_budget_still_gets_what_buying_one_by_one_would_get():
    candidates, weights = puzzle(3, demands=60, candidates=200)

    choice = choose(candidates, weights, 9000, seconds=0)

    assert choice.met >= met_by(candidates, one_by_one(candidates, weights, 9000), weights)
    assert choice.met_bound > choice.met and not choice.is_settled


@pytest.mark.parametrize("seconds", [0.02, 0.1, 0.3])
def test_a_bound_of_a_search_that_was_cut_short_is_below_the_best(seconds):
    candidates, weights = puzzle(1, demands=500, candidates=1500, reach=4)
    best, most = choose(candidates, weights), choose(candidates, weights, 30_000)

    cut, cut_most = choose(candidates, weights, seconds=seconds), choose(candidates, weights, 30_000, seconds=seconds)

    assert cut.bound <= best.cents <= cut.cents
    assert cut_most.met <= most.met <= cut_most.met_bound
