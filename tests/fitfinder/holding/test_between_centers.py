"""Between centers: what drives the work, and what is missing for it."""

import pytest
from msgspec.structs import replace

from inventory.measures.lengths import Length, parse
from inventory.measures.masses import UG_PER_LB
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, center, dog, job, steps, way_by, words


def test_between_centers_takes_plate_spindle_center_dog_and_tailstock_center():
    assert way_by("between centers", job("1", length="8"), *CENTERED).tags == ("H-1", "N-1", "D-1", "N-2")


def test_a_soft_center_in_a_chuck_is_a_way_of_its_own():
    way = way_by("soft center", job("1"), *CENTERED, on_hand.chuck(tag="K-1"))

    assert way.tags == ("K-1", "D-1", "N-2")
    assert any("cut again" in caution.text for caution in way.cautions)


@pytest.mark.parametrize(
    ("left_out", "missing"),
    [
        ("D-1", "no lathe dog for 1 in"),
        ("N-2", "no center for the MT3 tailstock of Lathe 1"),
        ("H-1", "no faceplate for the nose of Lathe 1"),
    ],
)
def test_what_is_missing_between_centers_is_named(left_out, missing):
    rig = [piece for piece in CENTERED if piece.tag != left_out]

    assert words(way_by("between centers", job("1"), *rig).missing) == (missing,)


def test_a_spindle_center_comes_with_the_sleeve_that_it_needs():
    rig = [*CENTERED[:1], small_shop.center(Kind.DEAD_CENTER, mount="MT3", tag="N-1"), *CENTERED[2:]]
    rig += [on_hand.sleeve(mount="MT5", takes="MT3", tag="S-1")]

    assert way_by("between centers", job("1"), *rig).tags[:3] == ("H-1", "S-1", "N-1")


def test_the_sleeve_that_the_spindle_center_lacks_is_named():
    rig = [*CENTERED[:1], small_shop.center(Kind.DEAD_CENTER, mount="MT3", tag="N-1"), *CENTERED[2:]]

    assert words(way_by("between centers", job("1"), *rig).missing) == (
        "no spindle center for the MT5 headstock: no sleeve from MT3 to MT5 for N-1",
    )


@pytest.mark.parametrize(("setups", "minutes"), [(1, 5 + 6 + 1), (2, 5 + 6 + 2)])
def test_the_center_holes_are_drilled_once_and_not_at_each_set_up(setups, minutes):
    # Common practice, no source: 5 to change the plate, 6 for the two holes, 1 for the dog at each set-up.
    assert way_by("between centers", job("1", setups=setups), *CENTERED).minutes == minutes


# A soft center.

SOFT = (on_hand.chuck(tag="K-1"), dog(tag="D-1"), center(tag="N-2"))
"""All that it takes to work between a soft center and the tailstock."""


def test_a_soft_center_needs_neither_plate_nor_taper_and_costs_its_turning():
    # Common practice: 5 for the chuck, 5 to turn the point, 6 for two holes and 1 for the dog.
    way = way_by("soft center", job("1", length="8"), *SOFT)

    assert way.tags == ("K-1", "D-1", "N-2")
    assert way.minutes == 5 + 5 + 6 + 1


def test_a_soft_center_is_turned_once_for_all_set_ups_as_it_stays_where_it_was_cut():
    once, twice = (way_by("soft center", job("1", length="8", setups=setups), *SOFT) for setups in (1, 2))

    assert twice.minutes - once.minutes == small_shop.MINUTES["dog on and off"]


@pytest.mark.parametrize(("most", "here"), [("3/4", True), ("0.7", False)])
def test_a_soft_center_is_turned_on_scrap_that_the_chuck_takes(most, here):
    chuck = on_hand.chuck(outside=("1/8", most))

    assert way_by("soft center", job("1/2"), chuck, *SOFT[1:]).is_here is here


def test_a_soft_center_that_was_kept_is_fetched_gripped_and_cut_anew():
    kept = on_hand.piece(Kind.DEAD_CENTER, tag="N-9", location="D1", shank=parse("3/4"), condition="worn")
    way = way_by("soft center", job("1", length="8", setups="2", both_ends="yes"), *SOFT, kept)

    assert way.tags == ("K-1", "N-9", "D-1", "N-2")
    assert (way.head, way.tir) == (Length(0), Length(0))
    done = [step for step in steps(way) if "N-9" in step]
    assert len(done) == 1 and done[0].startswith(
        "Grip the soft center N-9 from drawer D1 in K-1 and cut its point anew"
    )


