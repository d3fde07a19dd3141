"""What is marked on a collet is taken as its size by the form of a piece, on a page and in a row of a sheet."""

import pytest

from inventory.measures.lengths import parse
from inventory.models import Kind, Seat
from inventory.pieces.form import PieceForm

pytestmark = pytest.mark.django_db


def collet(size, *, series="ER32", shape="round", **fields):
    return PieceForm(
        {"tag": "C-1", "series": series, "shape": shape, "size": size, "condition": "good", **fields}, kind=Kind.COLLET
    )


def saved(size, **fields):
    form = collet(size, **fields)
    assert form.is_valid(), form.errors
    return form.save(by=None), form


def test_a_range_as_er_collets_are_engraved_is_the_size_at_its_upper_end():
    tool, form = saved("12-11")

    assert (tool.size.nominal, tool.size.is_marked, form.size_notes) == (parse("12 mm"), False, [])


def test_a_range_other_than_that_of_the_series_counts_as_marked_and_is_told():
    tool, form = saved('1/2"-15/32')

    assert (tool.size.clamps_from, tool.size.clamps_to, tool.size.is_marked) == (parse("15/32"), parse("1/2"), True)
    assert form.size_notes == [
        "15/32 in is marked, and by the figures of the series it closes to 11.7 mm: what is marked on the piece counts."
    ]


def test_a_range_that_no_collet_of_the_series_has_is_refused():
    form = collet("12-11", series="5C")

    assert "closes to 11.873 mm, not to 11 mm" in str(form.errors["size"])


def test_a_marked_range_that_says_something_else_is_refused():
    form = collet("12-11", grips_min="10.5 mm", grips_max="12 mm")

    assert "closes to 11 mm; here stands 10.5 mm" in str(form.errors["grips_max"])


@pytest.mark.parametrize(("size", "shape"), [("1/2 hex", "round"), ("13 A/F", "round"), ("sq .5", "hex")])
def test_a_shape_that_is_written_and_another_that_is_chosen_are_asked(size, shape):
    assert "Choose its shape." in str(collet(size, series="5C", shape=shape).errors["shape"])


def test_a_row_of_a_sheet_takes_the_shape_that_stands_beside_the_size():
    row = {"tag": "C-1", "kind": "collet", "series": "5-C", "size": "SW 13", "shape": "hex"}
    form = PieceForm({**row, "size": ".500 SQ", "shape": ""})
    assert form.is_valid() and form.cleaned_data["figures"].shape == "square"

    form = PieceForm({**row, "shape": ""})
    assert "is across flats. Write hex or square." in str(form.errors["shape"])
    assert PieceForm(row).is_valid()


@pytest.mark.parametrize("text", ["MK3", "CM 3", "Morse 3", "No. 3 Morse"])
def test_a_seat_is_the_one_that_is_meant_in_every_spelling(text):
    form = PieceForm({"tag": "L-1", "mount": text, "condition": "good"}, kind=Kind.LIVE_CENTER)
    assert form.is_valid() and form.save(by=None).mounts_in == Seat.objects.get(code="MT3")


def test_a_seat_of_the_shops_own_is_one_in_every_spelling():
    for tag, text in (("S-1", "B 16"), ("S-2", "DIN 238 B16")):
        form = PieceForm({"tag": tag, "mount": "MT3", "takes": text, "condition": "good"}, kind=Kind.SLEEVE)
        assert form.is_valid() and form.save(by=None).offers == Seat.objects.get(code="B 16")
