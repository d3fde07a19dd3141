"""What is said of the collet that leads: what to mic for, where a stop ends up, what an ER's run-out rests on."""

import pytest

from fitfinder.find.notes import notes_of, which_fit
from fitfinder.holding.stock import Band
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand


@pytest.fixture
def lathe():
    return on_hand.lathe()


def notes(text, *pieces, lathe, **question):
    return " ".join(notes_of(on_hand.answer(text, *pieces, on_hand.closer(), lathes=[lathe], **question)))


def note_of_bars(low, high):
    return which_fit(Band(parse(low), parse(high)), on_hand.reach("0.745", "0.755"))


def test_where_the_largest_bars_are_too_large_the_upper_limit_is_to_be_mic_d():
    assert note_of_bars("0.750", "0.758") == (
        "of bars from 0.7500 to 0.7580 in those up to 0.7550 in (19.177 mm) fit, larger ones do not. "
        "Mic for 0.7550 in (19.177 mm) or less."
    )


def test_where_the_smallest_bars_are_too_small_the_lower_limit_is_to_be_mic_d():
    assert note_of_bars("0.742", "0.750").endswith("Mic for 0.7450 in (18.923 mm) or more.")


def test_where_both_ends_reach_out_both_limits_are_to_be_mic_d():
    assert note_of_bars("0.742", "0.758").endswith(
        "only those from 0.7450 in (18.923 mm) to 0.7550 in (19.177 mm) fit. Mic for both limits."
    )


@pytest.mark.parametrize(
    ("band", "reach", "limit"),
    [
        (("18.9 mm", "19.05 mm"), ("18 mm", "19 mm"), "up to 0.7480 in"),
        (("18.9 mm", "19.05 mm"), ("19 mm", "20 mm"), "from 0.7481 in"),
    ],
)
def test_a_limit_between_two_tenths_is_told_inward(band, reach, limit):
    # 19 mm is 0.74803 in: a bar of 0.7480 in is below it, one of 0.7481 in above.
    assert limit in which_fit(Band(*map(parse, band)), on_hand.reach(*reach))


def test_hot_rolled_bar_is_mic_d_in_several_places(lathe):
    assert "several places round" in notes("3/4", on_hand.collet(), lathe=lathe, grade="hot-rolled")


def test_where_a_chuck_leads_it_is_still_told_which_bars_the_collet_takes(lathe):
    said = notes("3/4", on_hand.collet(), on_hand.chuck(), lathe=lathe, grade="hot-rolled")

    assert said.startswith("3/4 round 5C: of bars from 0.7420 to 0.7580 in only those from 0.7450 in (18.923 mm)")


def test_what_holds_is_not_to_be_mic_d(lathe):
    assert "Mic" not in notes("0.75", on_hand.collet(), lathe=lathe)


def test_a_stop_in_the_collet_moves_with_the_band_of_the_stock(lathe):
    # ASTM A108: 0.002 in of difference; geometry: 2.836 at 10 degrees.
    said = notes("3/4", on_hand.collet(), lathe=lathe, grade="cold-drawn")

    assert "0.0020 in of diameter moves the face 0.0057 in. A spindle stop does not move." in said


def test_of_one_measured_bar_the_stop_is_told_for_a_thou(lathe):
    assert "0.0010 in of diameter moves the face 0.0028 in" in notes("0.75", on_hand.collet(), lathe=lathe)


def test_of_a_series_whose_head_is_not_known_no_stop_is_told(lathe):
    collet = on_hand.collet(series="R8")
    answer = on_hand.answer("0.75", collet, lathes=[on_hand.lathe(headstock="R8")])

    assert notes_of(answer) == ()


def test_what_no_collet_holds_has_no_notes(lathe):
    assert notes("2", on_hand.chuck(), lathe=lathe) == ""


@pytest.mark.parametrize(("tir", "is_told"), [(None, True), ("0.0003", False)])
def test_an_er_collet_that_was_not_measured_runs_by_its_class_at_nominal_only(tir, is_told, lathe):
    # ISO 15488 Table 4: 0.020 mm for 20 mm, class 2.
    collet = on_hand.collet("20 mm", series="ER32", typical="0.020 mm", tir=tir)
    pieces = (collet, on_hand.collet_chuck(through=None), on_hand.drawbar(through="1"))

    assert ("0.020 mm is ISO 15488 class 2, at nominal size only" in notes("20 mm", *pieces, lathe=lathe)) is is_told


@pytest.mark.parametrize(
    ("size", "thread", "is_told"),
    [("1", None, True), ("63/64", None, False), ("1", True, False), ("1", False, False), ("1-3/32", None, False)],
)
def test_where_a_stop_thread_would_decide_it_is_told_unless_somebody_looked(size, thread, is_told, lathe):
    collet = on_hand.collet(size, narrow="63/64", stop_thread=thread)

    assert ("unless a thread for a stop is cut" in notes(size, collet, lathe=lathe)) is is_told
