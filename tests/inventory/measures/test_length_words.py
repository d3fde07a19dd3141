"""Lengths and run-out as the reader of a page has chosen them; what a size is called depends on nobody."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.measures import length_words as words
from inventory.measures.display import Display, shown_as
from inventory.measures.lengths import Length, RunoutUnit, Unit, parse

METRIC = Display(unit=Unit.MM, shop_unit=Unit.MM, runout=RunoutUnit.MM)
INCH = 25_400_000
nanometres = st.integers(1, 40 * INCH).map(Length)
swings = st.integers(1, 100_000).map(lambda tenths: Length(tenths * 10))


def read_in(runout: RunoutUnit) -> Display:
    return Display(unit=Unit.INCH, runout=runout)


@pytest.mark.parametrize(
    ("nm", "in_inches", "in_mm"),
    [
        (19_050_000, "3/4 in (19.050 mm)", "19.05 mm (3/4 in)"),
        (19_011_900, "0.7485 in (19.012 mm)", "19.012 mm (0.7485 in)"),
        (28_575_000, "1-1/8 in (28.575 mm)", "28.575 mm (1-1/8 in)"),
        (20_000_000, "0.7874 in (20.000 mm)", "20 mm (0.7874 in)"),
        (0, "0.0000 in (0.000 mm)", "0 mm (0.0000 in)"),
    ],
)
def test_a_length_is_shown_in_both_units_the_readers_first(nm, in_inches, in_mm):
    assert words.shown(Length(nm)) == in_inches
    with shown_as(METRIC):
        assert words.shown(Length(nm)) == in_mm


@pytest.mark.parametrize(
    ("nm", "in_inches", "in_mm"),
    [
        (19_050_000, "3/4", "3/4 in"),
        (22_225_000, "7/8", "7/8 in"),
        (19_000_000, "19 mm", "19 mm"),
        (20_000_000, "20 mm", "20 mm"),
        (19_250_000, "19.25 mm", "19.25 mm"),
        (500_000, "0.5 mm", "0.5 mm"),
        (25_400_000, "1", "1 in"),
        (5_105_400, "0.2010", "0.2010 in"),
    ],
)
def test_a_size_is_named_by_what_it_is_whoever_reads(nm, in_inches, in_mm):
    assert words.nominal(Length(nm)) == in_inches
    with shown_as(METRIC):
        assert words.nominal(Length(nm)) == in_mm


def test_the_size_of_a_bar_is_in_millimetres_where_it_is_made_so_and_else_in_the_readers_unit():
    assert words.size_of_work(Length.mm(20)) == "20 mm"
    assert words.size_of_work(Length.inches("0.7485")) == "0.7485 in"
    with shown_as(METRIC):
        assert words.size_of_work(Length.inches("0.7485")) == "19.012 mm"


@pytest.mark.parametrize(
    ("nm", "signed", "in_mm"),
    [
        (38_100, "+0.0015", "+0.038"),
        (-50_800, "-0.0020", "-0.051"),
        (0, "+0.0000", "+0"),
        (-1_270, "-0.0001", "-0.001"),
        (-1, "-0.0000", "-0"),
    ],
)
def test_a_deviation_carries_its_sign(nm, signed, in_mm):
    assert words.signed(Length(nm)) == signed
    with shown_as(METRIC):
        assert words.signed(Length(nm)) == in_mm


@pytest.mark.parametrize(
    ("unit", "runout", "with_the_other"),
    [
        (RunoutUnit.INCH, "0.0005 in", "0.0005 in (0.012 mm)"),
        (RunoutUnit.THOU, "0.47 thou", "0.47 thou (0.012 mm)"),
        (RunoutUnit.MM, "0.012 mm", "0.012 mm (0.0005 in)"),
        (RunoutUnit.MICRON, "12 µm", "12 µm (0.0005 in)"),
    ],
)
def test_a_reading_is_shown_in_the_unit_that_was_chosen_for_readings(unit, runout, with_the_other):
    with shown_as(read_in(unit)):
        assert words.runout_text(Length.mm("0.012")) == runout
        assert words.runout_shown(Length.mm("0.012")) == with_the_other


def test_a_span_names_its_unit_once():
    low, high = Length.inches("1/8"), Length.inches("9/8")

    assert words.span(low, high) == "0.1250 to 1.1250 in"
    assert words.span_of_sizes(low, high) == "1/8 to 1-1/8 in"
    with shown_as(METRIC):
        assert words.span(low, high) == words.span_of_sizes(low, high) == "3.175 to 28.575 mm"


@given(nanometres, st.sampled_from(Unit))
def test_what_a_field_begins_with_is_read_back_to_the_same_length(length, unit):
    with shown_as(Display(unit=unit)):
        assert parse(words.typed(length), unit) == length


@given(swings, st.sampled_from(RunoutUnit))
def test_what_a_field_of_a_reading_begins_with_is_read_back_to_the_same(swing, unit):
    with shown_as(read_in(unit)):
        assert parse(words.typed_runout(swing), unit) == swing


def test_what_one_page_was_shown_in_ends_with_it():
    with shown_as(METRIC):
        pass

    assert words.in_unit(Length.inches("3/4")) == "3/4 in"
