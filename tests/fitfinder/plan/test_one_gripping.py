"""What can be finished in one gripping is said first."""

import pytest

from fitfinder.plan import telling
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job


def one(asked, *pieces):
    return small_shop.planned(asked, *pieces).one_gripping


def test_bar_that_is_long_enough_is_parted_off_last():
    # 2 in of work and 1/4 in to part it off; the jaws of this chuck hold one diameter.
    one_gripping = one(job("1", length="2", setups=2, tir="0.0001"), on_hand.chuck(), *CENTERED)

    assert (one_gripping.way.method, one_gripping.stands_out, one_gripping.bar) == (
        "universal chuck",
        parse("2.25"),
        parse("3.25"),
    )


@pytest.mark.parametrize(("length", "is_told"), [("2.74", True), ("2.75", True), ("2.76", False)])
def test_work_that_would_want_a_center_is_not_parted_off(length, is_told):
    assert (one(job("1", length=length, setups=2), on_hand.chuck()) is not None) is is_told


@pytest.mark.parametrize(
    "texts",
    [
        {"setups": 1},
        {"throw": "0.1"},
        {"irregular": "yes"},
        {"both_ends": "yes"},
        {"bore": "1/2"},
        {"shape": "rectangular", "size2": "2"},
    ],
)
def test_what_is_no_bar_or_has_a_second_axis_or_end_is_gripped_again(texts):
    asked = job("1", **{"length": "2", "setups": 2, **texts})

    assert one(asked, on_hand.chuck(), on_hand.independent_chuck()) is None


def test_without_a_length_or_anything_that_grips_it_nothing_is_promised():
    assert one(job("1", setups=2), on_hand.chuck()) is None
    assert one(job("1", length="2", setups=2), *CENTERED) is None


def test_it_is_told_before_the_ways_and_to_a_program_with_its_own():
    made = small_shop.planned(job("1", length="2", setups=2), on_hand.chuck(), on_hand.independent_chuck())
    words = (
        "In one gripping nothing runs out to each other: from bar of 3-1/4 in or more, 2-1/4 in standing out, parted "
        "off last. Universal chuck, 3 jaws on Lathe 1."
    )

    assert telling.as_text(made).splitlines()[1] == words
    reasons = {way["method"]: way["reasons"] for way in telling.as_json(made)["ways"]}
    assert reasons["universal chuck"][0] == words
    assert words not in reasons["independent chuck"]
