"""What is bought for which demand: the rules of the trade around the choosing."""

import pytest

from fitfinder.buying import telling
from fitfinder.buying.buy_list import SizeHere, buy_list
from fitfinder.buying.demand import Demand, Unreadable
from fitfinder.buying.offers import Priced, SeriesForSale, SetForSale
from fitfinder.holding.texts.stock_texts import stock_from
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand

CENTS = Priced(2850, "price list")


def bar(text, *, weight=1, lathe="", **stock):
    return Demand(stock=stock_from(text, **stock), weight=weight, lathe=lathe)


def series(code="5C", *, shape="round", lathes=("Lathe 1",), prices=None, rest=CENTS, **fields):
    return SeriesForSale(
        figures=on_hand.series(code, shape=shape),
        lathes=frozenset(lathes),
        lacks="" if lathes else f"no closer for {code}",
        prices={parse(size): Priced(cents, "price list") for size, cents in (prices or {}).items()},
        rest=rest,
        **fields,
    )


def held(text, entry):
    return SizeHere(series=entry, reach=entry.figures.reach_of(parse(text)))


def bought(*demands, series, on_hand=(), **asked):
    return buy_list(demands, here=on_hand, series=series, **asked)


def names(buy_list):
    return [line.offer.name for line in buy_list.lines]


def test_the_size_that_holds_the_bar_is_bought():
    buy_list = bought(bar("3/4", grade="cold-drawn"), series=[series()])

    assert names(buy_list) == ["3/4 round 5C"]
    assert (buy_list.cents, buy_list.bound, buy_list.is_proved, buy_list.met) == (2850, 2850, True, 1)


def test_bar_that_a_size_on_hand_holds_is_not_bought():
    entry = series()

    buy_list = bought(bar("3/4"), bar("1/2"), series=[entry], on_hand=[held("3/4", entry)])

    assert names(buy_list) == ["1/2 round 5C"]
    assert [demand.name for demand in buy_list.held] == ["3/4 in round, measured"]


# A 3/4 collet of the series used here grips 0.745 to 0.755, and is sure of it 0.0005 inside either limit.
@pytest.mark.parametrize(("measured", "is_bought"), [("0.7454", False), ("0.7455", True), ("0.7456", True)])
def test_bar_within_the_edge_allowance_does_not_count_as_held(measured, is_bought):
    entry = series(prices={"3/4": 1000}, rest=None)

    buy_list = bought(bar(measured), series=[entry])

    assert bool(buy_list.lines) == is_bought


def test_the_whole_band_of_a_grade_has_to_be_held():
    entry = series(prices={"3/4": 1000, "49/64": 1000}, rest=None)

    buy_list = bought(bar(".748-.757"), series=[entry])

    assert names(buy_list) == []
    assert "may be off by 0.0090 in" in buy_list.unmet[0].why


def test_a_size_without_a_price_is_asked_for_and_never_bought_for_nothing():
    buy_list = bought(bar("3/4"), series=[series(rest=None)])

    assert (buy_list.lines, buy_list.cents) == ((), 0)
    assert buy_list.unmet[0].why == "no price is known for 3/4 round 5C, which would hold it"
    assert buy_list.unmet[0].offer.sizes == (parse("3/4"),)
    assert [offer.name for offer in buy_list.unpriced] == ["3/4 round 5C"]


def test_a_price_of_the_size_goes_before_that_of_the_rest_of_the_series():
    buy_list = bought(bar("3/4"), series=[series(prices={"3/4": 3100})])

    assert buy_list.cents == 3100


def test_a_series_that_no_lathe_takes_is_not_bought_and_the_reason_names_the_link():
    buy_list = bought(bar("3/4"), series=[series("3J", lathes=())])

    assert buy_list.lines == ()
    assert buy_list.unmet[0].why == "3/4 round 3J would hold it, but no closer for 3J"


def test_bar_asked_for_on_one_lathe_is_bought_in_a_series_that_it_takes():
    cheap, dear = series("5C", lathes=("Lathe 1",)), series("3C", lathes=("Lathe 2",), rest=Priced(9900, "price list"))

    buy_list = bought(bar("3/4", lathe="lathe 2"), series=[cheap, dear])

    assert names(buy_list) == ["3/4 round 3C"]


def test_bar_asked_for_on_a_lathe_that_takes_nothing_says_so():
    buy_list = bought(bar("3/4", lathe="Lathe 2"), series=[series()])

    assert buy_list.unmet[0].why == "3/4 round 5C would hold it, but Lathe 2 does not take it"


def test_a_piece_on_hand_that_the_asked_lathe_does_not_take_does_not_hold():
    entry = series(rest=None)

    buy_list = bought(bar("3/4", lathe="Lathe 2"), series=[entry], on_hand=[held("3/4", entry)])

    assert buy_list.held == ()


def test_hex_bar_is_not_held_by_a_round_collet():
    buy_list = bought(bar("1/2", shape="hex"), series=[series()])

    assert buy_list.unmet[0].why == "no size of any series here is sure to hold it"


@pytest.mark.parametrize(("cents", "expected"), [(5699, ["the set"]), (5701, ["1/2 round 5C", "3/4 round 5C"])])
def test_a_set_is_weighed_against_its_sizes_bought_singly(cents, expected):
    one = SetForSale(
        name="the set", sizes=(parse("1/4"), parse("1/2"), parse("3/4")), price=Priced(cents, "price list")
    )

    buy_list = bought(bar("1/2"), bar("3/4"), series=[series(sets=(one,))])

    assert names(buy_list) == expected


