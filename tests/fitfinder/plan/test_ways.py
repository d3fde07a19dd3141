"""Each way to hold a job: whether it can, whether it is here, how truly, and how long it takes."""

from fractions import Fraction

import pytest
from msgspec.structs import replace

from fitfinder.plan.plans import plan
from fitfinder.plan.ways import METHODS
from fitfinder.plan.worked import worked
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.plan import shop_floor
from tests.fitfinder.plan.shop_floor import job, way


def test_every_plan_has_each_method_once_also_in_an_empty_shop():
    made = plan(job(), shop_floor.floor(lathes=()))

    assert sorted(entry.method for entry in made.ways) == sorted(METHODS)


def test_ways_that_can_stand_before_those_that_cannot_and_those_that_are_here_before_the_rest():
    made = plan(job("1", bore="1/2"), shop_floor.floor(on_hand.chuck(), shop_floor.faceplate()))
    states = [(entry.can, entry.is_here) for entry in made.ways]

    assert states == sorted(states, reverse=True)


# Universal chucks.


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

    assert way("universal chuck", asked, on_hand.chuck(jaws=jaws)).is_here is holds


def test_a_universal_chuck_that_does_not_reach_is_named_with_what_it_holds():
    found = way("universal chuck", job("7"), on_hand.chuck(tag="K-0081"))

    assert found.can and not found.is_here
    assert found.missing == ("no jaws here for 7 in: K-0081 holds 1/8 to 6 in outside",)


def test_a_chuck_that_is_out_is_missing_and_says_who_has_it():
    found = way("universal chuck", job(), on_hand.chuck(tag="K-0081", why_not="out to dana"))

    assert found.missing == ("K-0081 is out to dana",)


def test_a_chuck_for_another_nose_is_missing_the_way_to_it():
    found = way("universal chuck", job(), on_hand.chuck(tag="K-0081", mount="D1-6"))

    assert found.missing == ("nothing leads from Lathe 1 to D1-6, where K-0081 mounts",)


def test_a_chuck_on_another_lathe_is_not_taken_from_it():
    lathes = (shop_floor.lathe("Lathe 1"), shop_floor.lathe("Lathe 2"))
    found = way("universal chuck", job(), on_hand.chuck(mounted_on=lathes[1].id), lathes=lathes)

    assert found.lathe.name == "Lathe 2"


def test_a_tube_can_be_held_in_its_bore_where_its_outside_is_too_large():
    chuck = shop_floor.inside(on_hand.chuck(), "1", "5")
    found = way("universal chuck", job("7", shape="tube", bore="4"), chuck)

    assert found.is_here
    assert found.variant == "3 jaws, in the bore"


@pytest.mark.parametrize(("jaws", "warned"), [(3, True), (6, False)])
def test_a_thin_tube_is_told_that_three_jaws_press_it_out_of_round(jaws, warned):
    found = way("universal chuck", job("3", shape="tube", bore="2.9"), on_hand.chuck(jaws=jaws))

    assert any("out of round" in word for word in found.but) is warned


def test_irregular_work_is_for_the_independent_chuck_and_the_faceplate():
    rig = [on_hand.chuck(), on_hand.independent_chuck(), shop_floor.faceplate()]
    made = plan(job("4", irregular="yes"), shop_floor.floor(*rig))

    assert {entry.method for entry in made.usable} == {"independent chuck", "faceplate"}


@pytest.mark.parametrize(("size", "can"), [("13", True), ("13.0001", False)])
def test_work_that_swings_more_than_the_bed_allows_cannot_be_held(size, can):
    assert way("faceplate", job(size, irregular="yes"), shop_floor.faceplate()).can is can


def test_a_throw_swings_on_both_sides():
    lathes = (shop_floor.lathe(bed="4"),)

    assert way("independent chuck", job("3", throw="1/2"), lathes=lathes).can
    assert not way("independent chuck", job("3", throw="0.5001"), lathes=lathes).can


# Length.


@pytest.mark.parametrize(("length", "tags"), [("4", ["K-1"]), ("4.001", ["K-1", "N-1"])])
def test_work_that_stands_out_more_than_three_times_its_thickness_gets_a_center(length, tags):
    rig = [on_hand.chuck(tag="K-1"), shop_floor.center(tag="N-1")]

    assert list(way("universal chuck", job("1", length=length), *rig).tags) == tags


def test_the_center_that_is_not_here_is_missing():
    found = way("universal chuck", job("1", length="8"), on_hand.chuck())

    assert found.missing == ("no center for the MT3 tailstock of Lathe 1",)