@pytest.mark.parametrize("method", ["between centers", "universal chuck"])
def test_a_soft_center_goes_into_no_taper(method):
    kept = on_hand.piece(Kind.DEAD_CENTER, tag="N-9", shank=parse("3/4"))
    others = [piece for piece in CENTERED if piece.tag not in ("N-1", "N-2")]

    assert not way_by(method, job("1", length="8"), *others, kept, on_hand.chuck()).is_here


def test_without_a_chuck_no_soft_center_is_turned():
    assert words(way_by("soft center", job("1"), *CENTERED).missing) == (
        "no chuck to turn a soft center in, for the nose of Lathe 1",
    )


# The dog and its tail.


@pytest.mark.parametrize(
    ("tail", "slots", "missing"),
    [
        ("bent", 4, ()),
        ("bent", 0, ("a dog with a straight tail: H-1 has no slot for D-1",)),
        ("straight", 4, ("a driving pin in H-1 for the straight tail of D-1",)),
        ("straight", None, ()),
        ("", 4, ()),
    ],
)
def test_the_tail_of_the_dog_meets_a_slot_or_a_pin(tail, slots, missing):
    plate, spindle_center, _, tail_center = CENTERED
    rig = [replace(plate, slots=slots), spindle_center, dog(tag="D-1", tail=tail), tail_center]

    assert words(way_by("between centers", job("1"), *rig).missing) == missing


def test_a_jaw_drives_either_tail():
    rig = [SOFT[0], dog(tag="D-1", tail="straight"), SOFT[2]]

    assert way_by("soft center", job("1"), *rig).is_here


def test_the_dog_whose_tail_meets_the_slots_comes_before_the_one_that_wants_a_pin():
    plate, spindle_center, _, tail_center = CENTERED
    dogs = dog(tag="D-1", tail="straight"), dog(tag="D-2", tail="bent")
    way = way_by("between centers", job("1"), replace(plate, slots=6), spindle_center, *dogs, tail_center)

    assert "D-2" in way.tags


def test_what_nobody_wrote_down_of_the_tail_is_asked():
    way = way_by("between centers", job("1"), *CENTERED)

    assert any("the tail of D-1 is not filled in" in str(reason) for reason in way.reasons)


def test_turned_end_for_end_the_dog_takes_the_bar_and_what_was_turned():
    plate, spindle_center, _, tail_center = CENTERED
    dogs = dog("3/4", "1-1/2", tag="D-1"), dog("1/4", "3/4", tag="D-2")
    asked = job("1", length="6", setups="2", regrip="turned", turned="0.5")

    assert {"D-1", "D-2"} < set(way_by("between centers", asked, plate, spindle_center, *dogs, tail_center).tags)


# Its ends.


def test_work_too_thin_for_a_center_hole_does_not_go_between_centers():
    assert "too thin" in str(way_by("between centers", job("0.08"), *CENTERED, dog("1/32", "1/4")).why_not)


@pytest.mark.parametrize(("throw", "here"), [("0.2187", True), ("0.2188", False), ("0.3", False)])
def test_a_throw_whose_center_leaves_the_end_wants_blocks(throw, here):
    # Geometry, by hand: 3/4 in, a mouth of 3/16 and a land of 1/16.
    way = way_by("between centers", job("3/4", length="4", throw=throw), *CENTERED)

    assert way.is_here is here
    assert here or "throw blocks" in words(way.missing)[0]


@pytest.mark.parametrize(("weight", "asked"), [("400 lb", False), ("401 lb", True)])
def test_a_live_center_under_a_heavy_shaft_is_asked_for_its_rating(weight, asked):
    doubts = words(way_by("between centers", job("1", length="8", weight=weight), *CENTERED).doubts)

    assert any("rated for" in doubt for doubt in doubts) is asked


