"""The shape that people write beside a size; words of the trade, no source."""

import pytest

from fitfinder.holding.texts.shape_words import across_flats, size_and_shape


@pytest.mark.parametrize(
    ("text", "size", "shape"),
    [
        ("1-1/8 hex", "1-1/8", "hex"),
        ("hex 1-1/8", "1-1/8", "hex"),
        ('1 1/8" hex bar', '1 1/8"', "hex"),
        ("12 mm round bar", "12 mm", "round"),
        ("3/4 sq", "3/4", "square"),
        ("1-1/2 tube", "1-1/2", "tube"),
        ("6 in casting", "6 in", "casting"),
        ("2 x 1 flat", "2 x 1", "rectangular"),
    ],
)
def test_a_shape_beside_the_size_is_the_shape(text, size, shape):
    assert size_and_shape(text) == (size, shape)


@pytest.mark.parametrize("text", ["4 x 2", "50 x 25 mm", "4 in x 2 in"])
def test_two_sides_are_rectangular_without_a_word(text):
    assert size_and_shape(text) == (text, "rectangular")


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("4 x 4", "4"),
        ("20 x 20 mm", "20 mm"),
        ("20 mm x 20 mm", "20 mm"),
        ('1 x 1"', '1 "'),
        ("2 x 2 square", "2"),
    ],
)
def test_two_sides_that_are_the_same_are_square(text, size):
    assert size_and_shape(text) == (size, "square")


@pytest.mark.parametrize(
    "text", [".7485", "3/4 cold drawn 1018", "20 mm hot rolled round", "C-0011", "letter F", "hex", "about an inch", ""]
)
def test_what_is_not_a_size_beside_a_shape_stays_as_it_is(text):
    assert size_and_shape(text) == (text, "")


@pytest.mark.parametrize(("text", "picked"), [("1-1/2 x .065", "tube"), ("2 x 2", "tube"), ("6 x 4", "casting")])
def test_two_lengths_of_what_was_picked_as_another_shape_are_no_sides(text, picked):
    assert size_and_shape(text, picked=picked) == (text, "")


def test_a_word_beside_the_size_counts_more_than_what_was_picked():
    assert size_and_shape("2 x 1 flat", picked="tube") == ("2 x 1", "rectangular")


def test_a_long_text_is_not_looked_through():
    assert size_and_shape("1 x " * 20 + "1 hex") == ("1 x " * 20 + "1 hex", "")


@pytest.mark.parametrize(
    ("text", "size", "shape"),
    [
        ("SW 13", "13 mm", "hex"),
        ("SW13", "13 mm", "hex"),
        ("S/W 5.5", "5.5 mm", "hex"),
        ("sw 12,7", "12,7 mm", "hex"),
        ("13 A/F", "13 mm", "hex"),
        ("13AF", "13 mm", "hex"),
        ("13 mm A/F", "13 mm", "hex"),
        ("A/F 13 mm", "13 mm", "hex"),
        ("13 mm across flats", "13 mm", "hex"),
        ("13 mm hex A/F", "13 mm", "hex"),
        ("hex 13 A/F bar", "13 mm", "hex"),
        ("20 mm A/F square", "20 mm", "square"),
        ("1/2 A/F", "1/2", "hex"),
        ("1-1/8 in AF", "1-1/8 in", "hex"),
        ("2 A/F", "2", "hex"),
        (".512 A/F", ".512", "hex"),
        ("12.9-13 mm A/F", "12.9-13 mm", "hex"),
    ],
)
def test_a_size_across_flats_is_of_hex_bar(text, size, shape):
    assert across_flats(text) == (size, shape)


def test_flats_are_of_square_bar_where_that_was_picked():
    assert across_flats("13 A/F", picked="square") == ("13 mm", "square")
    assert across_flats("13 A/F", picked="round") == ("13 mm", "hex")


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_flats_are_in_the_unit_that_was_given(unit):
    assert across_flats("13 A/F", unit=unit) == across_flats("SW 13", unit=unit) == ("13", "hex")


@pytest.mark.parametrize("text", ["13 mm", "13 mm hex", "3/4", "swarf", "letter F", "13 A/F round", "C-0011", "SW", ""])
def test_what_says_nothing_of_flats_stays_as_it_is(text):
    assert across_flats(text) == (text, "")
