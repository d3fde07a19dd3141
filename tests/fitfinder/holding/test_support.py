"""What holds up long work: a tailstock center with its sleeves, a rest."""

import pytest
from msgspec.structs import replace

from fitfinder.holding.pieces import CountedOnHand
from fitfinder.plan.page import WAY_VERDICTS, state_of
from inventory.measures.lengths import parse
from inventory.reference import practice
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, steps, way_by, words

FREE = practice.stick_out("chuck or collet").most
WITH_A_CENTER = practice.stick_out("chuck and tailstock center").limit
BETWEEN_CENTERS = practice.stick_out("between centers").limit


def rest_of(kind=Kind.STEADY_REST, **fields):
    return on_hand.piece(kind, outside=("1/2", "4"), **fields)


@pytest.mark.parametrize(("more", "tags"), [("0", ["K-1"]), ("0.001", ["K-1", "N-1"])])
def test_work_that_stands_out_too_far_for_its_thickness_gets_a_center(more, tags):
    rig = [on_hand.chuck(tag="K-1"), small_shop.center(tag="N-1")]

    assert list(way_by("universal chuck", small_shop.standing_out(FREE, more), *rig).tags) == tags


def test_the_center_that_is_not_here_is_missing():
    way = way_by("universal chuck", job("1", length="8"), on_hand.chuck())

    assert words(way.missing) == ("no center for the MT3 tailstock of Lathe 1",)


def test_a_tube_is_held_up_by_a_bull_nose_that_takes_its_bore():
    small = small_shop.inside(small_shop.center(Kind.BULL_NOSE_CENTER, tag="N-1"), "1/4", "1/2")
    large = small_shop.inside(small_shop.center(Kind.BULL_NOSE_CENTER, tag="N-2"), "1/2", "3")
    asked = job("2", shape="tube", bore="1", length="12")

    assert way_by("universal chuck", asked, on_hand.chuck(tag="K-1"), small, large).tags == ("K-1", "N-2")


@pytest.mark.parametrize(("more", "has_rest"), [("0", False), ("0.001", True)])
def test_work_longer_than_a_center_alone_holds_up_gets_a_rest_too(more, has_rest):
    rest, work = rest_of(tag="R-1"), small_shop.standing_out(WITH_A_CENTER, more)
    way = way_by("universal chuck", work, on_hand.chuck(through="1-1/2"), small_shop.center(), rest)

    assert ("R-1" in way.tags) is has_rest


def test_a_rest_takes_the_work_as_it_is_turned_to_as_well():
    shaft = {"length": "30", "turned": "5/8"}
    narrow = on_hand.piece(Kind.FOLLOW_REST, tag="R-1", outside=("3/4", "2"))
    wide = rest_of(Kind.FOLLOW_REST, tag="R-2")

    assert "R-2" in way_by("between centers", job("1", **shaft), *CENTERED, narrow, wide).tags
    assert words(way_by("between centers", job("1", **shaft), *CENTERED, narrow).missing)[-1] == (
        "no rest of Lathe 1 takes 1 in, and the 5/8 in that it is turned to"
    )


def test_the_rest_of_another_lathe_is_no_help():
    other = small_shop.lathe("Lathe 2")
    rest = rest_of(belongs_to=other.id)
    way = way_by("universal chuck", job("1", length="20"), on_hand.chuck(), small_shop.center(), rest)

    assert words(way.missing) == ("no rest of Lathe 1 takes 1 in",)


@pytest.mark.parametrize(("more", "has_rest"), [("0", False), ("0.001", True)])
def test_work_between_centers_that_is_too_slender_gets_a_rest(more, has_rest):
    work, rest = job("1", length=small_shop.inches(BETWEEN_CENTERS, more)), rest_of(Kind.FOLLOW_REST, tag="R-1")

    assert ("R-1" in way_by("between centers", work, *CENTERED, rest).tags) is has_rest


def test_a_tailstock_center_comes_with_its_sleeve_and_the_missing_one_is_named():
    center, sleeve = small_shop.center(mount="MT2", tag="N-9"), on_hand.sleeve(mount="MT3", takes="MT2", tag="S-1")
    chuck, asked = on_hand.chuck(tag="K-1"), job("1", length="8")

    assert way_by("universal chuck", asked, chuck, center, sleeve).tags == ("K-1", "S-1", "N-9")
    assert words(way_by("universal chuck", asked, chuck, center).missing) == (
        "no center for the MT3 tailstock of Lathe 1: no sleeve from MT2 to MT3 for N-9",
    )


# Which rest, and in which order.


