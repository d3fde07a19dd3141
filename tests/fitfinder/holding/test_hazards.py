"""What can hurt: each caution speaks when its number calls for it, and is silent when it does not."""

from fractions import Fraction

import pytest
from msgspec.structs import replace

from inventory.measures import masses
from inventory.measures.lengths import parse
from inventory.reference import holding, practice
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by


def texts(method, asked, *rig, **fields):
    return [caution.text for caution in way_by(method, asked, *rig, **fields).cautions]


def test_an_ordinary_light_grip_has_no_caution_at_all():
    chuck = on_hand.chuck(max_rpm=2000, weight_ug=masses.parse("20 lb"))

    assert texts("universal chuck", job("1", length="2"), chuck) == []


@pytest.mark.parametrize(("more", "warned"), [(0, False), (1, True)])
def test_a_chuck_over_what_one_person_lifts_is_told(more, warned):
    alone = practice.caution("lift alone").most * masses.UG_PER_LB
    chuck = on_hand.chuck(max_rpm=2000, weight_ug=int(alone) + more)

    assert bool(texts("universal chuck", job("1"), chuck)) is warned


def test_a_heavy_chuck_that_is_on_the_lathe_needs_no_lifting():
    lathe = small_shop.lathe()
    chuck = on_hand.chuck(max_rpm=2000, weight_ug=masses.parse("60 lb"), mounted_on=lathe.id)

    assert texts("universal chuck", job("1"), chuck, lathes=(lathe,)) == []


def test_the_heavy_chuck_that_has_to_come_off_first_is_told():
    lathe = small_shop.lathe()
    mounted = on_hand.chuck(tag="K-1", max_rpm=2000, weight_ug=masses.parse("60 lb"), mounted_on=lathe.id)
    plate = small_shop.faceplate(max_rpm=2000)

    assert any(
        "K-1, which comes off first, weighs" in text
        for text in texts("faceplate", job("4"), mounted, plate, lathes=(lathe,))
    )


def test_all_that_is_too_heavy_to_lift_stands_in_one_caution():
    lathe = small_shop.lathe()
    mounted = on_hand.chuck(tag="K-1", max_rpm=2000, weight_ug=masses.parse("60 lb"), mounted_on=lathe.id)
    plate = small_shop.faceplate(tag="H-1", max_rpm=2000, weight_ug=masses.parse("34 lb"))
    lifted = [text for text in texts("faceplate", job("4"), mounted, plate, lathes=(lathe,)) if "weighs" in text]

    assert [text.partition(":")[0] for text in lifted] == [
        "K-1, which comes off first, weighs 60.0 lb (27.2 kg), and H-1 34.0 lb (15.4 kg)"
    ]


def test_heavy_work_is_told_too():
    assert any(
        "The work weighs" in text for text in texts("faceplate", job("4", weight="80 lb"), small_shop.faceplate())
    )


@pytest.mark.parametrize(("rpm", "warned"), [(1999, True), (2000, False)])
def test_a_marked_speed_is_told_where_the_lathe_can_run_faster(rpm, warned):
    assert (
        any("rpm at most" in text for text in texts("universal chuck", job("1"), on_hand.chuck(max_rpm=rpm))) is warned
    )


def test_a_chuck_without_a_marked_speed_is_a_question():
    assert any("not known" in text for text in texts("universal chuck", job("1"), on_hand.chuck(tag="K-1")))


def test_a_threaded_nose_is_told_and_a_camlock_is_not():
    lathe = small_shop.lathe(nose="1-1/2-8")
    chuck = on_hand.chuck(mount="1-1/2-8", max_rpm=2000)

    assert any("unscrew" in text for text in texts("universal chuck", job("1"), chuck, lathes=(lathe,)))
    assert not any("unscrew" in text for text in texts("universal chuck", job("1"), on_hand.chuck(max_rpm=2000)))


@pytest.mark.parametrize(("times", "warned"), [("1", False), ("0.9", True)])
def test_a_grip_of_too_small_a_share_of_the_stick_out_is_short(times, warned):
    share = holding.value("grip.share_of_stickout")
    asked = job("1.5", stick_out="3", grip=small_shop.inches(3 * share * Fraction(times)))

    assert any("short for" in text for text in texts("universal chuck", asked, on_hand.chuck(max_rpm=2000))) is warned


@pytest.mark.parametrize(("size", "warned"), [("5.4", False), ("5.41", True)])
def test_jaws_in_the_last_tenth_of_their_range_are_told(size, warned):
    cautions = texts("universal chuck", job(size), on_hand.chuck(max_rpm=2000))

    assert any("end of their range" in text for text in cautions) is warned


def test_work_off_its_axis_is_out_of_balance_and_work_on_it_is_not():
    chuck = on_hand.independent_chuck(max_rpm=2000)

    assert any("out of balance" in text for text in texts("independent chuck", job("1", throw="1/8"), chuck))
    assert texts("independent chuck", job("1"), chuck) == []


def test_bar_that_is_fed_is_told_to_show_nothing_behind_the_spindle():
    chuck = on_hand.chuck(max_rpm=2000, through="1-1/2")

    assert any("behind the spindle" in text for text in texts("universal chuck", job("1", fed="yes"), chuck))


