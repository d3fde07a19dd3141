"""Speeds to stay under: what is marked or taken for it, jaws beyond the body, what is out of balance, what whirls."""

import pytest
from msgspec.structs import replace

from fitfinder.holding.rules.speed_limits import SpeedCause
from inventory.measures.lengths import parse
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, way_by


def chuck(body="8", **fields):
    return replace(on_hand.chuck(tag="K-1", outside=("1/8", body), **fields), body=parse(body))


def plate(body, **fields):
    return replace(small_shop.faceplate(tag="H-1", **fields), body=parse(body))


def limit(way):
    return way.speed_limit.rpm


def cautions(way):
    return " ".join(caution.text for caution in way.cautions)


@pytest.mark.parametrize(
    ("body", "rpm"), [("4", 2820), ("6", 1880), ("8", 1410), ("12", 940), ("100 mm", 2865), ("160 mm", 1790)]
)
def test_a_chuck_without_a_mark_is_run_as_cast_iron_is(body, rpm):
    # 15 m/s at the rim: common practice; by hand.
    way = way_by("universal chuck", job("1", length="2"), chuck(body), lathes=(small_shop.lathe(rpm=4000),))

    assert limit(way) == rpm
    assert f"Until then {rpm} rpm at most: 15 m/s at a rim of" in cautions(way)


def test_a_plate_without_a_mark_is_run_slower_still():
    # 10 m/s at the rim: common practice; by hand 752 rpm for 10 in.
    assert limit(way_by("faceplate", job("4", length="2"), plate("10"))) == 752


def test_the_lowest_mark_of_the_chain_is_the_limit():
    rig = [chuck(max_rpm=2000, through="1-1/2"), small_shop.center(max_rpm=1200, tag="N-1")]
    way = way_by("universal chuck", job("1", length="8"), *rig)

    assert (limit(way), way.speed_limit.why) == (1200, "marked on N-1")


@pytest.mark.parametrize(("size", "rpm"), [("5.5", 2000), ("5.51", 1000)])
def test_jaws_beyond_the_body_take_half_of_the_mark(size, rpm):
    # Jaws of 8 in chucks go 1-1/4 beyond the work at either side (from memory).
    way = way_by(
        "universal chuck", job(size, length="3"), chuck("8", max_rpm=2000), lathes=(small_shop.lathe(rpm=2500),)
    )

    assert limit(way) == rpm
    assert ("Half of the mark of K-1" in cautions(way)) is (rpm == 1000)


@pytest.mark.parametrize(("length", "rpm"), [("11", 2000), ("12.1", 1000)])
def test_long_work_takes_half_of_the_mark(length, rpm):
    rest = on_hand.piece(Kind.FOLLOW_REST, outside=("1/2", "2"))
    rig = [chuck("8", max_rpm=2000, through="1-1/2"), small_shop.center(max_rpm=3000), rest]

    assert limit(way_by("universal chuck", job("1", length=length, grip="1"), *rig)) == rpm


@pytest.mark.parametrize(("weight", "rpm"), [("75 lb", 900), ("76 lb", 450)])
def test_heavy_work_takes_half_of_the_mark(weight, rpm):
    assert limit(way_by("universal chuck", job("4", length="4", weight=weight), chuck("12", max_rpm=900))) == rpm


@pytest.mark.parametrize(("throw", "rpm"), [("1/4", 187), ("1/2", 132), ("1", 93)])
def test_what_is_off_the_axis_starts_where_it_pulls_by_a_quarter_of_its_weight(throw, rpm):
    # Mechanics, by hand.
    rig = replace(on_hand.independent_chuck(max_rpm=3000), body=parse("10"))
    way = way_by("independent chuck", job("3", length="3", throw=throw), rig)

    assert (limit(way), way.speed_limit.why) == (rpm, "until it is balanced")
    assert f"Before that {rpm} rpm at most" in cautions(way)


def test_a_casting_is_taken_to_lie_a_quarter_off_until_somebody_finds_out():
    way = way_by("faceplate", job("6", shape="casting", length="3"), plate("10", max_rpm=900))

    assert limit(way) == 187
    assert "as is taken until somebody finds it" in cautions(way)


