"""On a faceplate: room for clamps, bolts, what is too tall, and the weight that balances it."""

import pytest
from msgspec.structs import replace

from inventory.measures.lengths import parse
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, lead, steps, way_by, words


def plate(body="10", **fields):
    return replace(small_shop.faceplate(tag="H-1", max_rpm=700, **fields), body=parse(body))


def on_plate(body="10", size="4", **texts):
    return way_by("faceplate", job(size, **{"length": "2", **texts}), plate(body))


@pytest.mark.parametrize(
    ("body", "size", "clamped"), [("10", "8", True), ("10", "8.001", False), ("250 mm", "200 mm", True)]
)
def test_clamps_sit_beside_the_work(body, size, clamped):
    # Common practice: an inch or 25 mm for foot, bolt and nut at either side.
    assert (not on_plate(body, size).but) is clamped


def test_work_as_large_as_the_plate_is_bolted_through_its_own_holes():
    assert any("only bolted through holes of its own" in one for one in words(on_plate("10", "10").but))


@pytest.mark.parametrize(("size", "can"), [("11", True), ("11.01", False)])
def test_work_larger_than_the_plate_is_a_make_do_and_then_no_way(size, can):
    assert on_plate("10", size).can is can


def test_a_throw_takes_room_on_the_plate():
    assert not on_plate("10", "7", throw="1/2").but
    assert on_plate("10", "7", throw="0.51").but


def test_a_plate_whose_size_nobody_wrote_down_is_asked():
    way = way_by("faceplate", job("4", length="2"), small_shop.faceplate(tag="H-1"))

    assert any("how large H-1 is is not filled in" in str(reason) for reason in way.reasons)


@pytest.mark.parametrize(("length", "told"), [("8", False), ("8.01", True)])
def test_work_that_stands_out_more_than_twice_its_width_wants_more_than_clamps(length, told):
    assert any("an angle plate or a steady" in one for one in words(on_plate(length=length).but)) is told


def test_three_clamps_hold_it_and_a_ring_under_a_bore():
    setup_steps = steps(on_plate(bore="1"))

    assert any(
        "on a ring or parallels, so that the tool comes through, by 3 clamps or more" in step for step in setup_steps
    )


def test_the_counterweight_is_told_where_the_weight_is_known():
    # Statics, by hand: 10 lb at 2 in want 5 lb at 4 in; the plate of 10 in leaves 4 in.
    setup_steps = steps(on_plate(size="3.9", throw="1.9", weight="10 lb"))

    assert any("Counterweight it by about 4.8 lb at 4 in from the axis" in step for step in setup_steps)
    assert any(step.startswith("Counterweight it until") for step in steps(on_plate(size="3.9", shape="casting")))


@pytest.mark.parametrize(("size", "can"), [("0.5", True), ("0.4999", False), ("0.05", False)])
def test_no_wire_is_clamped_to_a_plate(size, can):
    assert way_by("faceplate", job(size), small_shop.faceplate()).can is can


@pytest.mark.parametrize(("length", "is_against"), [("4", False), ("4.01", True), ("7.9", True)])
def test_bar_longer_than_its_end_is_wide_is_not_stood_on_a_plate_first(length, is_against):
    assert any("flat, finished face" in one for one in words(on_plate(length=length).but)) is is_against


@pytest.mark.parametrize(("length", "can"), [("20", True), ("21", False)])
def test_all_of_the_work_stands_before_the_plate_whatever_is_to_stand_out(length, can):
    short = (small_shop.lathe(centers="20"),)
    way = way_by("faceplate", job("8", length=length, stick_out="3"), plate("10"), lathes=short)

    assert way.can is can
    assert not way.can or way.job.stands_out == parse(length)


def test_bar_that_jaws_hardly_drive_is_still_not_stood_on_a_plate():
    independent = replace(
        on_hand.chuck(Kind.INDEPENDENT_CHUCK, tag="K-2", outside=("1/4", "8"), jaws=4), jaw_length=parse("1")
    )
    way = lead(job("5", length="8", weight="40 lb"), plate("10"), independent, small_shop.center())

    assert any("hardly drives it" in one for one in words(way.but))
    assert way.tags[0] == "K-2"
