"""What is short and why: each sentence, and the order in which it is told."""

from datetime import date, timedelta

import pytest

from fitfinder.buying.buy_list import SizeHere
from fitfinder.buying.demand import Demand
from fitfinder.buying.offers import Priced, SeriesForSale
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.short import shortfalls
from fitfinder.short.links import LinkToGet
from fitfinder.short.shortfalls import BlanksOf, KeyFor, LowItem, Need, OfSize, Remedy, Shortfall, Wearing
from fitfinder.short.sizes import sizes_short
from inventory.inspections.wear import Forecast
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand

TODAY = date(2026, 3, 18)


def bar(text, *, weight=1, asked=0):
    return Demand(stock=stock_from(text), weight=weight, asked=asked)


def series(code="5C", *, lathes=("Lathe 1",)):
    price = Priced(2850, "price list")
    return SeriesForSale(figures=on_hand.series(code), lathes=frozenset(lathes), rest=price)


def of_size(tag="C-0011", size="3/4", *, loans=0, others=0):
    name = f"{size} round 5C"
    return OfSize(tag=tag, series="5C", shape="round", size=parse(size), name=name, loans=loans, others=others)


def sizes(*demands, here=(), entry=None, unfit=None):
    return sizes_short(demands, here=here, series=[entry or series()], unfit=unfit or {})


def wears(earliest):
    return Forecast(earliest=earliest, likely=earliest + timedelta(days=20), latest=None)


def test_a_missing_size_says_what_waits_for_it():
    (short,) = sizes(bar("3/4", weight=8), bar(".7485", weight=3, asked=3))

    assert (short.need, short.name, short.demand) == (Need.SIZE, "3/4 round 5C", 11)
    assert short.why == ("Nothing here holds 3/4 in round (in stock, weight 8), 0.7485 in round (looked for 3 times).")
    assert short.remedy.key == ("5C", "round", parse("3/4").nm)


def test_a_size_that_is_held_is_not_short():
    entry = series()
    held = SizeHere(series=entry, reach=entry.figures.reach_of(parse("3/4")))

    assert sizes(bar("3/4"), here=[held], entry=entry) == []


def test_a_size_that_no_lathe_takes_is_not_told_as_a_missing_size():
    assert sizes(bar("3/4"), entry=series(lathes=())) == []


def test_a_missing_size_says_what_became_of_the_one_that_was_here():
    key = ("5C", "round", parse("3/4"))

    (short,) = sizes(bar("3/4"), unfit={key: "C-0024 of this size is damaged"})

    assert short.why.endswith("C-0024 of this size is damaged.")


def test_of_much_that_waits_the_weightiest_is_told():
    (short,) = sizes(*(bar(f".74{place}", weight=place) for place in range(6, 10)), bar("3/4"), bar(".7505"))

    assert short.why.endswith("and 2 more.")
    assert "0.7490" in short.why


@pytest.mark.parametrize(("days", "count"), [(20, 1), (21, 1), (22, 0)], ids=["below", "at", "above"])
def test_a_collet_that_wears_out_within_the_lead_time_is_short(days, count):
    wearing = [Wearing(piece=of_size(), forecast=wears(TODAY + timedelta(days=days)))]

    assert len(shortfalls.wear_short(wearing, today=TODAY, lead_days=21)) == count


def test_a_wearing_collet_says_when_and_what_else_there_is():
    forecast = wears(TODAY + timedelta(days=3))
    wearing = Wearing(piece=of_size(loans=4, others=1), forecast=forecast)

    (short,) = shortfalls.wear_short([wearing], today=TODAY, lead_days=21)

    assert short.why == (
        f"C-0011 may reach its limit before a new one is here, in 21 days: forecast {forecast.words}; "
        "1 more of its size is in service; issued 4 times in 90 days."
    )
    assert short.demand == 4