@pytest.mark.parametrize(
    ("rated", "doubted", "is_against"), [(None, True, False), (251, False, False), (249, False, True)]
)
@pytest.mark.parametrize("method", ["between centers", "universal chuck"])
def test_half_of_the_work_is_held_against_what_the_center_is_rated_for(method, rated, doubted, is_against):
    asked = job("2", length="12", weight="500 lb")  # 250 lb lie on each end
    live = center(tag="N-2", load_ug=None if rated is None else rated * UG_PER_LB)
    way = way_by(method, asked, *CENTERED[:3], live, on_hand.chuck())

    assert any("each end carries 250 lb" in doubt for doubt in words(way.doubts)) is doubted
    assert any("N-2 is rated for 249 lb" in one for one in words(way.but)) is is_against


def test_the_center_that_is_rated_for_the_work_is_taken_before_one_that_is_not():
    light, heavy = (center(tag=tag, load_ug=pounds * UG_PER_LB) for tag, pounds in (("N-3", 200), ("N-4", 800)))
    taken = [
        way_by("between centers", job("2", length="12", weight=weight), *CENTERED[:3], light, heavy).tags[-1]
        for weight in ("300 lb", "500 lb")
    ]

    assert taken == ["N-3", "N-4"]


@pytest.mark.parametrize(
    ("swings", "here", "over_slide"), [("8", True, False), ("8-1/4", True, True), ("13-1/4", False, False)]
)
def test_what_a_dog_swings_has_to_clear_the_bed_and_the_slide(swings, here, over_slide):
    # 13 in over the bed of this lathe and 8 in over its slide.
    way = way_by(
        "between centers", job("1", length="8"), *CENTERED[:2], dog(tag="D-1", body=parse(swings)), CENTERED[3]
    )

    assert way.is_here is here
    assert here or "no lathe dog for 1 in that clears Lathe 1: D-1 swings 13-1/4 in" in words(way.missing)
    assert any("D-1 swings 8-1/4 in and the cross slide clears 8 in" in one for one in words(way.reasons)) is over_slide


def test_a_dead_center_under_a_heavy_shaft_ranks_behind():
    rig = [*CENTERED[:3], center(Kind.DEAD_CENTER, tag="N-2")]
    way = way_by("between centers", job("5", length="30", weight="500 lb"), *rig)

    assert any("not N-2" in one for one in words(way.but))


# Where long work is drilled.


@pytest.mark.parametrize(
    ("size", "length", "rest", "where"),
    [
        ("1", "4", None, "Center-drill both ends with No. 4, mouth 15/64 in."),
        ("1", "14", None, "slid into the spindle"),
        ("2", "14", None, "on the bench"),
        ("2", "14", "steady rest", "close to the steady"),
    ],
)
def test_no_end_of_long_work_is_drilled_where_it_overhangs(size, length, rest, where):
    rests = [on_hand.piece(rest, outside=("1/2", "4"))] if rest else []
    done = steps(way_by("between centers", job(size, length=length), *CENTERED, *rests))

    assert where in next(step for step in done if "rill" in step)


def test_the_drill_chuck_is_on_the_list_before_the_center_that_carries_the_work():
    drill_chuck = on_hand.piece(Kind.DRILL_CHUCK, tag="H-9", mount="MT3", outside=("1/32", "1/2"))

    assert way_by("between centers", job("1", length="4"), *CENTERED, drill_chuck).tags[-2:] == ("H-9", "N-2")


@pytest.mark.parametrize(
    ("method", "then"), [("between centers", "Fit H-1, faceplate"), ("soft center", "turn a 60 degree point")]
)
def test_the_ends_are_drilled_while_there_is_still_a_chuck_to_drill_them_in(method, then):
    done = steps(way_by(method, job("1", length="4"), *CENTERED, on_hand.chuck(tag="K-1")))
    drilled, fitted = (next(at for at, step in enumerate(done) if word in step) for word in ("Center-drill", then))

    assert drilled < fitted


@pytest.mark.parametrize("method", ["between centers", "soft center"])
def test_a_second_pair_of_centers_is_drilled_with_the_first_and_before_the_dog(method):
    done = steps(way_by(method, job("1", length="4", throw="1/8"), *CENTERED, on_hand.chuck(tag="K-1")))
    first = next(at for at, step in enumerate(done) if step.startswith("Center-drill both ends"))

    assert done[first + 1].startswith("Drill a second pair of centers")
    assert "Fasten the dog" in " ".join(done[first + 2 :])
