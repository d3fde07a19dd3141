"""How tapers and several starts are made: by what goes far enough, and by what divides."""

import pytest
from msgspec.structs import replace

from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, steps, way_by, words

TRAVELS = replace(small_shop.lathe(), compound_travel=parse("4"), set_over=parse("1/2"))
"""A lathe of which both travels are written down."""


def tapered(method, *, lathe=TRAVELS, size="1", **texts):
    return way_by(method, job(size, **texts), *CENTERED, on_hand.chuck(), lathes=(lathe,))


@pytest.mark.parametrize(("length", "can"), [("3.986", True), ("3.987", False)])
def test_the_compound_turns_as_far_as_it_travels(length, can):
    # Geometry, by hand: 4 in of travel give 3.986 at 1 in 6.
    assert tapered("universal chuck", length="5", taper="6", taper_length=length).is_here is can


def test_beyond_it_an_attachment_is_missing_and_beyond_that_nothing_turns_it():
    flat, steep = (
        tapered("universal chuck", size="2", length="6", taper=ratio, taper_length="5") for ratio in ("4", "3.9")
    )

    assert "a taper attachment" in words(flat.missing)[0]
    assert not steep.can


def test_what_is_not_here_to_hold_it_asks_for_the_same_attachment_as_what_is():
    flat, steep = (
        tapered("independent chuck", size="2", length="6", taper=ratio, taper_length="5") for ratio in ("8", "3.9")
    )

    assert "a taper attachment" in words(flat.missing)[1]
    assert not steep.can


def test_how_long_the_taper_is_is_asked_where_it_decides():
    doubts = words(tapered("universal chuck", length="6", taper="20").doubts)

    assert any("how long the taper is is not given" in doubt for doubt in doubts)


@pytest.mark.parametrize(
    ("ratio", "over"),
    [
        ("40", "Set the tailstock over by 0.1250 in"),
        ("20", "Set the tailstock over by 0.2499 in"),
        ("17", "Set the tailstock over by 0.2940 in"),
    ],
)
def test_a_slow_long_taper_is_turned_with_the_tailstock_set_over(ratio, over):
    # Geometry: L sin α over 10 in, to 3 % of the length (common practice).
    assert any(over in step for step in steps(tapered("between centers", length="10", taper=ratio, taper_length="8")))


@pytest.mark.parametrize(("ratio", "asked"), [("25.1", False), ("24.9", True)])
def test_above_two_percent_it_wants_ball_centers(ratio, asked):
    way = tapered("between centers", length="10", taper=ratio, taper_length="8")

    assert any("ball centers" in str(reason) for reason in way.reasons) is asked


def test_above_three_percent_no_tailstock_is_set_over():
    way = tapered("between centers", length="9", taper="10", taper_length="8")

    assert "0.4494 in, 5.0 % of the length" in words(way.missing)[0]


def test_the_tailstock_goes_no_farther_than_it_does():
    # 30 in at 1 in 40 wants 3/8.
    here, short = (
        tapered(
            "between centers", lathe=replace(TRAVELS, set_over=parse(room)), length="30", taper="40", taper_length="20"
        )
        for room in ("3/8", "0.37")
    )

    assert here.can
    assert not any("Set the tailstock over" in step for step in steps(short))


@pytest.mark.parametrize(("bed", "reach"), [("10", "3/8"), ("12", "5/8")])
def test_a_travel_that_is_not_written_down_is_taken_by_the_swing_and_said_to_be(bed, reach):
    way = tapered("between centers", lathe=small_shop.lathe(bed=bed, slide="5"), length="10", taper="40")

    assert any(f"is taken, {reach} in for a lathe of this swing" in str(reason) for reason in way.reasons)


def test_a_short_taper_is_turned_with_the_compound_between_centers_too():
    way = tapered("between centers", length="9", taper="10", taper_length="2")

    assert way.is_here
    assert not any("Set the tailstock over" in step for step in steps(way))


@pytest.mark.parametrize(("parts", "told"), [("1", False), ("2", True)])
def test_a_lot_is_told_what_a_change_of_length_does(parts, told):
    # Geometry: taper times length stays; 0.010 on 10 in is one in a thousand.
    way = tapered("between centers", length="10", taper="40", parts=parts)

    assert any("1.0 in a thousand" in str(reason) for reason in way.reasons) is told


# Starts.


def indexed(slots, starts):
    plate, *others = CENTERED
    return way_by("between centers", job("1", length="4", starts=starts), replace(plate, slots=slots), *others)


@pytest.mark.parametrize(
    ("slots", "starts", "words"), [(6, 3, "2 on for each"), (4, 3, "do not divide"), (4, 2, "2 on for")]
)
def test_slots_index_the_starts_that_they_divide_into(slots, starts, words):
    assert any(words in str(reason) for reason in indexed(slots, starts).reasons)


def test_slots_that_nobody_counted_are_asked_and_not_promised():
    doubts = words(indexed(None, 3).doubts)

    assert any("how many slots H-1 has is not filled in" in doubt for doubt in doubts)


def test_a_soft_center_is_turned_in_the_chuck_whose_jaws_divide():
    rig = [on_hand.chuck(tag="K-1"), on_hand.independent_chuck(tag="K-2"), *CENTERED]

    assert "K-1" in way_by("soft center", job("1", starts=3), *rig).tags
    assert "K-2" in way_by("soft center", job("1", starts=4), *rig).tags


@pytest.mark.parametrize("method", ["universal chuck", "between centers"])
def test_the_compound_gives_any_number_of_starts(method):
    way = way_by(method, job("1", length="3", starts=5), *CENTERED, on_hand.chuck())

    assert any("5 starts are set by the compound" in str(reason) for reason in way.reasons)
    assert way.can


@pytest.mark.parametrize(
    ("starts", "told"), [(3, "of 42 teeth it is moved on by 14"), (7, "of 42 teeth it is moved on by 6")]
)
def test_a_gear_that_divides_is_named(starts, told):
    way = way_by("universal chuck", job("1", length="3", starts=starts), on_hand.chuck())

    assert any(told in str(reason) for reason in way.reasons)


def test_starts_that_are_counted_by_jaws_say_what_the_jaws_are_off():
    # 5 minutes of arc of a turn, by hand: 5 / 60 / 360 = 0.00023 of the lead.
    way = way_by("soft center", job("1", length="3", starts=3), on_hand.chuck(), *CENTERED)

    assert any("5 minutes of arc off put a start 0.2 thousandths of the lead off" in str(one) for one in way.reasons)
