"""What leads where several ways would do, and what is named where a link is missing."""

import dataclasses

import pytest
from msgspec.structs import replace

from fitfinder.plan.chain_picture import chain_picture
from fitfinder.plan.plans import plan
from fitfinder.plan.sheet import numbers, steps
from fitfinder.plan.worked import guides
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.plan import shop_floor
from tests.fitfinder.plan.shop_floor import job, way

CENTERED = (
    shop_floor.faceplate(tag="H-1"),
    shop_floor.center("dead center", mount="MT5", tag="N-1"),
    shop_floor.dog(tag="D-1"),
    shop_floor.center(tag="N-2"),
)


def lead(asked, *pieces, **fields):
    return plan(asked, shop_floor.floor(*pieces, **fields)).usable[0]


# What speaks against a way.


def test_a_bushing_that_has_to_be_made_first_never_leads_over_what_is_here():
    asked = job("3/4", length="9", parts=12, setups=2, tir=".001")
    rest = on_hand.piece("steady rest", outside=("1/2", "4"))
    found = plan(asked, shop_floor.floor(*CENTERED, on_hand.chuck(), on_hand.independent_chuck(), rest))
    names = [entry.method for entry in found.usable]

    assert names[0] == "between centers"
    assert names.index("independent chuck") < names.index("split bushing")


def test_a_thin_tube_goes_into_six_jaws_though_three_are_on_the_lathe():
    lathe = shop_floor.lathe()
    three, six = on_hand.chuck(tag="K-3", mounted_on=lathe.id), on_hand.chuck(tag="K-6", jaws=6)

    assert lead(job("3", shape="tube", bore="2.75"), three, six, lathes=(lathe,)).tags == ("K-6",)
    assert lead(job("3", shape="tube", bore="1"), three, six, lathes=(lathe,)).tags == ("K-3",)


def test_without_six_jaws_soft_jaws_lead_for_a_thin_tube():
    chuck = on_hand.chuck()
    asked = job("3", shape="tube", bore="2.75")

    assert lead(asked, chuck, jaw_sets=[shop_floor.soft_jaws(chuck)]).method == "soft jaws"


def test_what_has_something_against_it_overtakes_nothing():
    made = plan(job("1", parts=3), shop_floor.floor(on_hand.chuck(), on_hand.independent_chuck()))

    assert not any("split bushing" in crossing.sentence for crossing in made.crossings)


# Between centers.


@pytest.mark.parametrize(("setups", "minutes"), [(1, 5 + 8), (2, 5 + 8 + 6)])
def test_the_center_holes_are_drilled_once_and_not_at_each_set_up(setups, minutes):
    # Common practice, no source: 5 to change the plate, 8 a part, of which two center holes take 1 each.
    assert way("between centers", job("1", setups=setups), *CENTERED).minutes == minutes


@pytest.mark.parametrize(("length", "has_rest"), [("12", False), ("12.001", True)])
def test_work_of_more_than_twelve_thicknesses_between_centers_gets_a_rest(length, has_rest):
    rest = on_hand.piece("follow rest", outside=("1/2", "4"), tag="R-1")

    assert ("R-1" in way("between centers", job("1", length=length), *CENTERED, rest).tags) is has_rest


def test_a_spindle_center_comes_with_the_sleeve_that_it_needs():
    rig = [*CENTERED[:1], shop_floor.center("dead center", mount="MT3", tag="N-1"), *CENTERED[2:]]
    rig += [on_hand.sleeve(mount="MT5", takes="MT3", tag="S-1")]

    assert way("between centers", job("1"), *rig).tags[:3] == ("H-1", "S-1", "N-1")


def test_the_sleeve_that_the_spindle_center_lacks_is_named():
    rig = [*CENTERED[:1], shop_floor.center("dead center", mount="MT3", tag="N-1"), *CENTERED[2:]]

    assert way("between centers", job("1"), *rig).missing == (
        "no spindle center for the MT5 headstock: no sleeve from MT3 to MT5 for N-1, and no chuck to turn a soft "
        "center in, for the nose of Lathe 1",
    )


def test_a_tailstock_center_comes_with_its_sleeve_and_the_missing_one_is_named():
    center, sleeve = shop_floor.center(mount="MT2", tag="N-9"), on_hand.sleeve(mount="MT3", takes="MT2", tag="S-1")
    chuck, asked = on_hand.chuck(tag="K-1"), job("1", length="8")

    assert way("universal chuck", asked, chuck, center, sleeve).tags == ("K-1", "S-1", "N-9")
    assert way("universal chuck", asked, chuck, center).missing == (
        "no center for the MT3 tailstock of Lathe 1: no sleeve from MT2 to MT3 for N-9",
    )


# Collets that are bored or turned in place.


def bored(to="1/2", **fields):
    return on_hand.blank(pilot=to, tag="C-9", **fields)


def with_bored(piece, *rig):
    return dataclasses.replace(shop_floor.floor(*rig, series=[on_hand.series()]), bored=(piece,))


def collet_way(asked, floor):
    return next(entry for entry in plan(asked, floor).ways if entry.method == "collet")


