"""What can hurt: each caution speaks when its number calls for it, and is silent when it does not."""

import pytest

from inventory import masses
from tests.fitfinder import on_hand
from tests.fitfinder.plan import shop_floor
from tests.fitfinder.plan.shop_floor import job, way


def texts(method, asked, *rig, **fields):
    return [caution.text for caution in way(method, asked, *rig, **fields).cautions]


def test_an_ordinary_light_grip_has_no_caution_at_all():
    chuck = on_hand.chuck(max_rpm=2000, weight_ug=masses.parse("20 lb"))

    assert texts("universal chuck", job("1", length="2"), chuck) == []


@pytest.mark.parametrize(("weight", "warned"), [("25 lb", False), ("25.1 lb", True)])
def test_a_chuck_over_what_one_person_lifts_is_told(weight, warned):
    chuck = on_hand.chuck(max_rpm=2000, weight_ug=masses.parse(weight))

    assert bool(texts("universal chuck", job("1"), chuck)) is warned


def test_a_heavy_chuck_that_is_on_the_lathe_needs_no_lifting():
    lathe = shop_floor.lathe()
    chuck = on_hand.chuck(max_rpm=2000, weight_ug=masses.parse("60 lb"), mounted_on=lathe.id)

    assert texts("universal chuck", job("1"), chuck, lathes=(lathe,)) == []


def test_the_heavy_chuck_that_has_to_come_off_first_is_told():
    lathe = shop_floor.lathe()
    mounted = on_hand.chuck(tag="K-1", max_rpm=2000, weight_ug=masses.parse("60 lb"), mounted_on=lathe.id)
    plate = shop_floor.faceplate(max_rpm=2000)

    assert any("K-1 weighs" in text for text in texts("faceplate", job("4"), mounted, plate, lathes=(lathe,)))


def test_heavy_work_is_told_too():
    assert any(
        "The work weighs" in text for text in texts("faceplate", job("4", weight="80 lb"), shop_floor.faceplate())
    )


@pytest.mark.parametrize(("rpm", "warned"), [(1999, True), (2000, False)])
def test_a_marked_speed_is_told_where_the_lathe_can_run_faster(rpm, warned):
    assert (
        any("Never above" in text for text in texts("universal chuck", job("1"), on_hand.chuck(max_rpm=rpm))) is warned
    )


def test_a_chuck_without_a_marked_speed_is_a_question():
    assert any("not known" in text for text in texts("universal chuck", job("1"), on_hand.chuck(tag="K-1")))


def test_a_threaded_nose_is_told_and_a_camlock_is_not():
    lathe = shop_floor.lathe(nose="1-1/2-8")
    chuck = on_hand.chuck(mount="1-1/2-8", max_rpm=2000)

    assert any("unscrew" in text for text in texts("universal chuck", job("1"), chuck, lathes=(lathe,)))
    assert not any("unscrew" in text for text in texts("universal chuck", job("1"), on_hand.chuck(max_rpm=2000)))


@pytest.mark.parametrize(("grip", "warned"), [("1", False), ("0.9", True)])
def test_a_grip_under_a_third_of_the_stick_out_is_short(grip, warned):
    asked = job("1.5", stick_out="3", grip=grip)

    assert any("short for" in text for text in texts("universal chuck", asked, on_hand.chuck(max_rpm=2000))) is warned


@pytest.mark.parametrize(("size", "warned"), [("5.4", False), ("5.41", True)])
def test_jaws_in_the_last_tenth_of_their_range_are_told(size, warned):
    found = texts("universal chuck", job(size), on_hand.chuck(max_rpm=2000))

    assert any("end of their range" in text for text in found) is warned


def test_work_off_its_axis_is_out_of_balance_and_work_on_it_is_not():
    chuck = on_hand.independent_chuck(max_rpm=2000)

    assert any("out of balance" in text for text in texts("independent chuck", job("1", throw="1/8"), chuck))
    assert texts("independent chuck", job("1"), chuck) == []


def test_bar_that_is_fed_is_told_to_show_nothing_behind_the_spindle():
    chuck = on_hand.chuck(max_rpm=2000, through="1-1/2")

    assert any("behind the spindle" in text for text in texts("universal chuck", job("1", fed="yes"), chuck))


@pytest.mark.parametrize(("kind", "warned"), [("dead center", True), ("live center", False)])
def test_a_dead_center_in_the_tailstock_is_told_to_be_lubricated(kind, warned):
    rig = [on_hand.chuck(max_rpm=2000), shop_floor.center(kind)]

    assert any("lubricant" in text for text in texts("universal chuck", job("1", length="8"), *rig)) is warned
