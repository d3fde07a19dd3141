"""The form of a piece, its fields, and a piece as texts."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from inventory.measures.lengths import Length, parse
from inventory.models import Condition, Finding, Inspection, Kind, Tool
from inventory.models.kinds import COLLETS, NEEDED_DETAILS
from inventory.pieces.asked import ASKED
from inventory.pieces.fields import FIELD_OF, SHEET_FIELDS, as_fields
from inventory.pieces.form import PieceForm
from tests import factories

COLLET = {"tag": "C-1", "series": "5C", "shape": "round", "size": "3/4", "condition": "good"}


def page(kind=Kind.COLLET, *, tool=None, **fields):
    given = COLLET if kind == Kind.COLLET else {"tag": "H-1", "condition": "good"}
    return PieceForm({**given, **fields}, kind=kind, tool=tool)


def row(*, tool=None, **fields):
    return PieceForm(fields, tool=tool)


@pytest.mark.parametrize("kind", Kind)
def test_a_page_asks_for_every_detail_that_the_finder_needs(kind):
    needed = {FIELD_OF.get(name, name) for name in NEEDED_DETAILS.get(kind, ())}
    # The seat of a collet follows from its series.
    needed = {"series" if kind in COLLETS and name == "mount" else name for name in needed}

    assert needed <= set(ASKED[kind])


@pytest.mark.django_db
class TestPage:
    def test_a_collet_is_put_into_the_book(self, keeper):
        form = page(location="A2", tir=".0005", inspected_on="2026-03-18", cost="28")

        assert form.is_valid(), form.errors
        tool = form.save(by=keeper)

        assert (str(tool.size), tool.mounts_in.code, tool.location.name) == ("3/4 round 5C", "5C", "A2")
        assert (tool.tir, tool.inspected_on, tool.cost_cents) == (parse(".0005"), date(2026, 3, 18), 2800)
        assert tool.reading.recorded_by == keeper

    @pytest.mark.parametrize(
        ("fields", "field", "said"),
        [
            ({"tag": "C 1"}, "tag", "is no tag"),
            ({"series": "5Q"}, "series", "Write one of 16C"),
            ({"series": "ER32", "shape": "hex", "size": "10 mm"}, "shape", "ER32 has no hex"),
            ({"size": "1-3/4"}, "size", "5C round collets go from 1/32 to 1-1/8"),
            ({"series": "ER32", "size": "12"}, "size", "write 12 mm"),
            ({"size": "three quarters"}, "size", "cannot be read"),
            ({"size": ""}, "size", "Size is empty. Write it like 3/4"),
            ({"tir": "-.0005"}, "tir", "below zero"),
            ({"tir": "5"}, "tir", "Read as 5 in; a TIR is the indicator's swing, like .0005."),
            ({"location": "x" * 61}, "location", "61 characters were read; write at most 60."),
            ({"inspected_on": "3/4/2026"}, "inspected_on", "Say which comes first"),
        ],
    )
    def test_a_field_that_cannot_be_read_is_told_beside_it(self, fields, field, said):
        form = page(**fields)

        assert list(form.errors) == [field]
        assert said in form.errors[field][0]

    def test_a_tag_that_is_on_another_piece_is_refused(self):
        factories.collet("1/2", tag="C-1")

        assert page(tag="c-1").errors["tag"] == ["C-1 is on another piece already. The next free tag is C-2."]

    def test_the_largest_size_must_not_be_below_the_smallest(self):
        form = page(Kind.LATHE_DOG, outside_min="1", outside_max="1/2")

        assert form.errors["outside_max"] == ["1/2 in is below the smallest size, 1 in."]

    def test_a_solid_drawbar_passes_no_bar(self):
        assert "through" in page(Kind.DRAWBAR, solid="on", through="1/2").errors

    def test_a_seat_that_no_table_knows_is_made(self, keeper):
        form = page(Kind.TOOL_POST_HOLDER, mount=" shop  post ")

        assert form.is_valid()
        assert form.save(by=keeper).mounts_in.code == "shop post"

    def test_a_seat_in_another_spelling_is_the_known_one(self, keeper):
        form = page(Kind.SLEEVE, mount="M.T. 5", takes="Morse 3")

        assert form.is_valid()
        tool = form.save(by=keeper)
        assert (tool.mounts_in.code, tool.offers.code, form.own_seats) == ("MT5", "MT3", [])

    def test_a_page_kept_without_a_change_adds_nothing_to_the_history(self, keeper):
        tool = factories.collet("3/4", tag="C-1", tir=".0005")
        entries = tool.history.count()

        form = PieceForm(as_fields(tool), kind=Kind.COLLET, tool=tool)

        assert form.is_valid(), form.errors
        form.save(by=keeper)
        assert not form.has_changed_piece
        assert tool.history.count() == entries

    def test_a_field_that_is_emptied_on_a_page_is_emptied_in_the_book(self, keeper):
        tool = factories.collet("3/4", tag="C-1", location=factories.place("A1"), notes="old")

        form = page(tool=tool, location="", notes="")

        assert form.is_valid()
        form.save(by=keeper)
        tool.refresh_from_db()
        assert (tool.location, tool.notes) == (None, "")

    def test_a_page_kept_without_a_change_records_no_reading(self, keeper):
        form = page(tir=".0005", inspected_on="2026-03-18")
        form.is_valid()
        tool = form.save(by=keeper)

        again = PieceForm(as_fields(tool), kind=Kind.COLLET, tool=tool)

        assert again.is_valid()
        again.save(by=keeper)
        assert Inspection.objects.count() == 1

    def test_a_new_reading_keeps_what_was_found_before(self, keeper):
        tool = factories.collet("3/4", tag="C-1")
        tool.record(tir=None, taken_on=date(2026, 3, 1), by=keeper, finding=Finding.CRACKED)

        form = page(tool=tool, condition="damaged", tir=".0004", inspected_on="2026-03-18")

        assert form.is_valid()
        form.save(by=keeper)
        tool.refresh_from_db()
        assert (tool.finding, tool.condition) == (Finding.CRACKED, Condition.DAMAGED)

    def test_line_ends_and_control_characters_of_notes_are_tidied(self):
        form = page(notes="one\r\ntwo\x07\r")

        assert form.is_valid()
        assert form.cleaned_data["notes"] == "one\ntwo"


@pytest.mark.django_db
class TestRow:
    def test_an_empty_condition_of_a_new_piece_is_good(self, keeper):
        form = row(tag="C-1", kind="collet", series="5C", size="3/4")

        assert form.is_valid()
        assert form.save(by=keeper).condition == Condition.GOOD

    def test_an_empty_condition_leaves_that_of_a_piece_in_the_book(self, keeper):
        tool = factories.collet("3/4", tag="C-1", condition=Condition.WORN)

        form = row(tool=tool, **{**COLLET, "kind": "collet", "condition": ""})

        assert form.is_valid()
        assert form.save(by=keeper).condition == Condition.WORN

    def test_a_kind_that_is_not_read_says_what_is_accepted(self):
        assert "Write collet, machinable collet" in row(tag="C-1", kind="vise").errors["kind"][0]

    def test_the_size_of_a_machinable_collet_is_its_pilot_hole(self, keeper):
        form = row(tag="C-1", kind="soft collet", series="5C", size="1/16")

        assert form.is_valid()
        tool = form.save(by=keeper)
        assert (tool.size, tool.pilot, tool.mounts_in.code) == (None, parse("1/16"), "5C")

    def test_a_range_that_is_marked_on_a_collet_is_its_own(self, keeper):
        form = page(grips_min=".748", grips_max=".751", stop_thread="yes")

        assert form.is_valid()
        tool = form.save(by=keeper)
        size = tool.size
        assert (size.is_marked, size.clamps_from, size.clamps_to) == (True, parse("0.748"), parse("0.751"))
        assert (tool.stop_thread, as_fields(tool)["grips_max"], as_fields(tool)["stop_thread"]) == (
            True,
            "0.7510 in",
            "yes",
        )

    def test_a_marked_range_that_is_taken_away_leaves_the_series_figures(self, keeper):
        first = page(grips_min=".748", grips_max=".751")
        assert first.is_valid()

        form = page(tool=first.save(by=keeper))

        assert form.is_valid()
        assert form.save(by=keeper).size == factories.size("3/4")

    @pytest.mark.parametrize(
        ("limits", "sentence"),
        [
            ({"grips_min": ".748"}, "A marked range has two ends."),
            ({"grips_min": ".740", "grips_max": ".745"}, "does not reach the size that is marked, 3/4 in."),
        ],
    )
    def test_a_marked_range_that_cannot_be_is_refused(self, limits, sentence):
        assert sentence in page(**limits).errors["grips_max"][0]

    def test_whether_a_stop_thread_is_cut_may_stay_unknown(self, keeper):
        form = page()

        assert form.is_valid()
        assert form.save(by=keeper).stop_thread is None

    def test_a_range_that_is_marked_on_the_piece_stays_with_it(self, keeper):
        size = factories.size("3/4")
        size.pk, size.is_marked, size.clamps_from = None, True, size.clamps_from - Length(1000)
        size.save()
        tool = factories.collet("3/4", tag="C-1")
        Tool.objects.update(size=size)
        tool.refresh_from_db()

        form = row(tool=tool, **COLLET, kind="collet")

        assert form.is_valid()
        assert form.save(by=keeper).size == size

    def test_the_fields_of_one_row_serve_the_next(self):
        first = row(tag="C-1", kind="collet", series="5C", size="3/4")

        second = PieceForm({"tag": "C-2", "kind": "collet", "series": "5C", "size": "three"}, like=first)

        assert first.is_valid()
        assert list(second.errors) == ["size"]


lengths = st.integers(1, 10**9).map(Length)
either_way = {"through": lengths, "body": lengths, "weight_ug": st.integers(1, 10**6).map(lambda g: g * 10**6)}


class TestAsFields(TestCase):
    @given(st.fixed_dictionaries({}, optional=either_way), st.one_of(st.none(), lengths))
    def test_a_piece_as_texts_is_read_back_to_the_same_piece(self, columns, largest):
        tool = Tool(tag="K-1", kind=Kind.UNIVERSAL_CHUCK, jaws=3, max_rpm=2500, cost_cents=41005, **columns)
        tool.outside_smallest, tool.outside_largest = largest and Length(1), largest

        texts = as_fields(tool)
        form = PieceForm(texts)

        assert form.is_valid(), form.errors
        assert as_fields(form.applied()) == texts

    def test_a_piece_is_told_in_every_field_of_a_sheet(self):
        assert set(as_fields(factories.collet("3/4", tag="C-1"))) == {*SHEET_FIELDS, "solid"}
