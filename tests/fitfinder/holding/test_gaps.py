"""Which size is missing, and which blank could be bored to it."""

import pytest

from fitfinder.holding.collets import gaps
from fitfinder.holding.collets.collet_choice import LeftOut
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.holding.verdicts import Verdict
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand

ALL_SEATS = frozenset({"5C", "3J", "ER32"})


def ladder(text, **of_series):
    return gaps.ladder_size(stock_from(text), on_hand.series(**of_series))


def gap(text, *series, seats=ALL_SEATS, left_out=(), blanks=(), **more):
    return gaps.find_gap(stock_from(text, **more), series, seats, left_out, blanks)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param("0.748", (Verdict.HOLDS, "3/4"), id="nearest rung"),
        pytest.param("0.754", (Verdict.HOLDS, "3/4"), id="over its nominal"),
        pytest.param("0.7549", (Verdict.AT_THE_LIMIT, "3/4"), id="at the limit where nothing is clear"),
        pytest.param("1-1/8", (Verdict.HOLDS, "1-1/8"), id="last rung"),
        pytest.param("1/32", (Verdict.HOLDS, "1/32"), id="first rung"),
    ],
)
def test_the_size_of_the_ladder_that_would_hold_it_best(text, expected):
    verdict, size = expected

    assert ladder(text) == (verdict, parse(size))


@pytest.mark.parametrize("text", ["0.758", "1.1301", "0.0262", "0.744-0.750"])
def test_between_above_and_below_the_rungs_there_is_no_such_size(text):
    assert ladder(text) is None


def test_a_series_without_a_ladder_has_no_missing_size():
    assert ladder("3/4", step=None) is None


def test_the_missing_size_is_named():
    missing = gap("0.7485", on_hand.series())

    assert (missing.series, missing.shape, missing.size, missing.why) == (
        "5C",
        "round",
        parse("3/4"),
        "not in the crib",
    )


def test_a_series_that_a_lathe_takes_comes_before_one_that_none_takes():
    missing = gap("3/4", on_hand.series("5C"), on_hand.series("3J"), seats=frozenset({"3J"}))

    assert (missing.series, missing.why) == ("3J", "not in the crib")


def test_a_series_that_no_lathe_takes_is_named_where_it_is_the_only_one():
    missing = gap("3/4", on_hand.series("5C"), seats=frozenset())

    assert (missing.series, missing.why) == ("5C", "not in the crib, and no holder here takes the series")


def test_a_clear_hold_comes_before_the_limit():
    on_a_rung = on_hand.series("3J", first="0.7549", step="1/64")

    assert gap("0.7549", on_hand.series("5C"), on_a_rung).series == "3J"


def test_a_series_of_another_shape_is_no_answer():
    assert gap("3/4", on_hand.series(shape="hex")) is None


def test_where_the_piece_is_in_the_crib_the_gap_says_why_it_does_not_count():
    out = LeftOut(tag="C-0024", name="3/4 round, 5C", why="damaged", location="A2", size=on_hand.size("3/4"))

    assert gap("3/4", on_hand.series(), left_out=[out]).why == "C-0024 is damaged"


def test_the_gap_names_the_blanks_that_could_be_bored():
    assert gap("3/4", on_hand.series(), blanks=[on_hand.blank(tag="C-0046")]).blanks == ("C-0046",)


def blanks_for(text, *rig, shape="round", largest="1-1/8"):
    blanks = gaps.fitting_blanks(stock_from(text, shape=shape), rig, [on_hand.series(last=largest)])
    return [piece.tag for piece in blanks]


@pytest.mark.parametrize(
    ("pilot", "expected"),
    [
        pytest.param("0.749", ["C-0046"], id="smaller pilot"),
        pytest.param("0.750", ["C-0046"], id="pilot of the stock's size"),
        pytest.param("0.751", [], id="larger pilot: a bore is never closed"),
    ],
)
def test_a_blank_fits_where_its_pilot_can_be_opened_to_the_stock(pilot, expected):
    assert blanks_for("0.75", on_hand.blank(pilot, tag="C-0046")) == expected


def test_a_blank_is_not_bored_beyond_the_largest_of_its_series():
    assert blanks_for("1-1/8", on_hand.blank(tag="C-0046")) == ["C-0046"]
    assert blanks_for("1.1251", on_hand.blank(tag="C-0046")) == []


def test_a_blank_is_bored_to_rounds_only():
    assert blanks_for("3/4", on_hand.blank(), shape="hex") == []


@pytest.mark.parametrize(
    "of_blank", [{"why_not": "out to Kim"}, {"pilot": None, "lacks": ("pilot",)}], ids=["out", "no pilot"]
)
def test_a_blank_that_cannot_be_used_or_is_not_described_does_not_count(of_blank):
    assert blanks_for("3/4", on_hand.blank(**of_blank)) == []


METRIC_FLATS = on_hand.series(shape="hex", step="1/32", first="1/8", last="7/8")


@pytest.mark.parametrize(
    ("text", "size"),
    [("13 mm", "13 mm"), ("5.5 mm", "5.5 mm"), ("19 mm", "19 mm"), ("22 mm", "22 mm"), ("1/2", "1/2"), (".748", "3/4")],
)
def test_flats_in_millimetres_are_missed_as_their_own_size(text, size):
    missing = gap(text, METRIC_FLATS, shape="hex")

    assert (missing.series, missing.shape, missing.size) == ("5C", "hex", parse(size))


@pytest.mark.parametrize(
    ("text", "shape"),
    [("3 mm", "hex"), ("23 mm", "hex"), ("13.2 mm", "hex"), (".5118", "hex"), ("12.8-13.2 mm", "hex")],
)
def test_a_size_in_millimetres_that_no_series_has_is_not_made_up(text, shape):
    assert gap(text, METRIC_FLATS, shape=shape) is None


def test_square_bar_in_millimetres_is_missed_alike_and_round_bar_by_its_ladder():
    square = on_hand.series(shape="square", step="1/32", first="1/8", last="3/4")

    assert gap("13 mm", square, shape="square").size == parse("13 mm")
    assert gap("19 mm", on_hand.series()).size == parse("3/4")


def test_bar_by_its_grade_is_missed_by_its_nominal_size():
    # ISO 286: h11 of 13 mm is up to 0.11 mm under.
    assert gap("13 mm", METRIC_FLATS, shape="hex", grade="h11").size == parse("13 mm")