def test_a_collet_that_is_over_its_limit_is_short_whatever_the_lead_time():
    (short,) = shortfalls.wear_short([Wearing(piece=of_size(), forecast=None)], today=TODAY, lead_days=1)

    assert short.why == "C-0011 reads over its limit already; it is the only one of its size."


@pytest.mark.parametrize(("loans", "others", "count"), [(4, 0, 0), (5, 0, 1), (6, 0, 1), (9, 1, 0)])
def test_the_only_one_of_a_size_is_short_where_it_is_much_used(loans, others, count):
    assert len(shortfalls.singles_short([of_size(loans=loans, others=others)])) == count


@pytest.mark.parametrize(("left", "count"), [(0, 1), (1, 0)])
def test_a_series_without_a_blank_is_short(left, count):
    blanks = [BlanksOf(series="5C", left=left, became="C-0049 is bored to 0.4000 in")]

    found = shortfalls.blanks_short(blanks, {"5C": 7})

    assert len(found) == count
    assert all("C-0049 is bored to 0.4000 in" in short.why and short.demand == 7 for short in found)


def test_what_is_counted_and_low_says_how_much_is_left():
    (short,) = shortfalls.counted_short([LowItem(id=3, name="Way oil", left=1, unit="quarts", mark=2, taken=4)])

    assert short.why == "1 quarts left, low at 2; taken 4 times in 90 days."
    assert (short.remedy.key, short.demand) == (("counted", 3), 4)


def test_a_link_says_how_many_sizes_and_pieces_it_opens():
    link = LinkToGet(
        kind="closer", mount="1-1/2-8", takes="5C", why="no closer for 5C on Lathe 2", opens=("5C on Lathe 2",),
        sizes=38, pieces=43, nowhere=0,
    )  # fmt: skip

    (short,) = shortfalls.links_short([link])

    assert short.why == (
        "No closer for 5C on Lathe 2. With one, 5C on Lathe 2 can be used: 38 sizes, 43 pieces on hand."
    )
    assert (short.remedy.kind, short.remedy.mount, short.remedy.takes) == ("closer", "1-1/2-8", "5C")


def test_a_chuck_whose_only_key_is_missing_has_no_key():
    (short,) = shortfalls.keys_short([KeyFor(tag="K-0081", keys=(("H-0089", "missing since 2026-03-01"),))])

    assert short.why.startswith("No key for K-0081: H-0089 is missing since 2026-03-01.")


def test_a_chuck_with_one_of_two_keys_has_a_key():
    assert shortfalls.keys_short([KeyFor(tag="K-0081", keys=(("H-0089", "damaged"), ("H-0090", "")))]) == []


def test_a_shop_that_keeps_no_keys_as_pieces_is_not_short_of_them():
    assert shortfalls.keys_short([KeyFor(tag="K-0081"), KeyFor(tag="K-0082")]) == []


def test_chucks_without_a_key_are_told_together_where_others_have_one():
    fits = [KeyFor(tag="K-0081", keys=(("H-0089", ""),)), KeyFor(tag="K-0082"), KeyFor(tag="K-0083")]

    (short,) = shortfalls.keys_short(fits)

    assert short.name == "Key for K-0082, K-0083"


def short(name, need=Need.SIZE, demand=1, **remedy):
    return Shortfall(need=need, name=name, why=f"{name}.", remedy=Remedy(**(remedy or {"what": name})), demand=demand)


def test_links_come_first_and_then_what_is_most_in_demand():
    every = [short("a", demand=3), short("b", demand=9), short("link", Need.LINK), short("c", Need.WEAR, demand=3)]

    assert [item.name for item in shortfalls.in_order(every)] == ["link", "b", "a", "c"]


def test_two_reasons_for_the_same_size_are_one_line():
    size = {"series": "5C", "shape": "round", "size": parse("3/4")}

    (joined,) = shortfalls.in_order(
        [short("3/4", Need.WEAR, demand=2, **size), short("3/4", Need.SINGLE, demand=6, **size)]
    )

    assert (joined.why, joined.demand) == ("3/4. 3/4.", 6)
