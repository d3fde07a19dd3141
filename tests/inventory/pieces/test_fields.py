"""A field of a piece goes the whole way, from the form to the column, to the page and to a sheet and back."""

import copy
from collections import Counter

import pytest

from inventory.models import Tool
from inventory.pieces.asked import ASKED, COMMON
from inventory.pieces.fields import COLUMN_OF, PIECE_FIELDS, SHEET_FIELDS
from inventory.pieces.form import PieceForm
from inventory.pieces.telling import facts
from tests import factories
from tests.inventory.pieces.filled import COMMON_FILLED, FILLED, as_typed

READ_BY_RULES = {"kind", "size", "cuts", "mounts_in", "offers", "location", "tir", "inspected_on"}
"""Columns of which `PieceForm` says what becomes of them."""
NOT_TYPED = {"id", "mounted_on", "mounted_at", "mounted_in", "missing_since", "retired_at", "reading", "finding"}
"""Columns that follow from what is done with a piece."""
ELSEWHERE_ON_THE_PAGE = {"tag", "condition", "notes"}


def test_a_field_is_asked_of_some_kind():
    asked = {name for names in ASKED.values() for name in names}

    assert {field.name for field in PIECE_FIELDS} == asked | set(COMMON) | {"kind"}


def test_a_column_of_a_piece_has_a_field():
    columns = {column.name for column in Tool._meta.concrete_fields}

    assert columns == set(COLUMN_OF.values()) | READ_BY_RULES | NOT_TYPED


@pytest.mark.parametrize("name", sorted(set(COLUMN_OF) - {"tag", "condition", "solid"}))
def test_what_is_not_known_is_empty(name):
    column = Tool._meta.get_field(COLUMN_OF[name])

    assert column.blank
    assert column.null or column.get_default() == ""


def test_what_is_asked_can_stand_in_a_sheet():
    assert {field.name for field in PIECE_FIELDS} - set(SHEET_FIELDS) == {"solid"}


def test_what_is_asked_of_a_kind_is_filled_in_here():
    """So that the tests of kinds put each field into the book, and read it back from a sheet."""
    filled = {name for texts in FILLED.values() for name in texts}

    assert filled == {name for names in ASKED.values() for name in names} - {"solid"}
    assert set(COMMON_FILLED) == set(COMMON) - {"tag", "condition"}


def test_a_heading_tells_one_field_only():
    headings = Counter(heading for field in PIECE_FIELDS for heading in {field.name, *field.headings.split("/")} - {""})

    assert [heading for heading, fields in headings.items() if fields > 1] == []


@pytest.mark.django_db
@pytest.mark.parametrize("kind", FILLED)
def test_what_is_kept_of_a_piece_stands_on_its_page(kind, keeper):
    factories.lathe("Lathe 1")
    factories.lathe("Lathe 2")
    texts = COMMON_FILLED | FILLED[kind]
    form = PieceForm({"tag": "X-1", "condition": "good", **as_typed(texts)}, kind=kind)
    assert form.is_valid(), form.errors
    tool = form.save(by=keeper)

    for name in texts.keys() & COLUMN_OF.keys() - ELSEWHERE_ON_THE_PAGE:
        without = copy.copy(tool)
        setattr(without, COLUMN_OF[name], Tool._meta.get_field(COLUMN_OF[name]).get_default())
        assert facts(without) != facts(tool), f"{name} stands nowhere on the page"
