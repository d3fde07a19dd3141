"""What is bored in place: soft jaws and split bushings."""

import pytest

from inventory.measures.lengths import parse
from inventory.reference import practice
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by, words


def test_soft_jaws_are_a_set_of_a_chuck_that_is_here():
    chuck = on_hand.chuck(tag="K-1")
    way = way_by("soft jaws", job("2"), chuck, jaw_sets=[small_shop.soft_jaws(chuck)])

    assert way.tags == ("K-1",)
    assert way.runout.total == practice.run_out("soft jaws").typical


def test_without_soft_jaws_they_are_missing_and_their_truth_is_told_all_the_same():
    way = way_by("soft jaws", job("2", setups=2, tir="0.001"), on_hand.chuck())

    assert words(way.missing) == ("no soft jaws for any chuck here",)
    assert way.true_enough is True


@pytest.mark.parametrize("method", ["soft jaws", "split bushing"])
def test_what_is_bored_round_holds_no_flats(method):
    chuck = on_hand.chuck()

    assert not way_by(method, job("1", shape="hex"), chuck, jaw_sets=[small_shop.soft_jaws(chuck)]).can


def test_a_split_bushing_wants_a_chuck_that_closes_on_the_ring_around_the_work():
    assert way_by("split bushing", job("5.5"), on_hand.chuck()).is_here
    assert not way_by("split bushing", job("5.5001"), on_hand.chuck()).is_here


@pytest.mark.parametrize(("size", "can"), [("0.0625", True), ("0.0624", False), ("0.3745 mm", False)])
def test_no_bushing_is_bored_and_slit_for_a_wire(size, can):
    assert way_by("split bushing", job(size), on_hand.chuck()).can is can


@pytest.mark.parametrize(("size", "here"), [("1.4999", False), ("1-1/2", True), ("4", True), ("4.0001", False)])
def test_soft_jaws_are_opened_from_their_last_bore_and_never_below_it(size, here):
    chuck = on_hand.chuck()
    jaws = small_shop.soft_jaws(chuck, "1-1/2", "4", last_bored=parse("1-1/2"))

    assert way_by("soft jaws", job(size), chuck, jaw_sets=[jaws]).is_here is here


def test_soft_jaws_that_are_bored_too_large_say_so():
    chuck = on_hand.chuck()
    jaws = small_shop.soft_jaws(chuck, "1-1/2", "4", last_bored=parse("1-1/2"))

    assert words(way_by("soft jaws", job("3/4"), chuck, jaw_sets=[jaws]).missing) == (
        "no soft jaws for 3/4 in: those here are bored to 1-1/2 in already",
    )


def test_the_jaws_that_have_to_go_in_are_told_and_those_that_are_in_are_not():
    chuck = on_hand.chuck(tag="K-1")
    out, already_in = small_shop.soft_jaws(chuck), small_shop.soft_jaws(chuck, is_in=True)

    assert way_by("soft jaws", job(), chuck, jaw_sets=(out,)).jaws_to_put_in == out
    assert way_by("soft jaws", job(), chuck, jaw_sets=(already_in,)).jaws_to_put_in is None


def test_a_thin_wall_wants_soft_jaws_that_wrap_it():
    chuck = on_hand.chuck(tag="K-1")
    thin, thick = (job("3", shape="tube", bore=bore, length="1") for bore in ("2.9", "1"))
    said = [
        words(way_by("soft jaws", asked, chuck, jaw_sets=[small_shop.soft_jaws(chuck)]).reasons)
        for asked in (thin, thick)
    ]

    assert any("pie jaws that wrap 300 degrees" in reason for reason in said[0])
    assert not any("pie jaws" in reason for reason in said[1])