def test_a_tube_is_held_up_by_a_bull_nose_that_takes_its_bore():
    small = shop_floor.inside(shop_floor.center("bull-nose center", tag="N-1"), "1/4", "1/2")
    large = shop_floor.inside(shop_floor.center("bull-nose center", tag="N-2"), "1/2", "3")
    asked = job("2", shape="tube", bore="1", length="12")

    assert way("universal chuck", asked, on_hand.chuck(tag="K-1"), small, large).tags == ("K-1", "N-2")


@pytest.mark.parametrize(("length", "has_rest"), [("11", False), ("11.001", True)])
def test_work_longer_than_a_center_alone_holds_up_gets_a_rest_too(length, has_rest):
    rest = on_hand.piece("steady rest", outside=("1/2", "4"), tag="R-1")
    found = way("universal chuck", job("1", length=length), on_hand.chuck(), shop_floor.center(), rest)

    assert ("R-1" in found.tags) is has_rest


def test_the_rest_of_another_lathe_is_no_help():
    other = shop_floor.lathe("Lathe 2")
    rest = on_hand.piece("steady rest", outside=("1/2", "4"), belongs_to=other.id)
    found = way("universal chuck", job("1", length="20"), on_hand.chuck(), shop_floor.center(), rest)

    assert found.missing == ("no rest of Lathe 1 takes 1 in",)


def test_work_longer_than_the_bed_between_centers_cannot_be_held_by_a_center():
    assert "longer than" in way("universal chuck", job("4", length="41"), on_hand.chuck()).why_not


# Collets.


def test_the_collet_that_the_finder_names_is_the_collet_way():
    rig = [on_hand.closer(tag="H-1"), on_hand.collet("3/4", tag="C-1")]

    assert way("collet", job("0.7485"), *rig).tags == ("H-1", "C-1")


def test_a_blank_is_bored_where_no_collet_holds_it():
    rig = [on_hand.closer(tag="H-1"), on_hand.blank(tag="C-9")]
    found = way("collet", job("0.7"), *rig, series=[on_hand.series()])

    assert found.tags == ("H-1", "C-9")
    assert found.variant == "C-9 bored to 0.7000 in"
    assert found.runout.total == parse("0.0003")


def test_a_collet_outside_its_true_zone_does_not_say_how_true_it_is():
    rig = [on_hand.closer(tir="0.0001"), on_hand.collet("3/4", tir="0.0001")]
    found = way("collet", job("0.7525", setups=2, tir="0.01"), *rig)

    assert found.tir is None
    assert found.true_enough is None


@pytest.mark.parametrize("texts", [{"shape": "rectangular", "size2": "2"}, {"throw": "1/8"}, {"irregular": "yes"}])
def test_no_collet_holds_rectangular_eccentric_or_irregular_work(texts):
    assert not way("collet", job("1", **texts), on_hand.closer(), on_hand.collet("1")).can


def test_the_missing_link_of_a_collet_is_named():
    found = way("collet", job("0.75"), on_hand.collet("3/4", tag="C-1"))

    assert found.missing == ("C-1 would hold it, but no closer or collet chuck for 5C on Lathe 1",)


# Between centers and on a mandrel.

CENTERED = (
    shop_floor.faceplate(tag="H-1"),
    shop_floor.center("dead center", mount="MT5", tag="N-1"),
    shop_floor.dog(tag="D-1"),
    shop_floor.center(tag="N-2"),
)


def test_between_centers_takes_plate_spindle_center_dog_and_tailstock_center():
    assert way("between centers", job("1", length="8"), *CENTERED).tags == ("H-1", "N-1", "D-1", "N-2")


@pytest.mark.parametrize("left_out", ["H-1", "N-1"])
def test_without_plate_or_spindle_center_a_soft_center_is_turned_in_a_chuck(left_out):
    rig = [piece for piece in CENTERED if piece.tag != left_out]
    found = way("between centers", job("1"), *rig, on_hand.chuck(tag="K-1"))

    assert found.tags == ("K-1", "D-1", "N-2")
    assert any("cut again" in caution.text for caution in found.cautions)


@pytest.mark.parametrize(
    ("left_out", "missing"),
    [
        ("D-1", "no lathe dog for 1 in"),
        ("N-2", "no center for the MT3 tailstock of Lathe 1"),
        ("H-1", "no faceplate, and no chuck to turn a soft center in, for the nose of Lathe 1"),
    ],
)
def test_what_is_missing_between_centers_is_named(left_out, missing):
    rig = [piece for piece in CENTERED if piece.tag != left_out]

    assert way("between centers", job("1"), *rig).missing == (missing,)


