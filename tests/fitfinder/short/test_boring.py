"""Blank or buy: which blanks to bore for what waits, checked against trying every choice."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitfinder.buying.demand import Demand
from fitfinder.buying.offers import DemandBySize, Priced, SeriesForSale, bores
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.short.boring import BlankHere, blank_or_buy
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand


def bar(text, *, weight=1, **stock):
    return Demand(stock=stock_from(text, **stock), weight=weight)


def blank(tag="C-0046", pilot="1/16", series="5C"):
    return BlankHere(tag=tag, series=series, pilot=parse(pilot))


def series(code="5C", *, prices=None, rest=2850, lathes=("Lathe 1",)):
    return SeriesForSale(
        figures=on_hand.series(code),
        lathes=frozenset(lathes),
        rest=Priced(rest, "price list") if rest else None,
        prices={parse(size): Priced(cents, "price list") for size, cents in (prices or {}).items()},
    )


def planned(*demands, blanks=None, entry=None):
    return blank_or_buy(demands, blanks=[blank()] if blanks is None else blanks, series=[entry or series()])


def cut(plan):
    return [(bore.tag, bore.size) for bore in plan.bores]


def test_a_blank_is_bored_to_the_size_that_waits():
    plan = planned(bar("7/16"))

    assert cut(plan) == [("C-0046", parse("7/16"))]
    assert plan.saved == 2850
    (choice,) = plan.choices
    assert (choice.buy.name, choice.bore.tag, choice.shared) == ("7/16 round 5C", "C-0046", 0)


def test_nothing_that_waits_is_nothing_to_bore():
    plan = planned()

    assert (plan.bores, plan.choices, plan.saved, plan.is_proved) == ((), (), 0, True)


def test_without_a_blank_all_is_to_be_bought():
    plan = planned(bar("7/16"), blanks=())

    assert plan.bores == ()
    assert plan.choices[0].bore is None and plan.choices[0].blanks == ()


def test_what_matters_more_gets_the_only_blank():
    plan = planned(bar("7/16"), bar("13/16", weight=5))

    assert cut(plan) == [("C-0046", parse("13/16"))]
    assert [choice.bore is not None for choice in plan.choices] == [True, False]
    assert plan.choices[1].blanks == ("C-0046",)


def test_of_equal_weight_the_dearer_size_is_bored():
    plan = planned(bar("7/16"), bar("13/16"), entry=series(prices={"13/16": 9900}))

    assert cut(plan) == [("C-0046", parse("13/16"))]


def test_one_bore_serves_two_bars_that_lie_close_together():
    plan = planned(bar(".4375"), bar(".4385"), blanks=(blank("C-0046"), blank("C-0047")))

    assert len(plan.bores) == 1
    assert plan.choices[0].shared == 1


def test_the_smallest_bore_is_cut_first_and_says_what_it_can_be_opened_to():
    plan = planned(bar("13/16", weight=2), bar("7/16", weight=2), bar("1"), blanks=(blank("C-0046"), blank("C-0047")))

    assert [size for _, size in cut(plan)] == [parse("7/16"), parse("13/16")]
    assert [demand.name for demand in plan.bores[0].opens_to] == ["1 in round, measured"]


def test_a_bore_is_never_smaller_than_the_pilot_hole():
    plan = planned(bar("1/4"), blanks=(blank(pilot="1/2"),))

    assert plan.bores == ()


def test_a_blank_with_a_large_pilot_hole_is_kept_for_a_large_bore():
    plan = planned(bar("1/4"), bar("3/4"), blanks=(blank("SMALL", "1/16"), blank("LARGE", "1/2")))

    assert cut(plan) == [("SMALL", parse("1/4")), ("LARGE", parse("3/4"))]


@pytest.mark.parametrize("waits", [bar("1/2", shape="hex"), bar("3")], ids=["hex", "larger than the series"])
def test_what_no_blank_can_hold_is_left(waits):
    assert planned(waits).bores == ()


def test_a_blank_that_no_lathe_takes_is_not_bored():
    assert planned(bar("1/2"), entry=series(lathes=())).bores == ()


SIZES = st.sampled_from([".250", ".253", ".256", ".259", ".500", ".503", ".506", ".75", ".752", "1"])
PILOTS = st.sampled_from(["1/16", "1/4", "1/2"])


@settings(max_examples=60, deadline=None)
@given(
    bars=st.lists(st.tuples(SIZES, st.integers(1, 9)), max_size=6, unique_by=lambda one: one[0]),
    pilots=st.lists(PILOTS, max_size=3),
)
def test_the_plan_serves_as_much_weight_as_the_best_of_all_choices(bars, pilots):
    demands = [bar(text, weight=weight) for text, weight in bars]
    blanks = [blank(f"C-{place}", pilot) for place, pilot in enumerate(pilots)]
    entry = series()

    plan = planned(*demands, blanks=blanks, entry=entry)

    served = {demand.name: demand.weight for bore in plan.bores for demand in bore.holds}
    assert sum(served.values()) == _most_by_trying(demands, blanks, entry)
    assert len({bore.tag for bore in plan.bores}) == len(plan.bores)
    pilot_of = {one.tag: one.pilot for one in blanks}
    assert all(pilot_of[bore.tag] <= bore.size for bore in plan.bores)
    assert [bore.size for bore in plan.bores] == sorted(bore.size for bore in plan.bores)


def _most_by_trying(demands, blanks, entry) -> int:
    """Every blank with every bore or none: the most weight that is held."""
    by_size = DemandBySize(demands)
    holds = {size: set(by_size.held_by(entry.figures.reach_of(size), entry)) for size in bores(entry, None, demands)}
    most = 0
    for chosen in product([None, *holds], repeat=len(blanks)):
        if any(size is not None and size < one.pilot for size, one in zip(chosen, blanks, strict=True)):
            continue
        held = set().union(*(holds[size] for size in chosen if size is not None))
        most = max(most, sum(demands[place].weight for place in held))
    return most


def test_the_check_by_trying_sees_a_choice_that_is_not_the_first():
    demands = [bar("1/4"), bar("3/4", weight=4)]

    assert _most_by_trying(demands, [blank()], series()) == 4
