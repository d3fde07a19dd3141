"""Universal and independent chucks: which jaws reach, and on which flats."""

import pytest
from msgspec.structs import replace

from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by, words


@pytest.mark.parametrize(
    ("shape", "jaws", "holds"),
    [
        ("round", 3, True), ("hex", 3, True), ("hex", 6, True), ("hex", 2, True), ("hex", 4, False),
        ("square", 4, True), ("square", 2, True), ("square", 3, False), ("square", 6, False),
        ("rectangular", 2, True), ("rectangular", 3, False), ("rectangular", 4, False),
    ],
)  # fmt: skip
def test_the_jaw_count_of_a_universal_chuck_divides_the_flats(shape, jaws, holds):
    asked = job("1", shape=shape, size2="2" if shape == "rectangular" else "")

    assert way_by("universal chuck", asked, on_hand.chuck(jaws=jaws)).is_here is holds


def test_a_universal_chuck_that_does_not_reach_is_named_with_what_it_holds():
    way = way_by("universal chuck", job("7"), on_hand.chuck(tag="K-0081"))

    assert way.can and not way.is_here
    assert words(way.missing) == ("no jaws here for 7 in: K-0081 holds 1/8 to 6 in outside",)


def test_a_chuck_that_is_out_is_missing_and_says_who_has_it():
    way = way_by("universal chuck", job(), on_hand.chuck(tag="K-0081", why_not="out to dana"))

    assert words(way.missing) == ("K-0081 is out to dana",)


def test_a_chuck_for_another_nose_is_missing_the_way_to_it():
    way = way_by("universal chuck", job(), on_hand.chuck(tag="K-0081", mount="D1-6"))

    assert words(way.missing) == ("nothing leads from Lathe 1 to D1-6, where K-0081 mounts",)


def test_a_chuck_on_another_lathe_is_not_taken_from_it():
    lathes = (small_shop.lathe("Lathe 1"), small_shop.lathe("Lathe 2"))
    way = way_by("universal chuck", job(), on_hand.chuck(mounted_on=lathes[1].id), lathes=lathes)

    assert way.lathe.name == "Lathe 2"


def test_a_tube_can_be_held_in_its_bore_where_its_outside_is_too_large():
    chuck = small_shop.inside(on_hand.chuck(), "1", "5")
    way = way_by("universal chuck", job("7", shape="tube", bore="4"), chuck)

    assert way.is_here
    assert way.variant == "3 jaws, in the bore"


@pytest.mark.parametrize(("jaws", "warned"), [(3, True), (6, False)])
def test_a_thin_tube_is_told_that_three_jaws_press_it_out_of_round(jaws, warned):
    way = way_by("universal chuck", job("3", shape="tube", bore="2.75"), on_hand.chuck(jaws=jaws))

    assert any("out of round" in word for word in words(way.but)) is warned


def test_a_thin_tube_goes_into_six_jaws_though_three_are_on_the_lathe():
    lathe = small_shop.lathe()
    three, six = on_hand.chuck(tag="K-3", mounted_on=lathe.id), on_hand.chuck(tag="K-6", jaws=6)

    assert small_shop.lead(job("3", shape="tube", bore="2.75"), three, six, lathes=(lathe,)).tags == ("K-6",)
    assert small_shop.lead(job("3", shape="tube", bore="1"), three, six, lathes=(lathe,)).tags == ("K-3",)


# Packing is good to a third of the radius (common practice); two jaws bear past the widest part from R / root 3 on.
@pytest.mark.parametrize(("throw", "can"), [("0.3333", True), ("0.3334", False)])
def test_a_throw_beyond_what_packing_gives_is_no_way_for_a_universal_chuck(throw, can):
    assert way_by("universal chuck", job("2", throw=throw), on_hand.chuck()).can is can


@pytest.mark.parametrize(("jaws", "here"), [(3, True), (4, False), (6, False)])
def test_packing_throws_in_three_jaws_only(jaws, here):
    assert way_by("universal chuck", job("2", throw="1/4"), on_hand.chuck(jaws=jaws)).is_here is here


def test_the_packing_for_a_throw_is_told_with_its_step():
    # Geometry, by hand: 1/4 in on 1 in would be 0.3257 and 0.3750; here 1/8 on 1 in.
    steps = small_shop.steps(way_by("universal chuck", job("1", throw="1/8"), on_hand.chuck()))

    assert any("0.1756 in under a narrow jaw, 0.1875 in under a flat one" in step for step in steps)


@pytest.mark.parametrize(("parts", "minutes"), [(1, 9), (5, 25)])
def test_a_throw_counts_the_minutes_of_its_packing(parts, minutes):
    # In this shop 8 minutes until the throw of the first part is right, 3 for each after it, and 1 for each gripping.
    lathe = small_shop.lathe()
    way = way_by(
        "universal chuck", job("2", throw="1/4", parts=parts), on_hand.chuck(mounted_on=lathe.id), lathes=(lathe,)
    )

    assert way.minutes == minutes


def test_a_chuck_that_is_larger_than_the_swing_does_not_go_on():
    chuck = replace(on_hand.chuck(tag="K-1"), body=parse("14"))

    assert words(way_by("universal chuck", job("1"), chuck).missing) == (
        "K-1 is 14 in across, and Lathe 1 takes 13 in over the bed",
    )
