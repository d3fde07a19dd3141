"""The collet way: what the finder answers, blanks that are bored, and step collets."""

from fractions import Fraction

import pytest
from msgspec.structs import replace

from inventory.measures.lengths import Length
from inventory.reference import holding, practice
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by, words


def test_the_collet_that_the_finder_names_is_the_collet_way():
    rig = [on_hand.closer(tag="H-1"), on_hand.collet("3/4", tag="C-1")]

    assert way_by("collet", job("0.7485"), *rig).tags == ("H-1", "C-1")


def test_a_blank_is_bored_where_no_collet_holds_it():
    rig = [on_hand.closer(tag="H-1"), on_hand.blank(tag="C-9")]
    way = way_by("collet", job("0.7"), *rig, series=[on_hand.series()])

    assert way.tags == ("H-1", "C-9")
    assert way.variant == "C-9 bored to 0.7000 in"
    assert way.runout.total == practice.run_out("machinable collet").typical


def test_a_collet_outside_its_true_zone_does_not_say_how_true_it_is():
    rig = [on_hand.closer(tir="0.0001"), on_hand.collet("3/4", tir="0.0001")]
    way = way_by("collet", job("0.7525", setups=2, tir="0.01"), *rig)

    assert way.tir is None
    assert way.true_enough is None


@pytest.mark.parametrize("texts", [{"shape": "rectangular", "size2": "2"}, {"throw": "1/8"}, {"irregular": "yes"}])
def test_no_collet_holds_rectangular_eccentric_or_irregular_work(texts):
    assert not way_by("collet", job("1", **texts), on_hand.closer(), on_hand.collet("1")).can


def test_the_missing_link_of_a_collet_is_named():
    way = way_by("collet", job("0.75"), on_hand.collet("3/4", tag="C-1"))

    assert words(way.missing) == ("C-1 would hold it, but no closer or collet chuck for 5C on Lathe 1",)


def bored(to="1/2", **fields):
    return on_hand.blank(pilot=to, tag="C-9", **fields)


def opened(asked, piece, *rig):
    """The collet way where this blank is bored already."""
    return way_by("collet", asked, *rig, bored=[piece], series=[on_hand.series()])


@pytest.mark.parametrize(("bore", "here"), [("0.699", True), ("0.7", True), ("0.701", False)])
def test_a_bored_blank_is_opened_and_never_closed(bore, here):
    way = opened(job("0.7"), bored(bore), on_hand.closer(tag="H-1"))

    assert ("C-9" in way.tags) is here


def test_a_bored_blank_asks_first_and_stands_behind_a_blank_that_nobody_bored():
    rig = [on_hand.closer(tag="H-1"), on_hand.blank(tag="C-1")]

    assert "ask first" in opened(job("0.7"), bored(), on_hand.closer()).but[0].words
    assert opened(job("0.7"), bored(), *rig).tags == ("H-1", "C-1")


DEPTH = Fraction(3, 8)


def step_collet():
    """Its step is so many inches deep."""
    piece = on_hand.piece(Kind.STEP_COLLET, mount="5C", outside=("1-1/4", "2"), tag="C-7")
    return replace(piece, step_depth=Length.inches(DEPTH))


@pytest.mark.parametrize(("size", "here"), [("1.249", False), ("1-1/4", True), ("2", True), ("2.001", False)])
def test_a_step_collet_takes_short_work_of_its_range(size, here):
    assert ("C-7" in way_by("collet", job(size, length="3/4"), on_hand.closer(), step_collet()).tags) is here


@pytest.mark.parametrize(("more", "is_short"), [("0", False), ("0.001", True)])
def test_a_step_that_is_shallow_for_the_work_speaks_against_it(more, is_short):
    share = holding.value("grip.share_of_stickout")
    work = job("1-1/2", length=small_shop.inches(DEPTH * (1 + 1 / share), more))

    assert bool(way_by("collet", work, on_hand.closer(), step_collet()).but) is is_short


def test_no_bar_is_fed_through_a_step_collet():
    assert not way_by("collet", job("1-1/4", fed="yes"), on_hand.closer(), step_collet()).can
