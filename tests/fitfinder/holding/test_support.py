"""What holds up long work: a tailstock center with its sleeves, a rest."""

import pytest

from inventory.reference import practice
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, way, words

FREE = practice.stick_out("chuck or collet").most
WITH_A_CENTER = practice.stick_out("chuck and tailstock center").limit
BETWEEN_CENTERS = practice.stick_out("between centers").limit


def rest_of(kind=Kind.STEADY_REST, **fields):
    return on_hand.piece(kind, outside=("1/2", "4"), **fields)


@pytest.mark.parametrize(("more", "tags"), [("0", ["K-1"]), ("0.001", ["K-1", "N-1"])])
def test_work_that_stands_out_too_far_for_its_thickness_gets_a_center(more, tags):
    rig = [on_hand.chuck(tag="K-1"), small_shop.center(tag="N-1")]

    assert list(way("universal chuck", small_shop.standing_out(FREE, more), *rig).tags) == tags


def test_the_center_that_is_not_here_is_missing():
    found = way("universal chuck", job("1", length="8"), on_hand.chuck())

    assert words(found.missing) == ("no center for the MT3 tailstock of Lathe 1",)


def test_a_tube_is_held_up_by_a_bull_nose_that_takes_its_bore():
    small = small_shop.inside(small_shop.center(Kind.BULL_NOSE_CENTER, tag="N-1"), "1/4", "1/2")
    large = small_shop.inside(small_shop.center(Kind.BULL_NOSE_CENTER, tag="N-2"), "1/2", "3")
    asked = job("2", shape="tube", bore="1", length="12")

    assert way("universal chuck", asked, on_hand.chuck(tag="K-1"), small, large).tags == ("K-1", "N-2")


@pytest.mark.parametrize(("more", "has_rest"), [("0", False), ("0.001", True)])
def test_work_longer_than_a_center_alone_holds_up_gets_a_rest_too(more, has_rest):
    rest, work = rest_of(tag="R-1"), small_shop.standing_out(WITH_A_CENTER, more)
    found = way("universal chuck", work, on_hand.chuck(), small_shop.center(), rest)

    assert ("R-1" in found.tags) is has_rest


def test_the_rest_of_another_lathe_is_no_help():
    other = small_shop.lathe("Lathe 2")
    rest = rest_of(belongs_to=other.id)
    found = way("universal chuck", job("1", length="20"), on_hand.chuck(), small_shop.center(), rest)

    assert words(found.missing) == ("no rest of Lathe 1 takes 1 in",)


@pytest.mark.parametrize(("more", "has_rest"), [("0", False), ("0.001", True)])
def test_work_between_centers_that_is_too_slender_gets_a_rest(more, has_rest):
    work, rest = job("1", length=small_shop.inches(BETWEEN_CENTERS, more)), rest_of(Kind.FOLLOW_REST, tag="R-1")

    assert ("R-1" in way("between centers", work, *CENTERED, rest).tags) is has_rest


def test_a_tailstock_center_comes_with_its_sleeve_and_the_missing_one_is_named():
    center, sleeve = small_shop.center(mount="MT2", tag="N-9"), on_hand.sleeve(mount="MT3", takes="MT2", tag="S-1")
    chuck, asked = on_hand.chuck(tag="K-1"), job("1", length="8")

    assert way("universal chuck", asked, chuck, center, sleeve).tags == ("K-1", "S-1", "N-9")
    assert words(way("universal chuck", asked, chuck, center).missing) == (
        "no center for the MT3 tailstock of Lathe 1: no sleeve from MT2 to MT3 for N-9",
    )
