"""Which of several ways leads: the order that a practitioner tries them in."""

import pytest
from msgspec.structs import replace

from fitfinder.holding import preference
from fitfinder.holding.preference import Truth
from inventory.measures import masses
from inventory.measures.lengths import parse
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, way_by

LATHE = small_shop.lathe()


def led(asked, *pieces, **fields):
    return small_shop.lead(asked, *pieces, lathes=(LATHE,), **fields).method


def mounted(make, **fields):
    return make(mounted_on=LATHE.id, **fields)


def weighing(pounds):
    return pounds * masses.UG_PER_LB


def test_with_nothing_asked_the_universal_that_is_on_leads():
    pieces = [mounted(on_hand.chuck), on_hand.independent_chuck(), on_hand.closer(), on_hand.collet("1")]

    assert led(job("1", parts=3), *pieces, *CENTERED) == "universal chuck"


def test_a_universal_that_has_to_go_on_leads_over_a_mounted_one_that_is_dialled_in():
    assert led(job("1"), on_hand.chuck(), mounted(on_hand.independent_chuck)) == "universal chuck"


def test_a_collet_whose_closer_is_on_leads_over_a_universal_that_has_to_go_on():
    pieces = [on_hand.chuck(), mounted(on_hand.closer), on_hand.collet("1")]

    assert led(job("1", parts=3), *pieces) == "collet"


def test_a_lot_of_one_size_is_for_the_collet():
    pieces = [mounted(on_hand.chuck), on_hand.closer(), on_hand.collet("1")]

    assert led(job("1", parts=24), *pieces) == "universal chuck"
    assert led(job("1", parts=25), *pieces) == "collet"


@pytest.mark.parametrize("texts", [{"throw": "0.4"}, {"shape": "rectangular", "size2": "2"}, {"irregular": "yes"}])
def test_what_nothing_centers_by_itself_is_dialled_in(texts):
    assert led(job("1", **texts), mounted(on_hand.chuck), on_hand.independent_chuck()) == "independent chuck"


def test_what_the_others_miss_is_dialled_in():
    asked = job("1", setups=2, regrip="turned", tir="0.0005")

    assert led(asked, mounted(on_hand.chuck), on_hand.independent_chuck()) == "independent chuck"


def test_of_25_shafts_with_two_ends_centers_lead_over_dialling():
    asked = job("1", length="8", parts=25, setups=2, regrip="turned", tir="0.0005")
    plan = small_shop.planned(asked, *CENTERED, on_hand.independent_chuck(), lathes=(LATHE,))

    assert [(entry.method, entry.minutes) for entry in plan.usable][:3] == [
        ("between centers", 205),
        # Its point is turned once for the lot and stays in the chuck.
        ("soft center", 205 + 5),
        # It stands out seven diameters, and what hole the chuck has nobody knows: at each set-up each part gets a
        # center that is laid out on the bench.
        ("independent chuck", 255 + 25 * 2 * 5),
    ]


@pytest.mark.parametrize(
    ("asked", "leads"),
    [
        ({"tir": "0.003", "both_ends": "yes"}, "soft center"),
        ({"tir": "0.003"}, "collet"),
        ({"both_ends": "yes"}, "collet"),
        ({"tir": "0.003", "both_ends": "yes", "length": "3"}, "collet"),
    ],
)
def test_a_shaft_turned_end_for_end_that_has_to_run_true_goes_between_centers_before_it_is_gripped_twice(asked, leads):
    collet = mounted(on_hand.collet, text="1")
    rig = [*CENTERED[2:], on_hand.chuck(), mounted(on_hand.closer, tir="0.0001"), collet]

    assert led(job("1", **{"length": "5", "parts": 40, "setups": 2} | asked), *rig) == leads


@pytest.mark.parametrize(
    ("chuck", "truth"),
    [({"tir": "0.0004"}, Truth.KNOWN), ({}, Truth.MISSED), ({"condition": "worn"}, Truth.OPEN)],
)
def test_how_true_is_told_in_four_steps(chuck, truth):
    way = way_by("universal chuck", job("1", setups=2, tir="0.001"), on_hand.chuck(**chuck))

    assert preference.truth_of(way) is truth


def test_what_is_typical_of_a_way_stands_behind_what_was_measured_of_one():
    measured = mounted(on_hand.independent_chuck), mounted(on_hand.chuck, tir="0.0004")
    plan = small_shop.planned(job("1", setups=2, tir="0.001"), *measured, lathes=(LATHE,))

    assert [entry.method for entry in plan.usable][:2] == ["universal chuck", "independent chuck"]
    assert [preference.truth_of(entry) for entry in plan.usable[:2]] == [Truth.KNOWN, Truth.TYPICAL]


def test_nothing_leads_whose_caution_forbids_the_cut():
    safe = way_by("universal chuck", job("1"), on_hand.chuck())
    quicker = way_by("universal chuck", job("1"), mounted(on_hand.chuck), lathes=(LATHE,))
    forbidden = replace(quicker, job=job("1", length="12", stick_out="6"))

    assert forbidden.is_forbidden
    assert preference.best_first([forbidden, safe]) == [safe, forbidden]
    assert preference.best_first([quicker, safe]) == [quicker, safe]


