"""The shape that people write beside a size; words of the trade, no source."""

import pytest

from fitfinder.shape_words import said


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
    assert said(text) == (size, shape)


@pytest.mark.parametrize("text", ["4 x 2", "50 x 25 mm", "4 in x 2 in"])
def test_two_sides_are_rectangular_without_a_word(text):
    assert said(text) == (text, "rectangular")


@pytest.mark.parametrize(("text", "size"), [("4 x 4", "4"), ("20 x 20 mm", "20 mm"), ("2 x 2 square", "2")])
def test_two_sides_that_are_the_same_are_square(text, size):
    assert said(text) == (size, "square")


@pytest.mark.parametrize(
    "text", [".7485", "3/4 cold drawn 1018", "20 mm hot rolled round", "C-0011", "letter F", "hex", "about an inch", ""]
)
def test_what_is_not_a_size_beside_a_shape_stays_as_it_is(text):
    assert said(text) == (text, "")


def test_a_long_text_is_not_looked_through():
    assert said("1 x " * 20 + "1 hex") == ("1 x " * 20 + "1 hex", "")