@pytest.mark.parametrize(("bore", "here"), [("0.699", True), ("0.7", True), ("0.701", False)])
def test_a_bored_blank_is_opened_and_never_closed(bore, here):
    found = collet_way(job("0.7"), with_bored(bored(bore), on_hand.closer(tag="H-1")))

    assert ("C-9" in found.tags) is here


def test_a_bored_blank_asks_first_and_stands_behind_a_blank_that_nobody_bored():
    rig = [on_hand.closer(tag="H-1"), on_hand.blank(tag="C-1")]

    assert "ask first" in collet_way(job("0.7"), with_bored(bored(), on_hand.closer())).but[0]
    assert collet_way(job("0.7"), with_bored(bored(), *rig)).tags == ("H-1", "C-1")


def step_collet(**fields):
    piece = on_hand.piece("step collet", mount="5C", outside=("1-1/4", "2"), tag="C-7")
    return replace(piece, step_depth=parse("3/8"), **fields)


@pytest.mark.parametrize(("size", "here"), [("1.249", False), ("1-1/4", True), ("2", True), ("2.001", False)])
def test_a_step_collet_takes_short_work_of_its_range(size, here):
    assert ("C-7" in way("collet", job(size, length="3/4"), on_hand.closer(), step_collet()).tags) is here


# A third of what stands out: 3/8 in holds work of up to 1 1/2 in (common practice, no source).
@pytest.mark.parametrize(("length", "is_short"), [("1-1/2", False), ("1.501", True)])
def test_a_step_that_is_shallow_for_the_work_speaks_against_it(length, is_short):
    assert bool(way("collet", job("1-1/2", length=length), on_hand.closer(), step_collet()).but) is is_short


def test_no_bar_is_fed_through_a_step_collet():
    assert not way("collet", job("1-1/4", fed="yes"), on_hand.closer(), step_collet()).can


# Soft jaws.


@pytest.mark.parametrize(("size", "here"), [("1.4999", False), ("1-1/2", True), ("4", True), ("4.0001", False)])
def test_soft_jaws_are_opened_from_their_last_bore_and_never_below_it(size, here):
    chuck = on_hand.chuck()
    jaws = shop_floor.soft_jaws(chuck, "1-1/2", "4", last_bored=parse("1-1/2"))

    assert way("soft jaws", job(size), chuck, jaw_sets=[jaws]).is_here is here


def test_soft_jaws_that_are_bored_too_large_say_so():
    chuck = on_hand.chuck()
    jaws = shop_floor.soft_jaws(chuck, "1-1/2", "4", last_bored=parse("1-1/2"))

    assert way("soft jaws", job("3/4"), chuck, jaw_sets=[jaws]).missing == (
        "no soft jaws for 3/4 in: those here are bored to 1-1/2 in already",
    )


# Keys.


def test_one_key_may_be_for_several_pieces_in_any_case():
    key = on_hand.piece("key", tag="T-1", tightens="k-1, K-2")

    assert [way("universal chuck", job(), on_hand.chuck(tag=tag), key).tags for tag in ("K-1", "K-2", "K-3")] == [
        ("K-1", "T-1"), ("K-2", "T-1"), ("K-3",),
    ]  # fmt: skip


def test_the_key_of_the_nose_is_for_what_has_to_be_put_on_it():
    lathe, key = shop_floor.lathe(), on_hand.piece("key", tag="T-1", tightens="D1-4")
    on_it = on_hand.chuck(tag="K-1", mounted_on=lathe.id)

    assert way("universal chuck", job(), on_it, key, lathes=(lathe,)).tags == ("K-1",)
    assert way("universal chuck", job(), on_hand.chuck(tag="K-2"), key, lathes=(lathe,)).tags == ("K-2", "T-1")


# What stands on the sheet and the page.


def test_what_has_to_come_off_is_a_step_of_its_own():
    lathe = shop_floor.lathe()
    rig = [on_hand.chuck(tag="K-1", mounted_on=lathe.id), on_hand.independent_chuck(tag="K-2")]

    assert "Take off K-1, universal chuck." in steps(way("independent chuck", job(), *rig, lathes=(lathe,)))
    assert not any("Take off" in step for step in steps(way("universal chuck", job(), *rig, lathes=(lathe,))))


def test_a_chuck_on_the_nose_makes_room_for_an_arbor_in_the_headstock_taper_and_the_tailstock_stays():
    lathe = shop_floor.lathe()
    arbor = replace(shop_floor.mandrel("1/2", "3/4", tag="H-9"), kind="expanding arbor", mounts_in=on_hand.seat("MT3"))
    rig = [
        on_hand.chuck(tag="K-1", mounted_on=lathe.id),
        shop_floor.center(tag="N-1", mounted_on=lathe.id),
        on_hand.sleeve(tag="S-1"),
        arbor,
    ]
    found = steps(way("mandrel", job("2", bore="5/8"), *rig, lathes=(lathe,)))

    assert [step for step in found if "Take off" in step] == ["Take off K-1, universal chuck."]
    assert not any("small end" in step for step in found)


