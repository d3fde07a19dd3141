"""How much of the work is held, and whether that is enough for jaws, soft jaws and each kind of collet."""

from fractions import Fraction

import pytest
from msgspec.structs import replace

from fitfinder.holding.rules import bearings, grip_length
from inventory.measures.lengths import parse
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by, words

ER32 = {"series": "ER32", "passes": "20 mm", "typical": "0.0004"}


def in_chuck(asked, *more, **fields):
    return way_by("universal chuck", asked, on_hand.chuck(max_rpm=2000, **fields), *more)


def in_5c(grip, *more, **texts):
    asked = job("3/4", length="2", grip=grip, **texts)
    return way_by("collet", asked, on_hand.closer(), on_hand.collet("3/4"), *more)


def in_er(grip):
    asked = job("3/4", length="3", grip=grip)
    return way_by("collet", asked, on_hand.collet_chuck(), on_hand.drawbar(), on_hand.collet("3/4", **ER32))


# How much is held.


@pytest.mark.parametrize(
    ("texts", "chuck", "grip"),
    [
        ({"length": "6"}, {}, "1"),  # as much as it is thick
        ({"length": "2.4"}, {}, "0.8"),  # a third of it
        ({"length": "6"}, {"jaw_length": parse("0.7")}, "0.7"),  # what the jaws touch
        ({"length": "6", "grip": "0.6"}, {}, "0.6"),  # as told
        ({"length": "6", "grip": "3"}, {"jaw_length": parse("1-1/4")}, "1-1/4"),  # no more than the jaws touch
        ({"length": "6", "stick_out": "5.5"}, {}, "0.5"),  # what is not to stand out
        ({}, {}, "1"),
    ],
)
def test_a_grip_is_as_told_or_the_least_of_thickness_jaws_and_a_third_of_the_work(texts, chuck, grip):
    assert in_chuck(job("1", **texts), **chuck).grip == parse(grip)


def test_what_was_assumed_is_said_and_what_was_told_is_not():
    assert str(grip_length.assumed_grip(in_chuck(job("1", length="3")).job)) == "1 in of grip assumed"
    assert grip_length.assumed_grip(in_chuck(job("1", length="3", grip="1")).job) is None
    assert "it decides here" in str(grip_length.assumed_grip(in_chuck(job("1", length="1.5")).job))


def test_what_stands_out_follows_from_what_is_held():
    assert in_chuck(job("2", length="6"), jaw_length=parse("1-1/4")).stick_out == parse("4.75")


def test_a_faceplate_and_centers_grip_nothing_along_the_work():
    for method in ("faceplate", "between centers"):
        way = way_by(method, job("1", length="3"), *small_shop.CENTERED)
        assert (way.grip, way.stick_out) == (None, None)


@pytest.mark.parametrize(
    ("body", "length"),
    [("3", "0.75"), ("4", "0.75"), ("6", "1"), ("7", "1.125"), ("8", "1.25"), ("12", "1.75"), ("15", "1.75")],
)
def test_jaws_that_nobody_measured_are_as_long_as_those_of_chucks_of_that_size(body, length):
    assert bearings.typical_jaw_length(parse(body)) == parse(length)


def test_the_jaws_that_have_to_go_in_have_a_length_of_their_own():
    chuck = on_hand.chuck(jaw_length=parse("1"))
    jaws = replace(small_shop.soft_jaws(chuck), jaw_length=parse("2"))

    assert bearings.of_jaws(chuck, jaws).length == parse("2")
    assert bearings.of_jaws(chuck, replace(jaws, is_in=True)).length == parse("1")
    assert bearings.of_jaws(chuck, None).length == parse("1")


# Jaws.


@pytest.mark.parametrize(
    ("grip", "can", "is_short"), [("1", True, False), ("0.9", True, True), ("0.6", True, True), ("0.599", False, False)]
)
def test_jaws_want_a_third_of_what_stands_out_and_refuse_below_a_fifth(grip, can, is_short):
    way = in_chuck(job("1-1/2", stick_out="3", grip=grip))

    assert way.can is can
    assert any("is short for" in caution.text for caution in way.cautions) is is_short