def test_a_casting_in_millimetres_is_taken_to_lie_a_whole_number_of_them_off():
    metric = job("150 mm", shape="casting", length="80 mm")

    assert limit(way_by("faceplate", metric, plate("300 mm", max_rpm=900))) == 193  # 30/pi x sqrt(9.80665/0.006) / 2


# Behind the spindle.


def through(length, *, out="4", size="5/8", **speeds):
    lathe = replace(small_shop.lathe(), spindle_length=parse("20"), **speeds)
    asked = job(size, length=length, stick_out=out, material="steel")
    rests = on_hand.piece(Kind.STEADY_REST, outside=("1/4", "4"))
    return way_by("universal chuck", asked, chuck(max_rpm=2500, through="1-1/2"), rests, lathes=(lathe,))


def test_what_shows_of_bar_in_millimetres_is_told_to_a_tenth_of_an_inch():
    way = through("1250 mm")

    assert "About 25.2 in show behind" in cautions(way)
    assert "runs free for 45.2 in from the jaws" in cautions(way)


def test_bar_behind_the_spindle_is_told_how_far_it_whips():
    # Mechanics, by hand: 30 in showing of 5/8 in 589 rpm, 212 rpm from the jaws.
    way = through("54")

    assert "About 30 in show behind" in cautions(way)
    assert "under 589 rpm with that bushing, and under 212 rpm without one" in cautions(way)
    assert limit(way) == 212


@pytest.mark.parametrize(
    ("fastest", "told"),
    [(2000, "under 589 rpm with that bushing"), (500, "without that bushing: under 212 rpm"), (200, "")],
)
def test_no_speed_is_told_that_the_lathe_does_not_reach(fastest, told):
    texts = cautions(through("54", fastest_rpm=fastest))

    assert told in texts
    assert ("Straight bar" in texts) is bool(told)


@pytest.mark.parametrize(("length", "far"), [("25.875", False), ("25.876", True)])
def test_little_that_shows_is_said_without_a_speed(length, far):
    # Three diameters of 5/8: common practice.
    assert ("Straight bar" in cautions(through(length))) is far


@pytest.mark.parametrize(("slowest", "can"), [(589, True), (590, False)])
def test_bar_that_whips_at_the_slowest_speed_is_refused(slowest, can):
    way = through("54", slowest_rpm=slowest)

    assert way.can is can
    assert can or "whip above 589 rpm" in str(way.why_not)


@pytest.mark.parametrize(("length", "may_show"), [("36", True), ("16", False)])
def test_of_a_spindle_without_a_length_bar_is_told_by_the_swing_that_it_may_show(length, may_show):
    # A spindle is about as long as its lathe swings, 13 in here: 32 in inside are 19 in behind it.
    way = way_by("universal chuck", job("5/8", length=length, stick_out="4"), chuck(through="1-1/2"))

    assert ("32 in lie inside Lathe 1" in cautions(way)) is may_show
    assert ("about 19 in may show behind it" in cautions(way)) is may_show


def test_nothing_is_refused_for_a_length_that_is_taken():
    slow = replace(small_shop.lathe(), slowest_rpm=1000)

    assert way_by("universal chuck", job("1/4", length="60", stick_out="1/2"), chuck(), lathes=(slow,)).can


def test_fed_bar_is_told_how_much_may_show_at_the_fastest_speed():
    # Mechanics, by hand: 1 in may show by 29.12 in at 1000 rpm.
    way = way_by(
        "universal chuck", job("1", fed="yes"), chuck(through="1-1/2"), lathes=(small_shop.lathe(rpm=1000),)
    )  # fmt: skip

    assert "At 1000 rpm no more than 29.1 in" in cautions(way)


# In front of it.


@pytest.mark.parametrize(("length", "whirls"), [("10", False), ("10.1", True)])
def test_only_the_most_slender_work_between_centers_is_told_that_it_whirls(length, whirls):
    follow = on_hand.piece(Kind.FOLLOW_REST, outside=("1/8", "2"))
    way = way_by("between centers", job("1/4", length=length), *CENTERED, follow, lathes=(small_shop.lathe(rpm=9000),))

    assert ("it whirls: stay under" in cautions(way)) is whirls


