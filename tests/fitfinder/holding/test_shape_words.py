"""The shape that people write beside a size; words of the trade, no source."""

import pytest

from fitfinder.holding.shape_words import size_and_shape


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