def test_a_set_at_the_price_of_its_sizes_is_left_for_fewer_pieces():
    one = SetForSale(name="the set", sizes=(parse("1/4"), parse("1/2"), parse("3/4")), price=Priced(5700, "price list"))

    buy_list = bought(bar("1/2"), bar("3/4"), series=[series(sets=(one,))])

    assert names(buy_list) == ["1/2 round 5C", "3/4 round 5C"]


def test_a_set_says_what_the_sizes_that_are_needed_would_be_singly():
    one = SetForSale(name="the set", sizes=(parse("1/4"), parse("1/2"), parse("3/4")), price=Priced(4000, "price list"))

    buy_list = bought(bar("1/2"), bar("3/4"), series=[series(sets=(one,))])

    assert buy_list.lines[0].singly == 5700
    assert "singly the sizes of it that are needed would be $57.00" in telling.reason(buy_list.lines[0])


def test_of_equally_cheap_sizes_the_one_nearer_to_the_bar_is_bought():
    entry = series(further=frozenset({parse("0.752"), parse("0.749")}))

    buy_list = bought(bar("0.7485"), series=[entry])

    assert names(buy_list) == ["0.7490 round 5C"]


def test_one_size_that_holds_two_bars_is_bought_once():
    buy_list = bought(bar("0.748"), bar("0.752"), series=[series()])

    assert names(buy_list) == ["3/4 round 5C"]
    assert len(buy_list.lines[0].covers) == 2


def test_a_blank_is_bored_where_it_is_cheaper_and_one_bore_holds_all():
    entry = series(rest=None, blanks=((parse("1/16"), Priced(4600, "price list")),))

    buy_list = bought(bar("0.7600"), bar("0.7660"), series=[entry])

    assert [line.offer.kind for line in buy_list.lines] == ["blank"]
    assert buy_list.cents == 4600


def test_a_blank_is_never_bored_smaller_than_its_pilot():
    entry = series(rest=None, blanks=((parse("1/2"), Priced(4600, "price list")),))

    assert bought(bar("0.4"), series=[entry]).lines == ()
    assert len(bought(bar("0.6"), series=[entry]).lines) == 1


def test_a_budget_buys_what_matters_most():
    buy_list = bought(bar("1/2", weight=3), bar("3/4", weight=5), bar("1", weight=1), series=[series()], budget=6000)

    assert names(buy_list) == ["1/2 round 5C", "3/4 round 5C"]
    assert (buy_list.met, buy_list.met_bound, buy_list.cents) == (8, 8, 5700)
    assert buy_list.unmet[0].why == "not within the budget: 1 round 5C would hold it for $28.50"


def test_a_budget_of_nothing_buys_nothing():
    buy_list = bought(bar("1/2"), series=[series()], budget=0)

    assert (buy_list.lines, buy_list.met, buy_list.is_proved) == ((), 0, True)


def test_buying_one_by_one_would_have_cost_more_and_the_proof_says_how_much():
    # One by one the middle size is taken first, as it holds two bars; then both outer ones are needed all the same.
    entry = series(prices={"0.744": 1500, "0.750": 1400, "0.756": 1500}, rest=None)
    demands = [bar("0.7400"), bar("0.7470"), bar("0.7530"), bar("0.7600")]

    buy_list = bought(*demands, series=[entry])

    assert (buy_list.cents, buy_list.greedy_cents) == (3000, 4400)
    assert "would have cost $44.00, $14.00 more" in " ".join(telling.proof(buy_list))


def test_demand_that_cannot_be_read_is_told_and_does_not_stop_the_rest():
    buy_list = bought(bar("3/4"), series=[series()], unreadable=[Unreadable("3/4 round oak", "no such grade")])

    assert names(buy_list) == ["3/4 round 5C"]
    assert [(item.name, item.why) for item in buy_list.unmet] == [("3/4 round oak", "no such grade")]


def test_without_demand_the_headline_says_what_to_do():
    assert "say which bar the shop keeps" in telling.headline(bought(series=[series()]))


def test_with_all_held_the_headline_says_that_nothing_is_to_buy():
    entry = series()

    buy_list = bought(bar("3/4"), series=[entry], on_hand=[held("3/4", entry)])

    assert telling.headline(buy_list).startswith("Nothing is to buy")


def test_a_list_cut_short_by_time_says_how_near_it_is():
    entry = series(prices={"0.744": 1500, "0.750": 1400, "0.756": 1500}, rest=None)
    demands = [bar("0.7400"), bar("0.7470"), bar("0.7530"), bar("0.7600")]

    buy_list = bought(*demands, series=[entry], budget=2900, seconds=0)

    assert not buy_list.is_proved
    assert telling.proof(buy_list)[0].startswith("Best found in the time allowed")


def test_where_no_lathe_is_described_every_series_may_serve():
    buy_list = bought(bar("3/4", lathe="Lathe 9"), series=[series(lathes=(), any_lathe=True)])

    assert names(buy_list) == ["3/4 round 5C"]


@pytest.mark.parametrize(("part", "whole", "words"), [(0, 100, "0.0 %"), (1, 1000, "0.1 %"), (1, 3000, "0.1 %")])
def test_a_share_is_rounded_up_so_that_it_never_says_too_little(part, whole, words):
    assert telling.percent(part, whole) == words
