"""What is written on a collet is its size: one size or two, a shape in words or by its sign, the unit of the series."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Struct

from inventory.measures.collet_marks import read_mark, shape_off
from inventory.measures.lengths import Length, LengthError, Unit, exact, parse


class MadeUpSeries(Struct):
    smallest: Length
    largest: Length
    closes_by: Length

    def takes_nominal(self, size):
        return self.smallest <= size <= self.largest

    def smallest_of(self, nominal):
        return nominal - self.closes_by


METRIC = MadeUpSeries(Length.mm(2), Length.mm(30), Length.mm(1))
INCH = MadeUpSeries(parse("1/32"), parse("1-1/8"), parse(".005"))
WIDE = MadeUpSeries(parse("1/16"), parse("1-1/2"), parse("1/16"))


def mark_in(text, series=None, unit=Unit.INCH):
    mark = read_mark(text, unit, series=series)
    return (
        exact(mark.nominal),
        mark.closes_to and exact(mark.closes_to),
        mark.shape or ("flats" if mark.is_flats else ""),
    )


@pytest.mark.parametrize(
    ("text", "nominal", "closes_to"),
    [
        ("12-11", "12 mm", "11 mm"),
        ("11-12", "12 mm", "11 mm"),
        ("20–19", "20 mm", "19 mm"),
        ("7,5 - 6,5", "7.5 mm", "6.5 mm"),
        ("Ø9-Ø8", "9 mm", "8 mm"),
        ("14/13", "14 mm", "13 mm"),
        ("14 to 13 mm", "14 mm", "13 mm"),
        ("16mm-15mm", "16 mm", "15 mm"),
        ('3/8"-11/32', "3/8 in", "11/32 in"),
        ("5/8-19/32 in", "5/8 in", "19/32 in"),
    ],
)
def test_of_two_sizes_the_larger_is_the_nominal_and_the_smaller_what_it_closes_to(text, nominal, closes_to):
    assert mark_in(text, METRIC)[:2] == (nominal, closes_to)


@pytest.mark.parametrize("text", ["1-1/8", "1 1/8", "1⅛", "1-1/8 in", "9/8"])
def test_a_whole_number_before_a_fraction_is_one_size(text):
    assert mark_in(text, INCH) == ("1-1/8 in", None, "")


def test_two_mixed_numbers_are_two_sizes():
    assert mark_in("1-1/8-1-1/16", WIDE)[:2] == ("1-1/8 in", "1-1/16 in")


@pytest.mark.parametrize(
    ("text", "size", "shape"),
    [
        ("Ø20", "20 mm", "round"),
        ("⌀ 22", "22 mm", "round"),
        ("dia 3/4", "3/4 in", "round"),
        ("dia. 18", "18 mm", "round"),
        ("d17", "17 mm", "round"),
        ("1/2 A/F", "1/2 in", "flats"),
        ("13 A/F", "13 mm", "flats"),
        ("AF 14", "14 mm", "flats"),
        ("SW 17", "17 mm", "flats"),
        ("SW3", "3 mm", "flats"),
        ("hex A/F 5/8", "5/8 in", "hex"),
        (".500 SQ", "1/2 in", "square"),
        ("sq .25", "1/4 in", "square"),
        ("□10", "10 mm", "square"),
        ("⬡ 19", "19 mm", "hex"),
        ("hex 7/16", "7/16 in", "hex"),
        ("14mm hexagon", "14 mm", "hex"),
        ("3/4 rd", "3/4 in", "round"),
        ("5/8 Round", "5/8 in", "round"),
        ("15 H7", "15 mm", ""),
        ("#7", "0.2010 in", ""),
        ("letter F", "0.2570 in", ""),
        ("¾", "3/4 in", ""),
        ("7⁄8", "7/8 in", ""),
        ("1”", "1 in", ""),
    ],
)
def test_a_shape_beside_the_size_is_taken_off_and_said(text, size, shape):
    assert mark_in(text, INCH) == (size, None, shape)


@pytest.mark.parametrize(
    ("text", "series", "sentence"),
    [
        ("12-11", INCH, "one of 12 mm in this series closes to 11.873 mm, not to 11 mm"),
        ("40-39", METRIC, "there is no 40"),
        ("12-11", None, "has no unit. Write 12-11 mm or 12-11 in."),
        ("20/19", None, "has no unit. Write 20-19 mm or 20-19 in."),
        ("12-12", METRIC, "is the same size twice"),
        ("hex 1/2 sq", INCH, "says hex and square. Write one shape"),
        ("Ø13 A/F", INCH, "says across flats and round"),
        ("1/2-12 mm", METRIC, "cannot be read as a"),
        ("round", INCH, "cannot be read as a size"),
        ("16h9", METRIC, "cannot be read"),
    ],
)
def test_what_is_ambiguous_or_cannot_be_is_asked_and_never_guessed(text, series, sentence):
    with pytest.raises(LengthError) as error:
        read_mark(text, series=series)
    assert sentence in error.value.message


def test_a_bare_number_stays_in_the_unit_that_counts():
    assert mark_in("20", METRIC) == ("20 in", None, "")
    assert mark_in("20", METRIC, Unit.MM) == ("20 mm", None, "")


def test_a_range_that_is_wider_than_that_of_the_series_is_told():
    assert "7/16 in is marked" in read_mark('1/2"-7/16', series=METRIC).differs_from(METRIC)
    assert read_mark("12-11", series=METRIC).differs_from(METRIC) == ""


def test_a_mark_says_of_which_shape_it_cannot_be():
    assert read_mark("1/2 A/F").disagrees("round") and not read_mark("1/2 A/F").disagrees("square")
    assert read_mark("1/2 sq").disagrees("hex") and not read_mark("1/2").disagrees("hex")


@given(
    hundredths=st.integers(200, 3000),
    spread=st.integers(1, 100),
    sign=st.sampled_from(["", "Ø", "⌀ ", "dia "]),
    between=st.sampled_from(["-", " - ", "–", " to ", "..."]),
    comma=st.sampled_from([".", ","]),
)
def test_every_range_that_a_series_can_have_is_read_with_its_ends(hundredths, spread, sign, between, comma):
    large, small = (f"{n // 100}{comma}{n % 100:02d}" for n in (hundredths, hundredths - spread))
    mark = read_mark(f"{sign}{large}{between}{small}", series=METRIC)

    assert (mark.nominal, mark.closes_to) == (Length(hundredths * 10_000), Length((hundredths - spread) * 10_000))


@given(text=st.text(alphabet="0123456789/-.,#ØHSWAFdhexsqmin \"'½□", max_size=45), unit=st.sampled_from(Unit))
def test_any_text_is_read_or_refused_with_a_sentence(text, unit):
    for series in (None, METRIC, INCH):
        try:
            mark = read_mark(text, unit, series=series)
        except LengthError as error:
            assert error.message.endswith(".")
        else:
            assert mark.nominal.nm > 0 and (mark.closes_to is None or mark.closes_to < mark.nominal)


@given(text=st.text(max_size=50))
def test_taking_off_a_shape_leaves_alone_what_has_none(text):
    rest, shape = shape_off(text)
    assert shape or rest == text
