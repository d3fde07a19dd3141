"""A bar's label, as merchants write it; words of the trade, no source."""

import pytest

from fitfinder.holding.texts.bar_labels import label_in, shape_on_label, with_its_shape
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.questions import QuestionError
from inventory.measures.lengths import parse


@pytest.mark.parametrize(
    ("text", "size", "grade"),
    [
        ("3/4 cold drawn 1018", "3/4", "cold-drawn"),
        ("1-1/8 hot rolled", "1-1/8", "hot-rolled"),
        ("1 1/8 1144", "1 1/8", "cold-drawn-high-carbon"),
        ("3/4 4140 annealed", "3/4", "cold-drawn-annealed"),
        (".750 4140 prehard", ".750", "cold-drawn-heat-treated"),
        ("20 mm h9", "20 mm", "h9"),
        ("brass 3/4", "3/4", "brass"),
        ("drill rod 1/2 in", "1/2 in", "drill-rod"),
        ("6061 2-1/2 extruded", "2-1/2", "aluminium-extruded"),
        ("12L14 7/8", "7/8", "cold-drawn"),
        ("304 1/2", "1/2", "stainless"),
        ("C360 20 mm", "20 mm", "brass"),
        ("1045 1.25", "1.25", "cold-drawn-high-carbon"),
    ],
)
def test_a_label_is_a_size_and_a_grade_in_either_order(text, size, grade):
    label = label_in(text)

    assert (label.size, label.grade.code) == (size, grade)


@pytest.mark.parametrize("text", ["3/4", ".748-.750", "20h9", "letter F", "C-0011", "hex 3/4", "No. 7"])
def test_what_has_no_words_of_a_grade_is_no_label(text):
    assert label_in(text) is None


@pytest.mark.parametrize(
    ("text", "label", "shape"),
    [
        ("1 hex brass", "1 brass", "hex"),
        ("hex brass 1", "1 brass", "hex"),
        ("3/4 stainless hex", "3/4 stainless", "hex"),
        ("20 mm hot rolled round", "20 mm hot rolled", "round"),
        ("1 1018 square bar", "1 1018 bar", "square"),
    ],
)
def test_a_shape_among_the_words_of_a_label_is_the_shape(text, label, shape):
    assert shape_on_label(text) == (label, shape)


@pytest.mark.parametrize("text", ["1 brass", "1 hex unobtainium", "1 hex", "1 hex square brass", ".7485", "C-0011"])
def test_a_label_without_a_shape_stays_as_it_is(text):
    assert shape_on_label(text) == (text, "")


@pytest.mark.parametrize(
    ("text", "size", "shape"),
    [
        ("Ø20 mm", "20 mm", "round"),
        ("⌀ 3/4", "3/4", "round"),
        ("SW 13", "13 mm", "hex"),
        ("1-1/8 hex", "1-1/8", "hex"),
        ("4 x 2", "4 x 2", "rectangular"),
        ("1 hex brass", "1 brass", "hex"),
        ("304 1/2 hex", "1/2 304", "hex"),
        ("360 3/4 square", "3/4 360", "square"),
        ("9 1/2 hex", "9 1/2", "hex"),
        (".7485", ".7485", ""),
        ("Ø", "Ø", ""),
    ],
)
def test_a_shape_is_read_however_it_stands_with_the_size(text, size, shape):
    assert with_its_shape(text) == (size, shape)


def test_an_alloy_that_is_sold_in_several_ways_is_asked_back_with_each():
    with pytest.raises(QuestionError, match="“4140” is sold as more than one kind of bar") as refused:
        stock_from("3/4 4140")

    for reading in refused.value.readings:
        assert stock_from(reading).nominal == parse("3/4")
    with pytest.raises(QuestionError) as by_grade:
        stock_from("3/4", grade="4140")
    assert (by_grade.value.field, len(by_grade.value.readings)) == ("grade", len(refused.value.readings))


def test_a_label_that_is_asked_back_for_its_unit_keeps_its_words():
    with pytest.raises(QuestionError) as refused:
        stock_from("19 brass", bare_limit=parse("6"))

    assert refused.value.readings == ("19 mm brass", "19 in brass")


@pytest.mark.parametrize(
    ("text", "shape"),
    [("5 stainless", "round"), ("2-1/2 aluminium", "round"), ("1 drill rod", "hex"), ("1 brass", "square")],
)
def test_bar_of_which_no_band_is_on_file_is_to_be_measured(text, shape):
    with pytest.raises(QuestionError, match="No band is on file for it. Measure the bar"):
        stock_from(text, shape=shape)


@pytest.mark.parametrize(("text", "told"), [("hex brass", ()), ("drill rod", ()), ("stainless round", ())])
def test_a_grade_without_a_size_is_told_to_want_one(text, told):
    with pytest.raises(QuestionError, match=f"“{text}” is a grade of bar, and no size stands with it") as refused:
        stock_from(text)

    assert (refused.value.field, refused.value.readings) == ("size", told)


def test_a_number_that_is_a_grade_may_have_lost_its_point_all_the_same():
    with pytest.raises(QuestionError, match="“4140” is a grade of bar.*; measured, write .4140 or 4.140") as refused:
        stock_from("4140", bare_limit=parse("12"))

    assert ".4140" in refused.value.readings