def test_fewer_people_go_before_fewer_minutes():
    heavy = on_hand.chuck(weight_ug=weighing(41))
    pieces = [heavy, on_hand.closer(), on_hand.collet("1")]

    assert led(job("1"), *pieces) == "collet"


@pytest.mark.parametrize(
    ("pounds", "parts", "leads"),
    [(41, 20, "universal chuck"), (41, 60, "collet"), (80, 60, "universal chuck")],
)
def test_two_people_for_a_minute_do_not_keep_a_lot_out_of_the_collet_and_a_hoist_does(pounds, parts, leads):
    on = mounted(on_hand.chuck, weight_ug=weighing(pounds))
    asked = job("1", length="3", parts=parts)

    assert led(asked, on, on_hand.closer(), on_hand.collet("1")) == leads


def test_of_two_chucks_the_lighter_leads_whatever_its_tag():
    heavy = on_hand.chuck(tag="K-1", weight_ug=weighing(41))
    light = on_hand.chuck(tag="K-2", weight_ug=weighing(18))
    on = [way_by("universal chuck", job("1"), chuck) for chuck in (heavy, light)]

    assert [found.pieces[0].tag for found in preference.best_first(on)] == ["K-2", "K-1"]


@pytest.mark.parametrize(("pounds", "minutes"), [(25, 5 + 1), (26, 5 + 10 + 1), (76, 5 + 10 + 1)])
def test_what_is_too_heavy_for_one_person_costs_the_hoist_too(pounds, minutes):
    assert way_by("universal chuck", job("1"), on_hand.chuck(weight_ug=weighing(pounds))).minutes == minutes


def test_a_blank_is_bored_when_nothing_else_will_do():
    pieces = [on_hand.closer(), on_hand.blank(), on_hand.independent_chuck()]
    own = {"machinable collet bored": 0, "closer fit": 0, "collet": 0, "collet change": 0}

    assert led(job("1"), *pieces, series=[on_hand.series()], minutes=own) == "independent chuck"


def test_of_what_is_not_here_that_is_first_which_a_colleague_has():
    lent = way_by("universal chuck", job("1"), on_hand.chuck(why_not="out to Dana"))
    damaged = way_by("universal chuck", job("1"), on_hand.chuck(why_not="damaged"))

    assert preference.best_first([damaged, lent]) == [lent, damaged]


def test_a_lathe_on_which_the_chuck_is_mounted_goes_before_one_where_it_has_to_go_on():
    other = small_shop.lathe("Lathe 2")
    chucks = [on_hand.chuck(), on_hand.chuck(mounted_on=other.id)]

    assert small_shop.lead(job("1"), *chucks, lathes=(LATHE, other)).lathe == other


def test_what_is_worn_stands_behind_what_is_good():
    ways = [way_by("faceplate", job("4"), small_shop.faceplate(condition=state)) for state in ("worn", "good")]

    assert [found.has(Kind.FACEPLATE) and found.pieces[0].condition for found in preference.best_first(ways)] == [
        "good",
        "worn",
    ]


def test_of_chucks_that_are_alike_the_smallest_leads_and_never_the_first_tag():
    large, small = on_hand.chuck(tag="K-1", body=parse("6")), on_hand.chuck(tag="K-2", body=parse("5"))

    assert way_by("universal chuck", job("2"), large, small).tags == ("K-2",)


@pytest.mark.parametrize(
    ("asked", "method"),
    [
        # Two people hang a heavy chuck for what a dog would half cover.
        (job("1", shape="square", length="2"), "independent chuck"),
        (job("1", shape="square", length="4"), "independent chuck"),
        (job("1", shape="square", length="4.01"), "between centers"),
        (job("1", shape="square", length="2", setups=2, tir="0.0005"), "between centers"),
        (job("1", shape="square", length="2", throw="1/8"), "between centers"),
    ],
)
def test_short_work_of_which_nothing_is_asked_goes_into_a_chuck_before_centers(asked, method):
    heavy = on_hand.independent_chuck(weight_ug=weighing(60))

    assert led(asked, heavy, *CENTERED) == method


@pytest.mark.parametrize("texts", [{}, {"stick_out": "2"}, {"parts": "5"}])
def test_jaws_near_the_end_of_their_reach_lead_before_a_plate_and_behind_a_chuck_that_reaches_further(texts):
    near, plate = on_hand.chuck(outside=("1/8", "5")), small_shop.faceplate(body=parse("12"))
    asked = job("4.9", length="3", **texts)

    assert led(asked, near, plate) == "universal chuck"
    assert led(asked, near, on_hand.independent_chuck(outside=("1/8", "8")), plate) == "independent chuck"


def test_a_bar_twice_as_long_as_it_is_thick_goes_into_jaws_before_it_is_clamped_to_a_plate():
    chuck, plate = on_hand.chuck(outside=("1/8", "8")), small_shop.faceplate(body=parse("12"))

    for size, length in (("100 mm", "200 mm"), ("4", "8"), ("3", "6")):
        assert led(job(size, length=length), chuck, plate) == "universal chuck"


def test_a_packed_jaw_does_not_lead_where_the_work_needs_a_center():
    chuck = mounted(on_hand.chuck)

    assert led(job("1", length="3", throw="1/8"), chuck, on_hand.independent_chuck()) == "universal chuck"
    assert led(job("1", length="6", throw="1/8"), chuck, on_hand.independent_chuck(), *CENTERED) != "universal chuck"
