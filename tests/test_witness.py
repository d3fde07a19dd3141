"""The tool that lies about figures."""

from fractions import Fraction

import pytest

from fitfinder.holding.methods import split_bushing
from fitfinder.holding.texts import thread_texts
from inventory.reference import tables
from inventory.reference.tapers import morse
from tests.witness.constants import constants, falsified_in_code
from tests.witness.figures import falsified, figures_of, lies, reading_by, table_names
from tests.witness.lies import lies_about


def texts(text, beside=()):
    return {lie.kind: lie.text for lie in lies_about(text, beside)}


def test_a_figure_is_falsified_in_each_way_that_a_hand_slips():
    assert texts("0.252", beside=["0.252", "0.369"]) == {
        "a digit": "0.253",
        "twice": "0.504",
        "times ten": "2.52",
        "a tenth": "0.0252",
        "the sign": "-0.252",
        "a neighbour's": "0.369",
    }


@pytest.mark.parametrize(("text", "digit"), [("9/16", "8/16"), ("1-1/8", "1-2/8"), ("20", "21"), (".5", ".6")])
def test_another_digit_is_another_value(text, digit):
    assert texts(text)["a digit"] == digit
    assert tables.as_number(digit) != tables.as_number(text)


def test_of_nothing_there_is_neither_twice_nor_a_tenth():
    assert set(texts("0", beside=["0.5"])) == {"a digit", "a neighbour's"}


def test_a_flag_has_one_lie():
    assert texts("yes") == {"the other word": "no"}


def test_a_fraction_that_does_not_end_stays_a_fraction():
    assert Fraction(texts("1/3")["a tenth"]) == Fraction(1, 30)


def test_each_number_of_a_cell_is_a_figure():
    threads = [one for one in figures_of("collets") if one.column == "closing_thread" and one.name == "5C round"]

    assert [one.text for one in threads] == ["1.238", "20", "1.041", "24"]
    assert threads[1].told_as("26") == "1.238-26 outside, 1.041-24 inside for a stop"


def test_what_was_made_of_a_table_is_forgotten_before_and_after_a_lie():
    taper = next(one for one in figures_of("morse_tapers") if one.column == "large_end" and one.name == "MT3")
    honest = morse("3").large_end
    lie = next(lie for lie in lies(taper) if lie.kind == "twice")

    with falsified(taper, lie):
        assert morse("3").large_end == honest * 2
    assert morse("3").large_end == honest


def test_of_common_practice_only_gross_lies_count():
    habit = next(one for one in figures_of("practice") if one.is_common_practice)

    assert {lie.kind for lie in lies(habit)} == {"twice", "times ten", "a tenth", "the sign"}


def test_a_figure_in_the_code_is_falsified_wherever_it_is_known_by_its_name():
    wall = next(one for one in constants() if one.column == "WALL")
    twice = next(lie for lie in lies(wall) if lie.kind == "twice")
    honest = split_bushing.WALL

    with falsified_in_code(wall, twice):
        assert honest * 2 == split_bushing.WALL
    assert split_bushing.WALL is honest


def test_of_a_table_in_the_code_one_number_is_falsified():
    coarse = next(one for one in constants() if one.column == "SCREWS" and one.name == "5")

    with falsified_in_code(coarse, lies(coarse)[0]):
        assert thread_texts.SCREWS[5] == (41, 44) and thread_texts.SCREWS[6] == (32, 40)
    assert thread_texts.SCREWS[5] == (40, 44)


@pytest.mark.parametrize("table", table_names())
def test_every_table_has_figures_and_each_can_be_lied_about(table):
    found = list(figures_of(table))

    assert found
    assert all(lies(figure) or tables.as_number(figure.text) == 0 for figure in found)


def test_the_tables_are_read_as_before_once_it_is_over():
    honest = tables.rows
    with reading_by(lambda table: iter(())):
        assert list(tables.rows("bars")) == []
    assert tables.rows is honest
