"""What is asked about a sheet, and what the sheet settles itself."""

import pytest

from inventory.measures.display import Display, shown_as
from inventory.measures.lengths import Unit
from inventory.models import SeriesShape
from inventory.transfer import headings, sheets
from inventory.transfer.asking import open_questions

pytestmark = pytest.mark.django_db


def asked(text):
    sheet = sheets.read(text.encode(), name="crib.csv")
    figures = {
        (figures.series.code.upper(), figures.shape): figures
        for figures in SeriesShape.objects.select_related("series")
    }
    return open_questions(sheet, headings.columns(sheet.headings), figures)


def of_sizes(*sizes, kind="collet", heading="Size"):
    rows = "".join(f"C-{number},{kind},{size}\n" for number, size in enumerate(sizes))
    return asked(f"Tag,Kind,Series,{heading}\n{rows}")


def of_days(*days):
    return asked("Tag,Checked\n" + "".join(f"C-{number},{day}\n" for number, day in enumerate(days)))


@pytest.mark.parametrize(
    ("sizes", "unit"),
    [
        (["5C,.5", "5C,0.75"], Unit.INCH),
        (["5C,3/4"], Unit.INCH),
        (["ER32,12", "ER32,19"], Unit.MM),
        (["ER32,12", "ER32,3/4 in"], Unit.MM),
        ([], Unit.INCH),
    ],
)
def test_sizes_that_fit_their_series_in_one_unit_only_settle_it(sizes, unit):
    found = of_sizes(*sizes)

    assert (found.unit, found.settled_unit) == ([], unit)


def test_a_size_that_fits_its_series_both_ways_is_settled_by_the_others():
    # 1 is a 5C collet of 1 in or of 1 mm (5C: common practice, no source); .5 is one in inches only.
    assert of_sizes("5C,1", "5C,.5").unit == []


def test_a_size_that_fits_both_ways_and_has_no_other_beside_it_is_asked_with_its_row():
    assert of_sizes("5C,1").unit == ["Row 2, Size: 1 in, or 1 mm?"]


def test_sizes_that_contradict_each_other_are_asked():
    assert of_sizes("5C,1", "5C,.5", "ER32,12").unit == ["Row 2, Size: 1 in, or 1 mm?"]


def test_three_examples_are_enough():
    assert len(of_sizes(*(["5C,1"] * 5)).unit) == 3


def test_a_unit_in_the_heading_or_in_the_cell_asks_nothing():
    assert of_sizes("5C,1", heading="Size (mm)").unit == []
    assert of_sizes("5C,1 in").unit == []


@pytest.mark.parametrize(
    ("tir", "examples"),
    [(".0005", []), ("0.01", ["Row 2, TIR: 0.01 in, or 0.01 mm?"]), ("0.1", []), ("0", [])],
)
def test_a_tir_is_asked_only_where_it_is_sensible_in_both_units(tir, examples):
    assert asked(f"Tag,TIR\nC-1,{tir}\n").unit == examples


def test_days_that_can_be_two_are_asked_with_both():
    assert of_days("3/4/2026", "3/4/2026", "5.6.2026").dates == [
        "3/4/2026: 4 March 2026, or 3 April 2026?",
        "5.6.2026: 6 May 2026, or 5 June 2026?",
    ]


@pytest.mark.parametrize("days", [("3/4/2026", "3/18/2026"), ("4/4/2026",), ("2026-03-04",), ("46099",), ()])
def test_days_that_the_sheet_settles_are_not_asked(days):
    assert of_days(*days).dates == []


def test_days_that_contradict_each_other_are_asked():
    assert of_days("3/4/2026", "3/18/2026", "18/3/2026").dates == ["3/4/2026: 4 March 2026, or 3 April 2026?"]


def test_a_sheet_that_says_no_unit_is_read_in_that_of_the_shop():
    sheet = "Tag,Kind,Notes\nL-1,steady rest 10 to 80,\n"

    assert asked(sheet).settled_unit is Unit.INCH
    with shown_as(Display(unit=Unit.MM, shop_unit=Unit.MM)):
        assert asked(sheet).settled_unit is Unit.MM


def test_a_unit_of_sizes_in_the_headings_is_that_of_the_sheet():
    assert asked("Tag,Kind,Size mm,TIR in\nC-1,collet,20,.0005\n").settled_unit is Unit.MM