def at(way, *words):
    """The places of the steps that say these words, one for each."""
    done = steps(way)
    return [next(place for place, step in enumerate(done) if word in step) for word in words]


SHAFT = {"length": "11"}


def test_a_shaft_gets_the_follow_rest_and_an_end_without_a_center_the_steady_whatever_their_tags():
    steady, follow = rest_of(tag="R-1"), rest_of(Kind.FOLLOW_REST, tag="R-2")
    chuck, center = on_hand.chuck(tag="K-1", through="1-1/2"), small_shop.center(tag="N-1")

    assert way_by("universal chuck", job("1", length="14"), chuck, center, steady, follow).tags[-1] == "R-2"
    assert way_by("universal chuck", job("1", **SHAFT), chuck, steady, follow).tags == ("K-1", "R-1")


def test_no_follow_rest_holds_up_a_free_end():
    way = way_by(
        "universal chuck", job("1", length="6", stick_out="4", fed="yes"), on_hand.chuck(), rest_of("follow rest")
    )

    assert words(way.missing) == ("no steady of Lathe 1 takes 1 in",)


@pytest.mark.parametrize("feature", [{"throw": "1/8"}, {"taper": "50"}])
def test_no_follow_rest_runs_where_the_diameter_changes_under_its_fingers(feature):
    rests = rest_of(tag="R-1"), rest_of(Kind.FOLLOW_REST, tag="R-2")

    assert "R-1" in way_by("between centers", job("1", length="14", **feature), *CENTERED, *rests).tags


def test_a_tube_without_a_bull_nose_is_held_up_by_a_steady_on_its_outside():
    asked = job("2", shape="tube", bore="1", length="12")

    assert way_by("universal chuck", asked, on_hand.chuck(tag="K-1"), rest_of(tag="R-1")).tags == ("K-1", "R-1")


def test_a_bar_that_passes_the_spindle_is_drilled_short_and_slid_out_again():
    way = way_by("universal chuck", job("1", **SHAFT), on_hand.chuck(through="1-1/2"), small_shop.center(tag="N-1"))

    order = at(way, "Slide it into", "tighten", "center-drill", "slide it out to", "Put N-1 in")

    assert order == sorted(order)
    assert not way.missing


@pytest.mark.parametrize(
    ("spindle", "slides"),
    [
        # 11 in go in when 2 stand out of 13; up to 3 in may show behind.
        ("8", True),
        ("7.999", False),
    ],
)
def test_a_bar_that_would_show_far_behind_the_spindle_is_not_slid_in(spindle, slides):
    lathe = replace(small_shop.lathe(), spindle_length=parse(spindle))
    rig = [on_hand.chuck(through="1-1/2"), small_shop.center()]
    setup_steps = steps(way_by("universal chuck", job("1", length="13"), *rig, lathes=(lathe,)))

    assert any("Slide it into" in step for step in setup_steps) is slides


def test_a_bar_that_shows_behind_all_the_same_is_slid_in():
    lathe = replace(small_shop.lathe(), spindle_length=parse("16"))
    rig = [on_hand.chuck(through="1-1/2"), small_shop.center()]
    setup_steps = steps(way_by("universal chuck", job("1", length="26", stick_out="4"), *rig, lathes=(lathe,)))

    assert any("Slide it into" in step for step in setup_steps)


def test_what_does_not_pass_gets_the_steady_before_the_drill():
    rig = [on_hand.chuck(through="1-1/2"), small_shop.center(tag="N-1"), rest_of(tag="R-1")]
    way = way_by("universal chuck", job("2-1/4", length="14"), *rig)
    order = at(way, "tighten", "Set R-1, the steady, close", "center-drill", "Put N-1 in", "Take R-1 away")

    assert order == sorted(order)
    assert "R-1" in way.tags


def test_without_a_steady_the_center_is_drilled_on_the_bench_before_the_jaws_close():
    way = way_by(
        "universal chuck", job("2-1/4", length="14"), on_hand.chuck(through="1-1/2"), small_shop.center(tag="N-1")
    )
    order = at(way, "on the bench", "Center first", "tighten")

    assert order == sorted(order)


@pytest.mark.parametrize("rig", [(), (rest_of(),)])
@pytest.mark.parametrize("through", ["1-1/2", None])
@pytest.mark.parametrize("length", ["8", "20", "39"])
def test_nobody_center_drills_an_end_that_overhangs_without_support(rig, through, length):
    chuck = on_hand.chuck(**({"through": through} if through else {}))
    done = steps(way_by("universal chuck", job("3/4", length=length), chuck, small_shop.center(), *rig))
    drilled = next(place for place, step in enumerate(done) if "drill" in step)

    assert any(
        word in step for step in done[: drilled + 1] for word in ("Slide it into", "the steady, close", "on the bench")
    )


