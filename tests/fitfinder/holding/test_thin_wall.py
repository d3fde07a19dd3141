"""What jaws press out of round, and which jaws hold rough bar."""

from fractions import Fraction

import pytest

from fitfinder.holding.mechanics import thin_wall
from inventory.measures.lengths import Length, parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by, words


def tube(bore="4.7", **texts):
    return job("5", shape="tube", bore=bore, length="1", **texts)


def against(asked, jaws=3, method="universal chuck"):
    chuck = on_hand.chuck(jaws=jaws) if method == "universal chuck" else on_hand.independent_chuck(jaws=jaws)
    return [text for text in words(way_by(method, asked, chuck).but) if "out of round" in text]


def test_few_jaws_on_a_thin_wall_are_told_by_how_much_they_press_it():
    (text,) = against(tube())

    assert text == "3 jaws with 278 lbf each press it 0.01418 in out of round, and it springs to that"


@pytest.mark.parametrize(("jaws", "is_against"), [(3, True), (4, True), (6, False)])
def test_more_jaws_with_the_same_force_press_it_less(jaws, is_against):
    assert bool(against(tube(), jaws)) is is_against


def test_four_jaws_that_move_by_themselves_press_it_too():
    assert against(tube(), 4, "independent chuck")


@pytest.mark.parametrize(("tir", "is_against"), [("0.0015", True), ("0.0016", False)])
def test_half_of_what_is_asked_is_minded(tir, is_against):
    # 4 in with a bore of 3.4 is pressed by 0.00079 in.
    asked = job("4", shape="tube", bore="3.4", length="1", setups=2, tir=tir)

    assert bool(against(asked)) is is_against


def test_where_nothing_is_asked_a_thousandth_is_minded():
    assert not against(job("4", shape="tube", bore="3.4", length="1"))
    assert against(job("4", shape="tube", bore="3.45", length="1"))


def test_what_holds_it_better_is_told_in_order():
    told = words(way_by("universal chuck", tube(), on_hand.chuck()).reasons)

    (instead,) = (text for text in told if "instead" in text)
    order = [instead.index(part) for part in ("face", "pie jaws", "six jaws", "arbor", "plug", "light grip")]
    assert order == sorted(order)


def test_a_softer_material_is_pressed_further():
    steel, aluminium = (thin_wall.springs(tube(material=name), 3) for name in ("steel", "aluminium"))

    assert Fraction(aluminium.nm, steel.nm) == pytest.approx(30 / 10.15, rel=0.001)


def test_round_work_with_a_finished_bore_is_a_ring_as_well():
    assert against(job("5", bore="4.7", length="1"))


@pytest.mark.parametrize("asked", [job("5", length="1"), job("5", shape="tube", bore="1", length="1")])
def test_what_is_solid_or_thick_is_pressed_by_nothing_that_counts(asked):
    assert not against(asked)


def test_of_a_number_of_jaws_without_a_factor_nothing_is_told():
    assert thin_wall.springs(tube(), 5) is None


# Rough bar.


@pytest.mark.parametrize(("jaws", "is_against"), [(3, False), (6, True), (4, True)])
def test_rough_bar_is_for_three_jaws_and_not_for_more(jaws, is_against):
    way = way_by("universal chuck", job("2", grade="hot-rolled"), on_hand.chuck(jaws=jaws))

    assert any("rough bar" in text for text in words(way.but)) is is_against


def test_smooth_bar_is_for_any_jaws():
    assert not way_by("universal chuck", job("2", grade="cold-drawn"), on_hand.chuck(jaws=6)).but


def test_rough_bar_goes_into_three_jaws_though_six_are_on_the_lathe():
    lathe = small_shop.lathe()
    six, three = on_hand.chuck(jaws=6, mounted_on=lathe.id), on_hand.chuck(tag="K-3")
    way = small_shop.lead(job("2", grade="hot-rolled"), six, three, lathes=(lathe,))

    assert way.tags == ("K-3",)


def test_four_jaws_that_move_by_themselves_take_rough_bar():
    assert not way_by("independent chuck", job("2", grade="hot-rolled"), on_hand.independent_chuck()).but


@pytest.mark.parametrize("method", ["soft jaws", "split bushing"])
def test_rough_bar_spoils_what_is_bored_for_it(method):
    chuck = on_hand.chuck()
    way = way_by(method, job("2", grade="hot-rolled"), chuck, jaw_sets=[small_shop.soft_jaws(chuck)])

    assert any("rough bar" in text for text in words(way.but))


@pytest.mark.parametrize("parts", [1, 500])
def test_a_collet_ranks_behind_for_rough_bar_whatever_the_lot(parts):
    chuck = on_hand.chuck(tag="K-3")
    rig = (on_hand.closer(), on_hand.collet("1"), chuck)
    way = small_shop.lead(job("1", grade="hot-rolled", parts=parts), *rig)

    assert way.tags == ("K-3",)


# Which chuck of several.


def test_a_chuck_that_is_on_the_lathe_comes_first():
    lathe = small_shop.lathe()
    on, off = on_hand.chuck(tag="K-9", mounted_on=lathe.id), on_hand.chuck(tag="K-1", tir="0.0005")

    assert way_by("universal chuck", job("2"), off, on, lathes=(lathe,)).tags == ("K-9",)


def test_then_the_one_that_fewest_people_carry():
    heavy = on_hand.chuck(tag="K-1", body=parse("12"), outside=("1/2", "12"), tir="0.0005")
    light = on_hand.chuck(tag="K-2", body=parse("6"))

    assert way_by("universal chuck", job("2"), heavy, light).tags == ("K-2",)


def test_then_the_truest_then_the_smallest_and_never_by_tag():
    rough, true = on_hand.chuck(tag="K-1", tir="0.005"), on_hand.chuck(tag="K-2", tir="0.001")
    large, small = on_hand.chuck(tag="K-1", body=parse("6")), on_hand.chuck(tag="K-2", body=parse("5"))

    assert way_by("universal chuck", job("2"), rough, true).tags == ("K-2",)
    assert way_by("split bushing", job("2"), large, small).tags == ("K-2",)


def test_jaws_with_room_come_before_those_at_their_end():
    lathe = small_shop.lathe()
    near = on_hand.chuck(tag="K-1", outside=("1/8", "4"), mounted_on=lathe.id)
    roomy = on_hand.chuck(tag="K-2", outside=("1/8", "6"))

    assert way_by("universal chuck", job("3.8"), near, roomy, lathes=(lathe,)).tags == ("K-2",)
    assert way_by("universal chuck", job("3.5"), near, roomy, lathes=(lathe,)).tags == ("K-1",)


def test_the_other_jaws_of_a_chuck_are_put_in_where_those_in_it_are_at_their_end():
    chuck = on_hand.chuck(outside=("1/8", "4"))
    other = small_shop.soft_jaws(chuck, "3", "8")
    outside = type(other)(chuck=chuck.id, kind="outside", outside=other.outside)
    way = way_by("universal chuck", job("3.9"), chuck, jaw_sets=[outside])

    assert way.jaws_to_put_in == outside
    assert not way.but


def test_a_long_tube_is_bent_where_the_jaws_grip_it_and_not_over_its_length():
    ring = thin_wall.springs(job("100 mm", shape="tube", bore="94 mm", length="100 mm"), 3)
    tube = thin_wall.springs(job("100 mm", shape="tube", bore="94 mm", length="200 mm", grip="25 mm"), 3)

    assert ring is not None
    assert tube == Length(round(ring.nm * 4))
