"""Choosing what to buy: what goes before what, and what is told where time runs out."""

import pytest

from fitfinder.buying.choosing import Buyable, choose, one_by_one


def thing(*holds, cents, pieces=1, misfit=0):
    return Buyable(holds=frozenset(holds), cents=cents, pieces=pieces, misfit=misfit)


def test_the_cheapest_way_to_meet_all_is_chosen_and_proved():
    choice = choose([thing(0, cents=700), thing(1, cents=700), thing(0, 1, cents=1300)], [1, 1])

    assert (choice.picked, choice.cents, choice.bound) == ((2,), 1300, 1300)


def test_a_cent_goes_before_pieces_and_nearness():
    choice = choose([thing(0, cents=1000, pieces=1), thing(0, 1, cents=999, pieces=40, misfit=9000)], [1, 1])

    assert choice.picked == (1,)


def test_fewer_pieces_go_before_nearness():
    candidates = [thing(0, cents=500, misfit=1), thing(1, cents=500, misfit=1), thing(0, 1, cents=1000, misfit=900)]

    assert choose(candidates, [1, 1]).picked == (2,)


@pytest.mark.parametrize(("misfit", "picked"), [(499, (1, 3)), (501, (0, 3))])
def test_of_as_many_pieces_the_nearer_are_chosen(misfit, picked):
    candidates = [thing(0, 1, cents=1000, misfit=500), thing(0, 2, cents=1000, misfit=misfit), thing(1, 2, cents=1000)]
    candidates.append(thing(1, 2, 3, cents=900))

    assert choose(candidates, [1, 1, 1, 1]).picked == picked


def test_a_budget_meets_the_most_weight_and_then_saves_money():
    candidates = [thing(0, cents=3000), thing(1, cents=2000), thing(1, cents=1900, misfit=99)]

    assert choose(candidates, [5, 4], 3500).picked == (0,)
    assert choose(candidates, [4, 4], 3500).picked == (2,)


@pytest.mark.parametrize(("budget", "met"), [(2999, 0), (3000, 7), (3001, 7)])
def test_what_costs_just_the_budget_is_within_it(budget, met):
    choice = choose([thing(0, cents=3000), thing(1, cents=9000)], [7, 1], budget)

    assert (choice.met, choice.met_bound) == (met, met)


def test_a_budget_that_buys_everything_buys_it_at_the_least_cost():
    candidates = [thing(0, cents=700), thing(1, cents=700), thing(0, 1, cents=1300)]

    assert choose(candidates, [1, 1], 10**9) == choose(candidates, [1, 1])


def test_without_anything_to_buy_nothing_is_chosen():
    choice = choose([], [3, 4])

    assert (choice.picked, choice.cents, choice.bound, choice.met, choice.is_settled) == ((), 0, 0, 0, True)


def test_a_budget_of_nothing_meets_nothing_and_that_is_proved():
    choice = choose([thing(0, cents=1)], [3], 0)

    assert (choice.picked, choice.met, choice.met_bound, choice.is_settled) == ((), 0, 0, True)


def test_large_sums_of_money_are_told_apart_by_a_cent():
    candidates = [thing(0, 1, cents=199_999_999), thing(0, cents=99_999_999), thing(1, cents=99_999_999)]

    assert choose(candidates, [100, 100]).picked == (1, 2)


def test_one_by_one_the_next_is_what_meets_most_for_its_price():
    candidates = [thing(0, cents=100), thing(0, 1, 2, cents=150), thing(3, cents=400)]

    assert one_by_one(candidates, [1, 1, 1, 1]) == [1, 2]


def test_one_by_one_what_costs_too_much_is_passed_over():
    assert one_by_one([thing(0, cents=300), thing(1, cents=100)], [9, 1], 200) == [1]
