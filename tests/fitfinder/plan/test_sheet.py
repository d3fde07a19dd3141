"""What stands on a setup sheet: the steps in order, the numbers, and the sums behind them."""

import pytest
from msgspec.structs import replace

from fitfinder.plan import sheet
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, steps, way_by


def sums(method, asked, *rig):
    return {one.words: one.value for one in sheet.worked(way_by(method, asked, *rig))}


def test_a_throw_in_a_universal_chuck_comes_with_its_packing():
    # Flat jaws: 1 1/2 times the throw; TIR twice the throw (geometry).
    results = sums("universal chuck", job("2", throw="1/4"), on_hand.chuck())

    assert results["Packing, flat jaws"].startswith("0.3750 in")
    assert results["Swings, at the throw"].startswith("0.5000 in")


def test_a_taper_between_centers_comes_with_the_set_over():
    # 10 in between centers at 1:20: 10 / 40 (common handbook rule: half the taper over the whole length).
    results = sums("between centers", job("1", length="10", taper="20"), *CENTERED)

    assert results["Tailstock over"].startswith("0.2500 in")
    assert results["Compound at"] == "1.4321°"


def test_starts_are_indexed_by_the_jaws_that_drive_the_dog():
    rig = [piece for piece in CENTERED if piece.tag != "H-1"]

    assert sums("soft center", job("1", starts="3"), *rig, on_hand.chuck())["Index on by"] == "1"


def test_work_between_centers_comes_with_its_center_drill():
    assert "Center drill" in sums("between centers", job("1"), *CENTERED)


def test_an_ordinary_grip_calls_for_no_sum():
    assert sums("universal chuck", job("1", length="2"), on_hand.chuck()) == {}


def test_what_has_to_come_off_is_a_step_of_its_own():
    lathe = small_shop.lathe()
    rig = [on_hand.chuck(tag="K-1", mounted_on=lathe.id), on_hand.independent_chuck(tag="K-2")]

    assert "Take off K-1, universal chuck." in steps(way_by("independent chuck", job(), *rig, lathes=(lathe,)))
    assert not any("Take off" in step for step in steps(way_by("universal chuck", job(), *rig, lathes=(lathe,))))


def test_a_chuck_on_the_nose_makes_room_for_an_arbor_in_the_headstock_taper_and_the_tailstock_stays():
    lathe = small_shop.lathe()
    arbor = replace(small_shop.mandrel("1/2", "3/4", tag="H-9"), kind="expanding arbor", mounts_in=on_hand.seat("MT3"))
    rig = [
        on_hand.chuck(tag="K-1", mounted_on=lathe.id),
        small_shop.center(tag="N-1", mounted_on=lathe.id),
        on_hand.sleeve(tag="S-1"),
        arbor,
    ]
    setup_steps = steps(way_by("mandrel", job("2", bore="5/8"), *rig, lathes=(lathe,)))

    assert [step for step in setup_steps if "Take off" in step] == ["Take off K-1, universal chuck."]
    assert not any("small end" in step for step in setup_steps)


def test_between_centers_nothing_stands_out():
    words = [number.words for number in sheet.numbers(way_by("between centers", job("1", length="8"), *CENTERED))]

    assert "Between centers" in words
    assert "Stands out" not in words


def test_at_a_throw_the_indicator_runs_on_the_second_axis_and_the_outside_swings_twice_the_throw():
    setup_steps = steps(way_by("independent chuck", job("2", throw="1/4"), on_hand.independent_chuck()))[-1]

    assert "second axis" in setup_steps
    assert "swings 0.5000 in" in setup_steps


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

    assert [guide.name for guide in sheet.guides(way_by(method, job("1", **texts), *rig))] == sums


def test_work_shorter_than_its_grip_stands_out_by_nothing_and_nothing_is_said():
    words = [
        number.words
        for number in sheet.numbers(way_by("universal chuck", job("1-1/2", length="3/4", grip="3/4"), on_hand.chuck()))
    ]

    assert "Stands out" not in words


def test_a_piece_that_a_step_seats_is_not_fitted_a_second_time():
    setup_steps = steps(way_by("between centers", job("1", length="8"), *CENTERED))

    assert sum("N-1" in step for step in setup_steps) == 1
    assert any("Fasten the dog" in step for step in setup_steps)


def test_a_tag_that_begins_like_one_that_a_step_seats_is_fitted_all_the_same():
    plate, _, dog, _ = CENTERED
    centers = (small_shop.center(Kind.DEAD_CENTER, mount="MT5", tag="N-11"), small_shop.center(tag="N-1"))

    setup_steps = steps(way_by("between centers", job("1", length="8"), plate, dog, *centers))

    assert any(step.startswith("Fit N-1, live center") for step in setup_steps)


def test_what_has_to_be_fetched_is_fitted_from_its_drawer():
    setup_steps = steps(way_by("independent chuck", job(), on_hand.independent_chuck(tag="K-2", location="B2")))

    assert "Fit K-2, independent chuck, from drawer B2." in setup_steps


@pytest.mark.parametrize("method", ["soft jaws", "split bushing"])
def test_what_is_bored_in_place_is_looked_at_and_not_dialled_in(method):
    chuck = on_hand.chuck(tag="K-1")
    made = way_by(method, job(), chuck, jaw_sets=(small_shop.soft_jaws(chuck),))

    assert "it should swing no more than" in steps(made)[-1]


def test_the_indicator_is_on_the_work_before_the_first_cut():
    follow = on_hand.piece(Kind.FOLLOW_REST, outside=("1/8", "2"))
    setup_steps = steps(way_by("between centers", job("1/2", length="12"), *CENTERED, follow))

    at = next(at for at, step in enumerate(setup_steps) if "indicator" in step)
    assert any(step.startswith("Start the cut") for step in setup_steps[at:])
    assert not any(step.startswith("Start the cut") for step in setup_steps[:at])


def test_dialled_work_is_indicated_before_its_end_is_held_up():
    setup_steps = steps(
        way_by("independent chuck", job("1", length="8"), on_hand.independent_chuck(), small_shop.center())
    )

    dialled = next(at for at, step in enumerate(setup_steps) if step.startswith("Dial it in"))
    assert setup_steps[dialled + 1].startswith("It is dialled in when the indicator")


def test_a_swing_that_no_indicator_shows_is_no_zero():
    rig = (on_hand.chuck(), small_shop.dog(), small_shop.center())
    way = way_by("soft center", job("1", length="8", setups="2", both_ends="yes"), *rig)

    assert "0.0000" not in " ".join(f"{one.words} {one.value}" for one in sheet.numbers(way))