def test_a_lot_is_not_laid_out_on_the_bench_where_a_steady_is_set_once():
    # 5 minutes for each part on the bench against 15 for the steady and 1 for each part: common practice.
    chuck, center = on_hand.chuck(tag="K-1", through="1/2"), small_shop.center()
    on_the_bench = [way_by("universal chuck", job("2", length="12", parts=count), chuck, center) for count in (1, 30)]
    by_steady = [
        way_by("universal chuck", job("2", length="12", parts=count), chuck, center, rest_of()) for count in (1, 30)
    ]

    assert [found.minutes for found in on_the_bench] == [5 + 1 + 5, 5 + 30 * (1 + 5)]
    assert [found.minutes for found in by_steady] == [5 + 15 + 1 + 1, 5 + 15 + 30 * (1 + 1)]


def test_a_flat_sided_bar_runs_in_a_steady_by_a_spot_that_is_turned_for_it():
    asked = job("1", shape="hex", length="12")
    way = way_by("universal chuck", asked, on_hand.chuck(), small_shop.center(), rest_of(tag="R-1"))

    assert any("cat-head" in step for step in steps(way))


def test_a_follow_rest_is_set_to_what_was_cut():
    rig = [on_hand.chuck(through="1-1/2"), small_shop.center(), rest_of(Kind.FOLLOW_REST, tag="R-1")]
    order = at(
        way_by("universal chuck", job("1", length="16"), *rig), "bring it up", "set the fingers of R-1 to what was cut"
    )

    assert order == sorted(order)


# What the drill is held in.


def drill_chuck(**fields):
    return on_hand.piece(Kind.DRILL_CHUCK, **{"mount": "MT3", "outside": ("1/32", "1/2"), **fields})


def test_the_drill_chuck_is_on_the_list_and_put_in_when_the_end_is_drilled():
    rig = [on_hand.chuck(through="1-1/2"), small_shop.center(), drill_chuck(tag="H-9")]
    way = way_by("universal chuck", job("1", length="8"), *rig)

    assert "H-9" in way.tags
    assert not any(step.startswith("Fit H-9") for step in steps(way))


def test_a_shop_that_keeps_drill_chucks_misses_the_one_that_fits():
    away = drill_chuck(tag="H-9", why_not="out to Dana")
    way = way_by("universal chuck", job("1", length="8"), on_hand.chuck(through="1-1/2"), small_shop.center(), away)

    assert words(way.missing) == ("no drill chuck for the MT3 tailstock of Lathe 1: H-9 is out to Dana",)


def test_a_drill_chuck_that_no_tailstock_takes_is_to_be_bought_or_borrowed():
    large = on_hand.piece(Kind.DRILL_CHUCK, tag="X-1", mount="MT5")
    way = way_by("universal chuck", job("1", length="8"), on_hand.chuck(through="1-1/2"), small_shop.center(), large)

    assert words(way.missing) == ("no drill chuck for the MT3 tailstock of Lathe 1: buy or borrow one",)


# A bar of 1 in takes No. 4, one of 25 mm A 2.5 mm: rows of the guides.
NO_4 = CountedOnHand(name="Center drill No. 4", count=3, location="E1")


@pytest.mark.parametrize("method", ["universal chuck", "between centers", "soft center"])
@pytest.mark.parametrize(
    ("counted", "missing"),
    [
        ((), ()),
        ((NO_4, replace(NO_4, name="Center drill No. 3")), ()),
        ((replace(NO_4, name="Center drill set"),), ()),
        ((replace(NO_4, name="Center drill A 3.15 mm"),), ()),
        ((replace(NO_4, count=0),), ("no center drill No. 4 is left in drawer E1: buy or borrow one",)),
        ((NO_4, replace(NO_4, name="Center drill set", count=0)), ()),
    ],
)
def test_a_center_drill_is_fetched_or_missing_like_any_link_where_they_are_counted(method, counted, missing):
    rig = on_hand.chuck(through="1-1/2"), *CENTERED
    way = way_by(method, job("1", length="8"), *rig, center_drills=counted)

    assert words(way.missing) == missing
    fetched = [step for step in steps(way) if step.startswith("Fetch the center drill No. 4: 3 lie in drawer E1.")]
    assert len(fetched) == (NO_4 in counted)


UNCOUNTED = "no center drill No. 4 is counted here: see that there is one, or buy or borrow it"