@pytest.mark.parametrize(("size", "can"), [("8", True), ("8.001", False)])
def test_between_centers_the_whole_work_lies_over_the_cross_slide(size, can):
    assert way("between centers", job(size), *CENTERED).can is can


def test_work_with_a_bore_is_held_by_the_bore_and_not_by_its_ends():
    asked = job("1", bore="1/2")
    rig = [*CENTERED, shop_floor.mandrel(tag="H-9", tir="0.0002")]

    assert not way("between centers", asked, *rig).can
    assert way("mandrel", asked, *rig).tags == ("H-1", "N-1", "D-1", "N-2", "H-9")


@pytest.mark.parametrize(("bore", "here"), [("0.4984", False), ("0.4985", True), ("0.5025", True), ("0.5026", False)])
def test_a_mandrel_takes_the_bores_of_its_range(bore, here):
    assert way("mandrel", job("1", bore=bore), *CENTERED, shop_floor.mandrel()).is_here is here


def test_an_arbor_with_a_shank_goes_into_its_seat():
    arbor = replace(shop_floor.mandrel("3/4", "1", tag="H-9"), kind="expanding arbor", mounts_in=on_hand.seat("5C"))
    found = way("mandrel", job("2", bore="7/8"), on_hand.closer(tag="H-1"), arbor)

    assert found.tags == ("H-1", "H-9")


# Soft jaws and bushings.


def test_soft_jaws_are_a_set_of_a_chuck_that_is_here():
    chuck = on_hand.chuck(tag="K-1")
    found = way("soft jaws", job("2"), chuck, jaw_sets=[shop_floor.soft_jaws(chuck)])

    assert found.tags == ("K-1",)
    assert found.runout.total == parse("0.0005")


def test_without_soft_jaws_they_are_missing_and_their_truth_is_told_all_the_same():
    found = way("soft jaws", job("2", setups=2, tir="0.001"), on_hand.chuck())

    assert found.missing == ("no soft jaws for any chuck here",)
    assert found.true_enough is True


@pytest.mark.parametrize("method", ["soft jaws", "split bushing"])
def test_what_is_bored_round_holds_no_flats(method):
    chuck = on_hand.chuck()

    assert not way(method, job("1", shape="hex"), chuck, jaw_sets=[shop_floor.soft_jaws(chuck)]).can


def test_a_split_bushing_wants_a_chuck_that_closes_on_the_ring_around_the_work():
    assert way("split bushing", job("5.5"), on_hand.chuck()).is_here
    assert not way("split bushing", job("5.5001"), on_hand.chuck()).is_here


# Bar that is fed through.


@pytest.mark.parametrize(("size", "can"), [("1", True), ("1.0001", False)])
def test_bar_that_is_fed_has_to_pass_every_link(size, can):
    assert way("universal chuck", job(size, fed="yes"), on_hand.chuck(through="1")).can is can


@pytest.mark.parametrize("method", ["between centers", "faceplate"])
def test_what_stands_on_a_face_or_between_centers_is_not_fed(method):
    assert not way(method, job("1", fed="yes"), *CENTERED).can


# How truly, between set-ups.

TRUE = (shop_floor.faceplate(), on_hand.chuck(tir="0.0004"), on_hand.independent_chuck(), *CENTERED[1:])


@pytest.mark.parametrize("method", METHODS)
def test_with_one_set_up_nothing_is_gripped_again_and_no_way_fails(method):
    assert way(method, job("1", tir="0.00001"), *TRUE).true_enough is True


# 0.0001 of the nose and 0.0004 of the chuck at each gripping.
@pytest.mark.parametrize(
    ("texts", "between"),
    [
        ({"setups": 1}, "0.0005"),
        ({"setups": 2}, "0.0010"),
        ({"setups": 2, "regrip": "turned"}, "0.0005"),
        ({"setups": 3, "regrip": "turned"}, "0.0010"),
    ],
)
def test_a_universal_chuck_brings_its_run_out_in_at_each_gripping(texts, between):
    assert way("universal chuck", job("1", **texts), *TRUE).tir == parse(between)


@pytest.mark.parametrize(("method", "between"), [("independent chuck", "0.0005"), ("between centers", "0.0003")])
def test_what_is_dialled_in_or_returns_to_its_centers_does_not_add_up(method, between):
    assert way(method, job("1", setups=4), *TRUE).tir == parse(between)