def test_between_centers_nothing_stands_out():
    words = [name for name, _ in numbers(way("between centers", job("1", length="8"), *CENTERED))]

    assert "Between centers" in words
    assert "Stands out" not in words


def test_at_a_throw_the_indicator_runs_on_the_second_axis_and_the_outside_swings_twice_the_throw():
    found = steps(way("independent chuck", job("2", throw="1/4"), on_hand.independent_chuck()))[-1]

    assert "second axis" in found
    assert "swings 0.5000 in" in found


@pytest.mark.parametrize(
    ("method", "texts", "sums"),
    [
        ("independent chuck", {}, ["dial-in"]),
        ("universal chuck", {}, []),
        ("universal chuck", {"throw": "1/8"}, ["packing"]),
        ("universal chuck", {"starts": 3}, ["starts"]),
        ("universal chuck", {"taper": "20"}, ["taper"]),
    ],
)
def test_the_sums_that_help_at_the_lathe_stand_with_the_ways_that_need_them(method, texts, sums):
    rig = [on_hand.chuck(), on_hand.independent_chuck()]

    assert [name for _, name, _ in guides(way(method, job("1", **texts), *rig))] == sums


def test_the_picture_has_each_piece_in_line_and_says_the_same_in_words():
    found = way("between centers", job("1", length="8"), *CENTERED)
    picture = chain_picture(found)

    assert [mark.text for mark in picture.marks if mark.text in found.tags] == ["H-1", "N-1", "D-1", "N-2"]
    assert picture.words == (
        "From the spindle to the tailstock: Lathe 1; H-1, faceplate; N-1, dead center; the work with D-1, lathe dog; "
        "N-2, live center. Not to scale."
    )


@pytest.mark.parametrize(
    ("method", "outlines"),
    [("universal chuck", 1 + 2), ("collet", 2)],
    ids=["a chuck and two of its jaws", "closer and collet"],
)
def test_the_jaws_of_a_chuck_are_drawn_on_the_work(method, outlines):
    rig = [on_hand.chuck(), on_hand.closer(), on_hand.collet("1")]
    marks = chain_picture(way(method, job("1", length="1-1/2"), *rig)).marks

    assert len([mark for mark in marks if mark.look == "win"]) == outlines


def test_a_way_that_cannot_has_no_picture():
    assert chain_picture(way("mandrel", job("1"), *CENTERED)) is None


def test_bar_that_is_fed_has_to_pass_the_spindle_whatever_holds_it():
    for method in ("universal chuck", "independent chuck", "collet", "split bushing"):
        found = way(method, job("1-3/8", shape="hex", fed="yes"), on_hand.chuck(), on_hand.independent_chuck())
        assert found.why_not == "hex bar, 1.5877 in across its corners, does not pass the spindle of Lathe 1, 1.5700 in"


def test_work_from_both_ends_is_gripped_twice():
    assert job("1", both_ends="yes").setups == 2
    assert job("1", both_ends="yes", setups=3).setups == 3


def test_work_shorter_than_its_grip_stands_out_by_nothing_and_nothing_is_said():
    words = [name for name, _ in numbers(way("universal chuck", job("1-1/2", length="3/4"), on_hand.chuck()))]

    assert "Stands out" not in words


def test_a_piece_that_a_step_seats_is_not_fitted_a_second_time():
    found = steps(way("between centers", job("1", length="8"), *CENTERED))

    assert sum("N-1" in step for step in found) == 1
    assert any("fasten the dog" in step for step in found)


def test_a_tag_that_begins_like_one_that_a_step_seats_is_fitted_all_the_same():
    plate, _, dog, _ = CENTERED
    centers = (shop_floor.center("dead center", mount="MT5", tag="N-11"), shop_floor.center(tag="N-1"))

    found = steps(way("between centers", job("1", length="8"), plate, dog, *centers))

    assert any(step.startswith("Fit N-1, live center") for step in found)


def test_what_has_to_be_fetched_is_fitted_from_its_drawer():
    found = steps(way("independent chuck", job(), on_hand.independent_chuck(tag="K-2", location="B2")))

    assert "Fit K-2, independent chuck, from B2." in found


@pytest.mark.parametrize("method", ["soft jaws", "split bushing"])
def test_what_is_bored_in_place_is_looked_at_and_not_dialled_in(method):
    chuck = on_hand.chuck(tag="K-1")
    made = way(method, job(), chuck, jaw_sets=(shop_floor.soft_jaws(chuck),))

    assert "it should swing no more than" in steps(made)[-1]


def test_the_jaws_that_have_to_go_in_are_told_and_those_that_are_in_are_not():
    chuck = on_hand.chuck(tag="K-1")
    out, already_in = shop_floor.soft_jaws(chuck), shop_floor.soft_jaws(chuck, is_in=True)

    assert way("soft jaws", job(), chuck, jaw_sets=(out,)).jaws == out
    assert way("soft jaws", job(), chuck, jaw_sets=(already_in,)).jaws is None