@pytest.mark.parametrize(("kind", "warned"), [("dead center", True), ("live center", False)])
def test_a_dead_center_in_the_tailstock_is_told_to_be_lubricated(kind, warned):
    rig = [on_hand.chuck(max_rpm=2000), small_shop.center(kind)]

    assert any("lubricant" in text for text in texts("universal chuck", job("1", length="8"), *rig)) is warned


# Each further caution with the case in which it stays silent.


@pytest.mark.parametrize(
    ("more", "with_center", "warned"), [("0", False, False), ("0.001", False, True), ("4", True, False)]
)
def test_work_that_stands_out_too_far_with_nothing_to_hold_it_up_is_told(more, with_center, warned):
    asked = small_shop.standing_out(practice.stick_out("chuck or collet").most, more)
    rig = [on_hand.chuck(max_rpm=2000)] + ([small_shop.center(max_rpm=2000)] if with_center else [])

    assert any("nothing to hold up" in text for text in texts("universal chuck", asked, *rig)) is warned


def test_between_centers_nothing_stands_out_that_could_be_thrown():
    assert not any("nothing to hold up" in text for text in texts("between centers", job("1", length="8")))


@pytest.mark.parametrize(("stick_out", "warned"), [("4", False), ("3.999", True)])
def test_bar_that_reaches_through_the_spindle_is_told_by_how_much_it_shows_behind(stick_out, warned):
    lathe = replace(small_shop.lathe(), spindle_length=parse("16"))
    asked = job("1", length="20", stick_out=stick_out)
    cautions = texts("universal chuck", asked, on_hand.chuck(max_rpm=2000), lathes=(lathe,))

    assert any("behind the spindle" in text for text in cautions) is warned


def test_a_collet_that_is_closed_on_the_least_it_takes_is_told_its_range_and_one_at_its_size_is_not():
    rig = [on_hand.closer(max_rpm=2000), on_hand.collet("3/4")]

    assert any("takes a set" in text for text in texts("collet", job("0.7454"), *rig))
    assert not any("takes a set" in text for text in texts("collet", job("0.7455"), *rig))


@pytest.mark.parametrize("kind", ["faceplate", "closer"])
def test_what_turns_without_a_marked_speed_is_a_question(kind):
    if kind == "faceplate":
        silent, told = (
            texts("faceplate", job("4"), small_shop.faceplate(**marked)) for marked in ({"max_rpm": 2000}, {})
        )
    else:
        silent, told = (
            texts("collet", job("3/4"), on_hand.closer(**marked), on_hand.collet("3/4"))
            for marked in ({"max_rpm": 2000}, {})
        )

    assert not any("look for the marking" in text for text in silent)
    assert any("look for the marking" in text for text in told)


def test_the_lowest_marked_speed_of_the_chain_counts():
    rig = [on_hand.chuck(max_rpm=1800), small_shop.center(max_rpm=1200, tag="N-1")]

    assert "N-1 is marked 1200 rpm at most." in texts("universal chuck", job("1", length="8"), *rig)


@pytest.mark.parametrize(("bore", "warned"), [("4.5", False), ("4.51", True)])
def test_jaws_near_the_end_of_their_range_in_a_bore_are_told_too(bore, warned):
    chuck = small_shop.inside(on_hand.chuck(max_rpm=2000), "1", "5")
    cautions = texts("universal chuck", job("7", shape="tube", bore=bore), chuck)

    assert any("end of their range" in text for text in cautions) is warned


def test_the_dead_center_of_the_headstock_turns_with_the_work_and_needs_no_lubricant():
    rig = [
        small_shop.faceplate(max_rpm=2000),
        small_shop.center(Kind.DEAD_CENTER, mount="MT5"),
        small_shop.dog(),
        small_shop.center(max_rpm=2000),
    ]

    assert not any("lubricant" in text for text in texts("between centers", job("1"), *rig))


def test_a_spindle_center_of_steel_in_its_taper_is_not_cut_again():
    rig = [
        small_shop.faceplate(),
        small_shop.center(Kind.DEAD_CENTER, mount="MT5"),
        small_shop.dog(),
        small_shop.center(),
    ]

    assert not any("cut again" in text for text in texts("between centers", job("1"), *rig))


def test_a_threaded_nose_is_told_for_a_faceplate_too():
    lathe = small_shop.lathe(nose="1-1/2-8")
    plate = on_hand.piece(Kind.FACEPLATE, mount="1-1/2-8", max_rpm=2000)

    assert any(
        "No reverse under power, no hard braking" in text
        for text in texts("faceplate", job("4"), plate, lathes=(lathe,))
    )


def test_what_follows_from_the_size_of_the_bar_is_said_of_the_set_up_that_grips_the_bar():
    def end_of_range(**texts):
        way = way_by("universal chuck", job("4", length="4", **texts), on_hand.chuck(tag="K-1", outside=("1/8", "4")))
        return [caution.text for caution in way.cautions if "end of their range" in caution.text]

    (once,) = end_of_range(setups=2)
    assert once.startswith("The jaws of K-1")
    assert end_of_range(setups=2, regrip="turned", turned="3") == [f"Set-up 1: {once}"]
    assert end_of_range(setups=1) == [once]
