"""What a lathe sets limits to: the swing, the length, the bar that is fed through."""

import pytest
from msgspec.structs import replace

from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, way_by


@pytest.mark.parametrize(("size", "can"), [("13", True), ("13.0001", False)])
def test_work_that_swings_more_than_the_bed_allows_cannot_be_held(size, can):
    assert way_by("faceplate", job(size, irregular="yes"), small_shop.faceplate()).can is can


def with_a_gap(size, length=None, *, width="6"):
    texts = {"length": length} if length else {}
    gap = replace(small_shop.lathe(), gap_swing=parse("18"), gap_width=width and parse(width))
    return way_by("faceplate", job(size, irregular="yes", **texts), small_shop.faceplate(), lathes=(gap,))


@pytest.mark.parametrize(
    ("size", "length", "can"),
    [("18", "6", True), ("18.0001", "6", False), ("14", "6.001", False), ("13", "6.001", True), ("18", None, True)],
)
def test_what_the_bed_does_not_clear_turns_in_its_gap_where_it_is_short_enough(size, length, can):
    assert with_a_gap(size, length).can is can


def test_work_in_the_gap_is_told_that_the_slide_does_not_reach_under_it():
    assert any("it turns in the gap of Lathe 1: the slide" in str(reason) for reason in with_a_gap("14", "5").reasons)
    assert any("of Lathe 1, no longer than its 6 in: " in str(reason) for reason in with_a_gap("14").reasons)
    assert not any("gap" in str(reason) for reason in with_a_gap("12", "5").reasons)


def test_a_gap_that_is_too_small_is_what_is_told():
    assert "it swings 19 in, and Lathe 1 takes 18 in in its gap" in str(with_a_gap("19", "5").why_not)


def test_a_plate_larger_than_the_bed_turns_in_the_gap():
    large = small_shop.faceplate(tag="H-1", body=parse("16"))
    gap = replace(small_shop.lathe(), gap_swing=parse("18"))

    assert way_by("faceplate", job("10", length="4"), large, lathes=(gap,)).is_here
    assert not way_by("faceplate", job("10", length="4"), large).is_here


def test_what_clears_the_gap_by_little_is_turned_by_hand_first():
    way = with_a_gap("17.9", "5")

    assert any("clears the gap of Lathe 1 by 0.1000 in only" in caution.text for caution in way.cautions)


def test_a_throw_swings_on_both_sides():
    lathes = (small_shop.lathe(bed="4"),)

    assert way_by("independent chuck", job("3", throw="1/2"), lathes=lathes).can
    assert not way_by("independent chuck", job("3", throw="0.5001"), lathes=lathes).can


def test_work_longer_than_the_bed_between_centers_cannot_be_held_by_a_center():
    assert "longer than" in str(way_by("universal chuck", job("4", length="41"), on_hand.chuck()).why_not)


@pytest.mark.parametrize(("size", "can"), [("1", True), ("1.0001", False)])
def test_bar_that_is_fed_has_to_pass_every_link(size, can):
    assert way_by("universal chuck", job(size, fed="yes"), on_hand.chuck(through="1")).can is can


def test_bar_that_is_fed_has_to_pass_the_spindle_whatever_holds_it():
    why_not = "hex bar, 1.5877 in across its corners, does not pass the spindle of Lathe 1, 1.5700 in"
    for method in ("universal chuck", "independent chuck", "collet", "split bushing"):
        way = way_by(method, job("1-3/8", shape="hex", fed="yes"), on_hand.chuck(), on_hand.independent_chuck())
        assert str(way.why_not) == why_not


@pytest.mark.parametrize("method", ["between centers", "faceplate"])
def test_what_stands_on_a_face_or_between_centers_is_not_fed(method):
    assert not way_by(method, job("1", fed="yes"), *CENTERED).can


@pytest.mark.parametrize(("size", "can"), [("8", True), ("8.001", False)])
def test_between_centers_the_whole_work_lies_over_the_cross_slide(size, can):
    assert way_by("between centers", job(size), *CENTERED).can is can


def test_a_limit_tells_what_is_needed_and_what_there_is():
    why_not = way_by("faceplate", job("14", irregular="yes"), lathes=(small_shop.lathe(bed="13"),)).why_not

    assert (why_not.needs, why_not.has) == (parse("14"), parse("13"))