def test_the_refusal_tells_what_there_is_and_what_it_would_take():
    why_not = in_chuck(job("1-1/2", stick_out="3", grip="0.3")).why_not

    assert str(why_not) == (
        "0.3000 in of grip for 3 in standing out is less than a fifth: grip more, or bring up a center"
    )
    assert (why_not.needs, why_not.has) == (parse("0.6"), parse("0.3"))


def test_too_short_a_grip_gets_a_center_where_one_is_here():
    asked = job("1-1/2", length="3.4", grip="0.4")
    way = in_chuck(asked, small_shop.center(tag="N-2"))

    assert "N-2" in way.tags
    assert not in_chuck(asked).can
    fed = job("1-1/2", length="3.4", grip="0.4", stick_out="3", fed="yes")
    assert not in_chuck(fed, small_shop.center(), through="2").can


@pytest.mark.parametrize(("grip", "is_against"), [("0.5", False), ("0.499", True)])
def test_with_a_center_a_quarter_of_the_thickness_is_enough_to_drive(grip, is_against):
    way = in_chuck(job("2", length="10", grip=grip), small_shop.center())

    assert way.can
    assert any("hardly drives" in text for text in words(way.but)) is is_against


def test_jaws_that_nobody_measured_are_never_a_reason_to_refuse():
    # Those of a chuck of 6 in are an inch long by the table.
    heavy = job("5", length="14")

    assert in_chuck(heavy).can
    assert any("less than a fifth" in text for text in words(in_chuck(heavy).but))
    assert not in_chuck(heavy, jaw_length=parse("1")).can


def test_a_short_grip_is_told_with_the_force_that_rocks_it():
    (text,) = (one.text for one in in_chuck(job("2", stick_out="4", grip="1")).cautions if "is short for" in one.text)

    assert "With 1000 lbf at each jaw 192 lbf across its end rock it." in text


# What is bored.


@pytest.mark.parametrize("method", ["soft jaws", "split bushing"])
@pytest.mark.parametrize(
    ("size", "grip", "is_against"), [("1", "1/4", False), ("1", "0.249", True), ("2", "0.29", True)]
)
def test_what_is_bored_grips_a_quarter_inch_and_a_seventh_of_the_size(method, size, grip, is_against):
    chuck = on_hand.chuck()
    way = way_by(method, job(size, length="1", grip=grip), chuck, jaw_sets=[small_shop.soft_jaws(chuck)])

    assert way.can
    assert any("short for what is bored" in text for text in words(way.but)) is is_against


# Collets.


@pytest.mark.parametrize(
    ("grip", "can", "here", "is_against"),
    [
        ("0.5", True, True, False),  # two thirds of the bearing of a 5C
        ("0.499", True, False, True),
        ("0.25", True, False, True),  # a third
        ("0.2499", False, False, False),
    ],
)
def test_a_draw_in_collet_wants_two_thirds_of_its_bearing_or_a_plug(grip, can, here, is_against):
    way = in_5c(grip)

    assert (way.can, way.is_here, bool(way.but)) == (can, here, is_against)


def test_the_plug_is_a_step_and_is_missing():
    way = in_5c("0.4")

    assert words(way.missing) == ("a plug of 3/4 in, within 0.0005 in, to go behind the work",)
    assert any("plug of 3/4 in" in step.do for step in way.steps)


@pytest.mark.parametrize(
    ("grip", "can", "is_against", "is_promised"),
    [
        ("40 mm", True, False, True),
        ("39 mm", True, False, False),
        ("26.67 mm", True, False, False),
        ("26.66 mm", True, True, True),
        ("20 mm", True, True, True),
        ("19.9 mm", False, False, True),
    ],
)
def test_an_er_collet_wants_its_whole_bore_for_truth_and_half_of_it_at_least(grip, can, is_against, is_promised):
    way = in_er(grip)

    assert (way.can, bool(way.but)) == (can, is_against)
    assert any("promise nothing" in text for text in words(way.reasons)) is not is_promised


