"""The second set-up grips what the first one turned: another size, and a finished surface."""

import pytest
from msgspec.structs import replace

from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, steps, way_by, words


def turned(to="0.940", **texts):
    return job("1", turned=to, **texts)


def in_collets(asked, *collets, **fields):
    return way_by("collet", asked, on_hand.closer(), *collets, **fields)


def test_until_it_is_told_what_is_turned_the_collet_of_the_second_set_up_is_asked_for():
    way = in_collets(job("1", setups=2, regrip="turned"), on_hand.collet("1"))

    assert way.is_here
    assert any("tell its diameter" in text for text in words(way.doubts))


def test_with_one_set_up_or_the_same_surface_nothing_is_asked():
    for asked in (job("1"), job("1", setups=2), job("1", regrip="turned")):
        assert not in_collets(asked, on_hand.collet("1")).doubts


# A 5C of 15/16 in holds 0.9325 to 0.9425 in (common practice).
@pytest.mark.parametrize(("to", "is_held"), [("0.940", True), ("0.9425", True), ("0.9426", False), ("0.9325", True)])
def test_the_second_set_up_takes_the_collet_of_the_turned_size(to, is_held):
    way = in_collets(turned(to), on_hand.collet("1", tag="C-1"), on_hand.collet("15/16", tag="C-2"))

    assert way.is_here is is_held
    assert ("C-2" in way.tags) is is_held
    assert is_held or any("what it is turned to" in text for text in words(way.missing))


def test_the_change_of_collets_is_a_step_and_the_second_is_not_fitted_at_first():
    way = in_collets(turned(), on_hand.collet("1", tag="C-1"), on_hand.collet("15/16", tag="C-2", location="A3"))

    assert "For the second set-up change to C-2 from drawer A3, which holds 0.9400 in." in steps(way)
    assert not any(step.startswith("Fit C-2") for step in steps(way))


def test_a_size_that_the_same_collet_still_takes_needs_no_other():
    way = in_collets(turned("0.996"), on_hand.collet("1", tag="C-1"))

    assert way.is_here
    assert way.tags[-1] == "C-1"


def test_without_that_collet_a_blank_is_bored_to_it_and_that_speaks_against_it():
    way = in_collets(turned(), on_hand.collet("1"), on_hand.blank(tag="C-9"), series=[on_hand.series()])

    assert way.is_here
    assert "C-9" in way.tags
    assert any("C-9 is bored for it" in text for text in words(way.but))


def test_hard_jaws_get_a_shim_on_finished_work():
    assert any("shim" in step for step in steps(way_by("universal chuck", turned(), on_hand.chuck())))
    assert not any("shim" in step for step in steps(way_by("universal chuck", job("1", setups=2), on_hand.chuck())))


def test_jaws_reach_both_sizes_or_others_are_put_in_or_missing():
    chuck = on_hand.chuck(tag="K-1", outside=("0.95", "6"))
    jaws = type(small_shop.soft_jaws(chuck))(chuck=chuck.id, kind="inside", outside=on_hand.reach("1/4", "2", edge=""))

    lacking = way_by("universal chuck", turned(), chuck)
    other = way_by("universal chuck", turned(), chuck, jaw_sets=[jaws])
    assert words(lacking.missing) == ("jaws of K-1 for 0.9400 in, what it is turned to",)
    assert other.is_here
    assert any("put the inside jaws in K-1" in step for step in steps(other))


def test_soft_jaws_that_are_bored_to_the_bar_cannot_be_closed_on_what_is_turned():
    chuck = on_hand.chuck()
    one, two = (replace(small_shop.soft_jaws(chuck), id=number) for number in (1, 2))

    assert not way_by("soft jaws", turned(), chuck, jaw_sets=[one]).is_here
    way = way_by("soft jaws", turned(), chuck, jaw_sets=[one, two])
    assert way.is_here
    assert any("bored to 0.9400 in" in text for text in words(way.reasons))


def test_a_faceplate_asks_nothing_of_what_was_turned():
    way = way_by("faceplate", turned(), small_shop.faceplate())

    assert way.is_here
    assert parse("0.940") == way.job.turned