@pytest.mark.parametrize("method", ["universal chuck", "between centers", "soft center"])
@pytest.mark.parametrize("name", ["Center drill #3", "No. 14 center drill", "Center drill No. 4-1/2"])
def test_where_other_center_drills_are_counted_somebody_has_to_see_that_there_is_one(method, name):
    rig = on_hand.chuck(through="1-1/2"), *CENTERED
    way = way_by(method, job("1", length="8"), *rig, center_drills=(replace(NO_4, name=name),))

    assert way.is_here
    assert UNCOUNTED in words(way.reasons)


@pytest.mark.parametrize(
    ("name", "is_here"),
    [
        ("Zentrierbohrer A 2,5 mm", False),
        ("Center drill 2.5 mm", False),
        ("Center drill A 12.5 mm", True),
        ("Center drill No. 4", True),
    ],
)
def test_a_metric_center_drill_of_which_none_is_left_is_known_by_its_pilot(name, is_here):
    rig = on_hand.chuck(through="1-1/2"), small_shop.center()
    counted = (CountedOnHand(name=name, count=0),)

    assert way_by("universal chuck", job("25 mm", length="200 mm"), *rig, center_drills=counted).is_here is is_here


def test_a_drill_chuck_that_is_too_small_for_the_center_drill_is_said_to_be():
    small = on_hand.piece(Kind.DRILL_CHUCK, tag="X-1", mount="MT3", outside=("1/32", "1/2"))
    way = way_by("between centers", job("7", length="9"), *CENTERED, small)

    assert "no drill chuck for the MT3 tailstock of Lathe 1 takes 3/4 in, the body of center drill No. 8" in words(
        way.missing
    )


def test_the_step_says_which_center_drill_it_is():
    # A guide of shop textbooks, from memory: 1 to 1-1/2 in takes No. 4.
    way = way_by("universal chuck", job("1", length="8"), on_hand.chuck(through="1-1/2"), small_shop.center())

    assert any("No. 4, mouth 15/64 in" in step for step in steps(way))


# How far it bends.


def reasons(way):
    return [str(reason) for reason in way.reasons]


def test_what_the_cut_bends_is_told_beside_the_tir_that_was_asked():
    # 100 lbf on 1 in of steel, 3 in out: 0.0006112 in (mechanics, by hand).
    asked = job("1", length="4", tir="0.001", setups="2")
    words = reasons(way_by("universal chuck", asked, on_hand.chuck()))

    assert any(
        "bends it by 0.0006 in: its diameter comes out 0.0012 in large, and 0.0010 in TIR" in one for one in words
    )


@pytest.mark.parametrize(("tir", "told"), [("0.010", False), ("0.003", True)])
def test_a_bend_that_is_less_than_a_tenth_of_the_tir_is_not_worth_a_word(tir, told):
    # 1 in of steel, 3 in free, 100 lbf: 0.0006 in, 2 x 0.0003 of it on the diameter.
    way = way_by("universal chuck", job("1", length="3", grip="1", tir=tir), on_hand.chuck())

    assert any("bends it by" in text for text in reasons(way)) is told


@pytest.mark.parametrize(("length", "told"), [("3.4", False), ("4", True)])
def test_with_no_tir_asked_only_a_bend_of_a_thousandth_is_worth_a_word(length, told):
    words = reasons(way_by("universal chuck", job("1", length=length), on_hand.chuck()))

    assert any("bends it" in one for one in words) is told


def test_what_is_not_here_to_grip_it_asks_for_the_same_rest_as_what_is():
    way = way_by("independent chuck", job("1", length="20"), *CENTERED)

    assert words(way.missing) == ("no independent chuck", "no rest of Lathe 1 takes 1 in")


@pytest.mark.parametrize("size", ["1/16", "0.07"])
def test_no_center_is_asked_for_work_too_thin_for_a_center_hole(size):
    rig = [on_hand.chuck(tag="K-1", outside=("1/32", "8")), small_shop.center(tag="N-1")]
    way = way_by("universal chuck", job(size, length="1"), *rig)

    assert way.tags == ("K-1",)
    assert "center-drill" not in " ".join(steps(way))
    assert way.is_forbidden
    assert WAY_VERDICTS[state_of(way)] == "Here, but it stands out too far"
    assert any("too thin for a center hole: let no more than" in caution.text for caution in way.cautions)


def test_a_steady_holds_up_what_is_too_thin_for_a_center_hole():
    rest = on_hand.piece(Kind.STEADY_REST, outside=("1/32", "2"), tag="R-1")
    rig = [on_hand.chuck(tag="K-1", outside=("1/32", "8")), small_shop.center(tag="N-1"), rest]

    assert way_by("universal chuck", job("1/16", length="1"), *rig).tags == ("K-1", "R-1")