def test_a_quarter_of_an_inch_by_28_stays_under_759():
    # Mechanics, by hand: a steady would carry it.
    follow, steady = (on_hand.piece(kind, outside=("1/8", "2")) for kind in (Kind.FOLLOW_REST, Kind.STEADY_REST))

    assert limit(way_by("between centers", job("1/4", length="28"), *CENTERED, follow)) == 759
    steadied = way_by("between centers", job("1", length="39", taper="60"), *CENTERED, steady)
    assert [one.cause for one in steadied.speeds] == [SpeedCause.DOG]


@pytest.mark.parametrize("method", ["between centers", "soft center"])
def test_a_dog_is_slow_whatever_drives_it(method):
    # A habit: its tail catches a sleeve.
    rig = [*CENTERED, on_hand.chuck(tag="K-1", max_rpm=2000), small_shop.dog(tag="G-1")]
    way = way_by(method, job("1", length="8"), *rig)

    assert limit(way) <= 800
    assert "swings: 800 rpm at most. Sleeves buttoned, a guard round the dog's tail" in cautions(way)
    assert "swings: 800" not in cautions(way_by("universal chuck", job("1", length="2"), *rig))


@pytest.mark.parametrize(
    ("fastest", "rpm", "why"), [(2000, 2000, "the fastest of Lathe 1"), (3200, 2800, "marked on K-1")]
)
def test_what_the_lathe_turns_counts_where_it_is_less_than_the_mark(fastest, rpm, why):
    way = way_by("universal chuck", job("1", length="2"), chuck(max_rpm=2800), lathes=(small_shop.lathe(rpm=fastest),))

    assert (limit(way), way.speed_limit.why) == (rpm, why)


def test_a_steady_that_only_held_its_ends_for_the_drill_does_not_keep_it_from_whirling():
    rests = (on_hand.piece(kind, outside=("1/8", "2")) for kind in (Kind.FOLLOW_REST, Kind.STEADY_REST))
    way = way_by("between centers", job("1/4", length="28"), *CENTERED, *rests, lathes=(small_shop.lathe(bore="0.2"),))

    assert way.has(Kind.STEADY_REST)
    assert limit(way) == 759


def test_a_dead_center_under_a_heavy_shaft_is_kept_slow():
    # 50 ft/min at the mouth of its hole (common practice); the mouth of 15/64 is of a guide from memory: 815 rpm.
    rig = [*CENTERED[:3], small_shop.center(Kind.DEAD_CENTER, tag="N-2")]
    way = way_by("between centers", job("1", length="8", weight="500 lb"), *rig)

    assert {one.cause: one.rpm for one in way.speeds} == {SpeedCause.DEAD_CENTER: 814, SpeedCause.DOG: 800}
    assert "N-2 does not turn under so much weight" in cautions(way)


# What unscrews, and what swings.


@pytest.mark.parametrize(("nose", "behind"), [("1-1/2-8", True), ("D1-4", False)])
def test_eccentric_work_on_a_threaded_nose_ranks_behind(nose, behind):
    lathe = small_shop.lathe(nose=nose)
    way = way_by("independent chuck", job("2", throw="1/8"), on_hand.independent_chuck(mount=nose), lathes=(lathe,))

    assert any("threaded nose" in str(reason) for reason in way.but) is behind


@pytest.mark.parametrize(("size", "told"), [("12.875", False), ("12.9", True)])
def test_work_that_clears_the_bed_by_less_than_an_eighth_is_turned_by_hand_first(size, told):
    way = way_by("faceplate", job(size, irregular="yes"), small_shop.faceplate(max_rpm=100))

    assert ("It clears the bed of Lathe 1 by" in cautions(way)) is told


def test_open_jaws_that_do_not_clear_the_bed_are_told():
    rig = chuck("12", max_rpm=100)

    assert "The open jaws of K-1 sweep about 13.5 in" in cautions(way_by("universal chuck", job("10", length="3"), rig))
    assert "open jaws" not in cautions(way_by("universal chuck", job("9", length="3"), rig))