@pytest.mark.parametrize(("length", "is_asked"), [("1.0", False), ("0.98", True)])
def test_short_work_in_a_collet_is_asked_for_its_grip_and_not_refused(length, is_asked):
    way = way_by("collet", job("3/4", length=length), on_hand.closer(), on_hand.collet("3/4"))

    assert way.is_here
    assert any("tell how much there is to grip" in text for text in words(way.doubts)) is is_asked


@pytest.mark.parametrize(
    ("length", "grip", "out"),
    [
        ("1", "1/2", "1/2"),  # two thirds of the bearing of a 5C, and 2.7 diameters out
        ("9/8", "9/16", "9/16"),  # no further than half of it
    ],
)
def test_a_short_pin_is_gripped_in_its_collet_by_up_to_half(length, grip, out):
    way = way_by("collet", job("3/16", length=length), on_hand.closer(), on_hand.collet("3/16"))

    assert (way.grip, way.stick_out, way.doubts, way.missing) == (parse(grip), parse(out), (), ())


@pytest.mark.parametrize(
    ("length", "grip", "is_propped"),
    [
        ("4", "1", False),  # a diameter leaves just three out
        ("4-3/16", "19/16", False),
        ("4-1/4", "1", True),  # the jaws of this chuck are no longer than that
    ],
)
def test_a_stub_of_four_diameters_is_gripped_by_what_the_jaws_have_and_not_by_one_diameter(length, grip, is_propped):
    chuck = replace(on_hand.chuck(tag="K-1"), jaw_length=parse("1-3/16"))
    way = way_by("universal chuck", job("1", length=length), chuck, small_shop.center(tag="N-1"))

    assert (way.grip, way.has(Kind.LIVE_CENTER)) == (parse(grip), is_propped)
    assert "of grip assumed: tell how much there is to grip" in str(grip_length.assumed_grip(way.job))


def test_a_stub_in_millimetres_is_gripped_by_whole_ones():
    chuck = replace(on_hand.chuck(), jaw_length=parse("30 mm"))

    assert way_by("universal chuck", job("25 mm", length="102 mm"), chuck).grip == parse("27 mm")


def test_without_a_length_a_collet_grips_by_all_that_it_has():
    way = way_by("collet", job("1/4"), on_hand.closer(), on_hand.collet("1/4"))

    assert (way.grip, way.doubts) == (parse("3/4"), ())


def test_a_series_whose_bearing_nobody_knows_is_never_short():
    assert bearings.of_series("XYZ").length is None


def test_what_turns_the_work_in_its_jaws_grows_with_the_diameter_that_is_cut():
    at_grip = grip_length.jaw_forces_needed(Fraction(50))

    assert grip_length.jaw_forces_needed(Fraction(50), cut_at=Fraction(2)) == 2 * at_grip
    assert grip_length.jaw_forces_needed(Fraction(50), is_serrated=True) < at_grip


def test_a_number_of_jaws_without_a_factor_has_no_force():
    assert grip_length.rocks_at(Fraction(1000), grip=Fraction(1), stick_out=Fraction(3), jaws=5) is None


def test_a_collet_that_lacks_a_plug_is_told_before_what_another_lathe_lacks():
    lathes = (small_shop.lathe("Lathe 1"), small_shop.lathe("Lathe 2", nose="1-1/2-8"))
    rig = (on_hand.closer(), on_hand.collet("3/4", tag="C-1"))
    way = way_by("collet", job("3/4", length="2", grip="0.4"), *rig, lathes=lathes)

    assert "C-1" in way.tags
    assert any("a plug" in text for text in words(way.missing))


@pytest.mark.parametrize(("length", "is_against"), [("3/4", False), ("0.74", True)])
def test_a_short_ring_may_be_gripped_over_all_of_its_length_by_what_is_bored(length, is_against):
    chuck = on_hand.chuck()
    way = way_by("soft jaws", job("5", length=length), chuck, jaw_sets=[small_shop.soft_jaws(chuck, "1", "6")])

    assert any("short for what is bored" in text for text in words(way.but)) is is_against


def test_all_of_the_work_stands_off_a_faceplate():
    assert way_by("faceplate", job("2", length="6", stick_out="3"), small_shop.faceplate()).can
    assert not way_by("faceplate", job("2", length="30", stick_out="4"), small_shop.faceplate()).can