@pytest.mark.parametrize(("asked", "enough"), [("0.0009", False), ("0.001", True), ("0.0011", True)])
def test_a_way_is_true_enough_up_to_just_what_was_asked(asked, enough):
    assert way("universal chuck", job("1", setups=2, tir=asked), *TRUE).true_enough is enough


def test_with_nothing_asked_how_true_is_enough_stays_open():
    assert way("universal chuck", job("1", setups=2), *TRUE).true_enough is None


def test_a_worn_chuck_without_a_reading_is_not_known_to_be_true():
    found = way("universal chuck", job("1", setups=2, tir="0.01"), on_hand.chuck(condition="worn"))

    assert (found.tir, found.true_enough) == (None, None)


# Minutes.


def test_minutes_are_the_fit_once_and_each_part_at_each_gripping():
    own = {"universal chuck": Fraction(2), "chuck change, camlock": Fraction(7)}
    found = way("universal chuck", job("1", parts=10, setups=3), on_hand.chuck(), minutes=own)

    assert found.minutes == 7 + 2 * 10 * 3


def test_what_is_mounted_now_costs_no_fitting():
    lathe = shop_floor.lathe()
    mounted = on_hand.chuck(mounted_on=lathe.id)
    own = {"universal chuck": Fraction(2)}

    assert way("universal chuck", job("1"), mounted, lathes=(lathe,), minutes=own).minutes == 2


def test_where_two_ways_cross_is_the_first_number_of_parts_at_which_the_other_is_quicker():
    own = {
        "universal chuck": Fraction(2), "collet": Fraction(1), "closer fit": Fraction(20),
        "collet change": Fraction(3), "chuck change, camlock": Fraction(1),
    }  # fmt: skip
    rig = [on_hand.chuck(), on_hand.closer(), on_hand.collet("1")]
    made = plan(job("1", parts=5), shop_floor.floor(*rig, minutes=own))
    crossing = next(item for item in made.crossings if item.many.method == "collet")

    # 1 + 2 n against 23 + n: even at 22.
    assert (crossing.few.method, crossing.parts) == ("universal chuck", 23)


# Keys.


def test_the_key_that_the_shop_keeps_for_a_chuck_is_on_the_list():
    rig = [on_hand.chuck(tag="K-1"), on_hand.piece("key", tag="T-1", tightens="K-1")]

    assert way("universal chuck", job("1"), *rig).tags == ("K-1", "T-1")


def test_a_key_that_is_out_is_missing():
    key = on_hand.piece("key", tag="T-1", tightens="K-1", why_not="out to dana")

    assert way("universal chuck", job("1"), on_hand.chuck(tag="K-1"), key).missing == (
        "no key for K-1: T-1 is out to dana",
    )


# The sums that belong to a way.


def sums(method, asked, *rig):
    return {one.words: one.value for one in worked(way(method, asked, *rig))}


def test_a_throw_in_a_universal_chuck_comes_with_its_packing():
    # Flat jaws: 1 1/2 times the throw; TIR twice the throw (geometry).
    found = sums("universal chuck", job("2", throw="1/4"), on_hand.chuck())

    assert found["Packing, flat jaws"].startswith("0.3750 in")
    assert found["Swings, at the throw"].startswith("0.5000 in")


# Two narrow jaws bear past the widest part from R / root 3 on: 0.5773 for a bar of 2 in (geometry).
@pytest.mark.parametrize(("throw", "can"), [("0.5773", True), ("0.5774", False)])
def test_a_throw_beyond_what_packing_gives_is_no_way_for_a_universal_chuck(throw, can):
    assert way("universal chuck", job("2", throw=throw), on_hand.chuck()).can is can


def test_a_taper_between_centers_comes_with_the_set_over():
    # 10 in between centers at 1:20: 10 / 40 (common handbook rule: half the taper over the whole length).
    found = sums("between centers", job("1", length="10", taper="20"), *CENTERED)

    assert found["Tailstock over"].startswith("0.2500 in")
    assert found["Compound at"] == "1.4321°"


def test_starts_are_indexed_by_the_jaws_that_drive_the_dog():
    rig = [piece for piece in CENTERED if piece.tag != "H-1"]

    assert sums("between centers", job("1", starts="3"), *rig, on_hand.chuck())["Index on by"] == "1"


def test_work_between_centers_comes_with_its_center_drill():
    assert "Center drill" in sums("between centers", job("1"), *CENTERED)


def test_an_ordinary_grip_calls_for_no_sum():
    assert sums("universal chuck", job("1", length="2"), on_hand.chuck()) == {}
