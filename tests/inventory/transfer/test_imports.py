"""What a sheet does to the book."""

import io
from datetime import date, timedelta
from pathlib import Path

import openpyxl
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from inventory.measures.display import DayOrder, Display, shown_as
from inventory.measures.lengths import Length, Unit, parse
from inventory.models import Condition, Finding, Inspection, Location, Seat, Size, Tool
from inventory.pieces.fields import SHEET_FIELDS
from inventory.transfer import entry, exports, imports, mending, sheets
from inventory.transfer.errors import SheetError
from tests import factories

pytestmark = pytest.mark.django_db

MESSY = Path(__file__).resolve().parents[2] / "data" / "messy-crib.csv"
HEADINGS = "Tag,Kind,Series,Shape,Size,Drawer,State,TIR,Checked,Paid,Remarks"


def planned(*rows, headings=HEADINGS, **how):
    return imports.plan(sheets.read("\n".join((headings, *rows)).encode(), name="crib.csv"), **how)


def take(plan, *, by=None, shown=None):
    return entry.take(plan.question, by=by, shown=shown)


def taken(*rows, **how):
    return take(planned(*rows, **how), by=None)


def messy():
    return imports.plan(sheets.read(MESSY.read_bytes(), name=MESSY.name))


def only(plan):
    (outcome,) = plan.outcomes
    return outcome


def refusal(*row, **how):
    (refused,) = planned(*row, **how).report()["refused"]
    return refused


def figures(plan):
    report = plan.report()
    return {**report, "refused": len(report["refused"])}


def test_a_messy_sheet_comes_in_with_every_bad_row_named():
    done = take(messy(), by=None)

    assert figures(done) == {
        "rows": 39,
        "added": 24,
        "updated": 0,
        "unchanged": 0,
        "details_missing": 5,
        "empty": 2,
        "refused": 11,
        "asked": [
            {
                "key": "fractions",
                "about": "“4-Mar” is a date where sizes stand: a spreadsheet makes one of 3/4. Were they fractions?",
                "choices": ["they were fractions", "leave out"],
                "lines": [13],
            },
            {
                "key": "tags",
                "about": "Pieces without a tag are in the sheet. Is each to get the next free one?",
                "choices": ["number them", "leave out"],
                "lines": [37],
            },
        ],
    }
    assert Tool.objects.count() == 24
    assert {row["line"]: row["field"] for row in done.report()["refused"]} == {
        12: "size",
        14: "series",
        15: "shape",
        16: "size",
        18: "size",
        19: "kind",
        20: "tag",
        21: "tag",
        36: "condition",
        38: "tag",
        39: "cost",
    }


def test_all_that_is_wrong_with_a_row_is_told():
    row = next(row for row in messy().report()["refused"] if row["line"] == 36)

    assert row["read"] == "tired"
    assert [also["field"] for also in row["also"]] == ["inspected_on"]
    assert "“2026-02-30” is not a date" in row["also"][0]["message"]


def test_importing_the_same_sheet_again_changes_nothing():
    take(messy(), by=None)
    history, inspections = Tool.history.count(), Inspection.objects.count()

    again = take(messy(), by=None)

    assert (figures(again)["unchanged"], figures(again)["added"], figures(again)["updated"]) == (24, 0, 0)
    assert (Tool.history.count(), Inspection.objects.count()) == (history, inspections)


def test_a_plan_writes_nothing():
    before = [model.objects.count() for model in (Tool, Seat, Location, Size, Inspection)]

    with CaptureQueriesContext(connection) as queries:
        messy()

    assert [model.objects.count() for model in (Tool, Seat, Location, Size, Inspection)] == before
    assert all(query["sql"].startswith("SELECT") for query in queries)


def test_a_plan_takes_as_many_queries_for_many_rows_as_for_few(django_assert_max_num_queries):
    rows = [f"C-{number},collet,5C,round,{number % 60 + 4}/64,A{number},good,,,," for number in range(300)]
    taken(*rows[:150])

    with django_assert_max_num_queries(5):  # one of them for the other names of seats and series
        plan = planned(*rows)

    assert (figures(plan)["unchanged"], figures(plan)["added"]) == (150, 150)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_is_exported_is_read_back_into_the_same_book_without_a_difference(form):
    take(messy(), by=None)

    plan = imports.plan(sheets.read(exports.book(form=form), name=f"book.{form}"))

    assert (figures(plan)["unchanged"], figures(plan)["rows"]) == (24, 24)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_is_exported_and_taken_into_an_empty_book_is_exported_the_same(form):
    take(messy(), by=None)
    before, content = exports.book(form="csv"), exports.book(form=form)
    Tool.objects.all().delete()

    take(imports.plan(sheets.read(content, name=f"book.{form}")), by=None)

    assert Tool.objects.count() == 24
    assert exports.book(form="csv") == before


def test_texts_that_look_like_formulas_come_back_as_they_were():
    factories.collet("3/4", tag="C-1", notes="=1+1 is two\n'-x")
    content = exports.book(form="csv")
    Tool.objects.all().delete()

    take(imports.plan(sheets.read(content, name="book.csv")), by=None)

    assert b"'=1+1" in content
    assert Tool.objects.get().notes == "=1+1 is two\n'-x"


def test_a_solid_drawbar_comes_back_solid():
    taken("B-1,drawbar,MT5,,,,,,,,,solid", headings=HEADINGS + ",Through")
    content = exports.book(form="csv")
    Tool.objects.all().delete()

    take(imports.plan(sheets.read(content, name="book.csv")), by=None)

    assert Tool.objects.get().is_solid


def test_retired_pieces_are_not_exported():
    factories.collet("3/4", tag="C-1", retired_at=timezone.now())

    assert b"C-1" not in exports.book(form="csv")


def test_a_row_of_a_piece_in_the_book_says_what_it_would_change():
    taken("C-1,collet,5C,round,3/4,A1,good,,,28,")

    outcome = only(planned("c-1,collet,5C,round,3/4,A2,worn,,,28,"))

    assert outcome.verdict == "changed"
    assert [(change.field, change.old, change.new) for change in outcome.changes] == [
        ("location", "A1", "A2"),
        ("condition", "good", "worn"),
    ]


def test_an_empty_cell_leaves_the_piece_as_it_is():
    taken("C-1,collet,5C,hex,3/4,A1,worn,.0008,2026-03-18,28,keep")

    assert only(planned("C-1,,,,,,,,,,")).verdict == "same"


def test_only_the_filled_cell_of_a_row_is_changed():
    taken("C-1,collet,5C,hex,3/4,A1,worn,.0008,2026-03-18,28,keep")

    taken("C-1,,,,,B7,,,,,")

    tool = Tool.objects.get()
    assert (tool.location.name, tool.size.shape, tool.condition, tool.notes) == ("B7", "hex", "worn", "keep")


def test_a_sheet_does_not_change_what_a_piece_in_the_book_is():
    taken("C-0001,collet,5C,round,3/4,,,,,,")

    row = refusal("C-0001,soft collet,5C,,1/16,,,,,,")

    assert (row["field"], row["read"]) == ("kind", "soft collet")
    assert row["message"] == (
        "C-0001 is a collet in the book; a sheet does not change what a piece is. Use another tag or retire it first."
    )


def test_another_word_for_the_same_kind_changes_nothing():
    taken("K-1,universal chuck,,,,,,,,,")

    assert only(planned('K-1,"Chuck, 3-jaw",,,,,,,,,')).verdict == "same"


def test_a_capacity_that_contradicts_the_one_in_the_book_is_refused():
    headings = "Tag,Kind,Outside min,Outside max"
    taken("G-1,lathe dog,1/2,1", headings=headings)

    assert refusal("G-1,,,1/4", headings=headings)["field"] == "outside_max"


def test_the_tag_of_a_retired_piece_is_refused():
    factories.collet("3/4", tag="C-1", retired_at=timezone.now())

    assert "retired" in refusal("C-1,collet,5C,round,3/4,,,,,,")["message"]


def test_a_tag_that_stands_twice_is_refused_the_second_time():
    plan = planned("C-1,collet,5C,,3/4,,,,,,", "C-1,collet,5C,,1/2,,,,,,")

    assert [outcome.verdict for outcome in plan.outcomes] == ["new", "refused"]
    assert plan.outcomes[1].troubles[0].message == "C-1 stands in row 2 already."


def test_a_tag_that_stands_twice_is_refused_the_second_time_even_where_the_first_was_refused():
    plan = planned("C-1,collet,5C,,three,,,,,,", "C-1,collet,5C,,1/2,,,,,,")

    assert [outcome.verdict for outcome in plan.outcomes] == ["refused", "refused"]


def test_a_row_of_which_nothing_is_filled_in_is_empty():
    assert only(planned(",, ,,,,,,,,")).verdict == "empty"


def test_a_bare_number_that_a_metric_family_has_in_millimetres_only_is_in_them():
    taken("E-1,collet,ER32,,12,,,,,,")

    assert Tool.objects.get().size.nominal == Length.mm(12)


def test_a_bare_number_that_is_a_size_in_millimetres_only_is_told_so():
    message = refusal("E-1,collet,5C,,12,,,,,,")["message"]

    assert "read as 12 in" in message
    assert "12 mm" in message


def test_the_inches_of_a_heading_are_not_read_as_millimetres():
    headings = HEADINGS.replace("Size", "Size (in)")

    assert "read as 12 in" in refusal("E-1,collet,ER32,,12,,,,,,", headings=headings)["message"]


def test_a_series_of_unknown_capacity_does_not_take_a_bare_number_as_feet_of_inches():
    assert "12 mm" in refusal("R-1,collet,R8,hex,12,,,,,,")["message"]


def test_bare_numbers_can_be_millimetres_for_a_whole_sheet():
    taken("E-1,collet,ER32,,12,,,0.01,,,", unit=Unit.MM)

    tool = Tool.objects.get()
    assert (tool.size.nominal, tool.tir) == (parse("12 mm"), parse("0.01 mm"))


def test_bare_numbers_are_in_the_unit_that_their_heading_says():
    taken("E-1,collet,ER32,12,.0004", headings="Tag,Kind,Series,Size (mm),TIR (in)")

    tool = Tool.objects.get()
    assert (tool.size.nominal, tool.tir) == (parse("12 mm"), parse(".0004"))


def test_a_reading_without_a_date_is_kept_as_undated():
    taken("C-1,collet,5C,,3/4,,,.0005,,,")

    reading = Tool.objects.get().reading
    assert (reading.tir, reading.taken_on) == (parse(".0005"), None)


@pytest.mark.parametrize(("tir", "changed"), [(".0005", []), (".0008", ["tir"]), ("", [])])
def test_an_empty_date_leaves_the_day_of_the_inspection(tir, changed):
    taken("C-1,collet,5C,,3/4,,,.0005,2026-03-18,,")
    row = f"C-1,collet,5C,,3/4,,,{tir},,,"

    assert [change.field for change in only(planned(row)).changes] == changed
    taken(row)

    tool = Tool.objects.get()
    assert (tool.tir, tool.inspected_on) == (parse(tir or ".0005"), date(2026, 3, 18))


def test_a_day_that_changes_is_said_as_the_shop_writes_it():
    taken("C-1,collet,5C,,3/4,,,.0005,2026-03-18,,")
    (change,) = only(planned("C-1,collet,5C,,3/4,,,,2026-04-09,,")).changes

    assert change.words == "2026-03-18 → 2026-04-09"
    with shown_as(Display(days=DayOrder.DAY_MONTH_DOTS)):
        assert change.words == "18.03.2026 → 09.04.2026"


def test_a_date_without_a_reading_is_kept_as_a_look():
    taken("C-1,collet,5C,,3/4,,,,2026-03-18,,")

    tool = Tool.objects.get()
    assert (tool.tir, tool.inspected_on) == (None, date(2026, 3, 18))


def test_ambiguous_dates_are_asked_about_once_for_the_sheet():
    plan = planned("C-1,collet,5C,,3/4,,,,3/4/2026,,", "C-2,collet,5C,,3/4,,,,5/6/26,,")

    (ask,) = plan.report()["asked"]
    assert (ask["key"], ask["lines"]) == ("dates", [2, 3])
    assert "“3/4/2026” is 4 March 2026 or 3 April 2026" in ask["about"]
    assert ask["choices"] == ["the month comes first", "the day comes first", "leave out"]


def test_the_answer_to_a_question_is_used_for_all_its_rows():
    rows = ("C-1,collet,5C,,3/4,,,,3/4/2026,,", "C-2,collet,5C,,3/4,,,,5/6/26,,")

    taken(*rows, answers={"dates": "the day comes first"})

    assert [tool.inspected_on for tool in Tool.objects.order_by("tag")] == [date(2026, 4, 3), date(2026, 6, 5)]


@pytest.mark.parametrize(("dates", "day"), [("mdy", date(2026, 3, 4)), ("dmy", date(2026, 4, 3))])
def test_the_order_of_day_and_month_can_be_said_for_the_sheet(dates, day):
    taken("C-1,collet,5C,,3/4,,,,3/4/2026,,", dates=dates)

    assert Tool.objects.get().inspected_on == day


@pytest.mark.parametrize(("certain", "day"), [("3/18/2026", date(2026, 3, 4)), ("18.3.2026", date(2026, 4, 3))])
def test_one_date_that_can_only_be_one_decides_for_its_column(certain, day):
    taken("C-1,collet,5C,,3/4,,,,3/4/2026,,", f"C-2,collet,5C,,3/4,,,,{certain},,")

    assert Tool.objects.get(tag="C-1").inspected_on == day


def test_certain_dates_that_disagree_decide_nothing():
    plan = planned(
        *(f"C-{n},collet,5C,,3/4,,,,{day},," for n, day in enumerate(["3/4/2026", "3/18/2026", "18/3/2026"]))
    )

    assert [outcome.verdict for outcome in plan.outcomes] == ["asked", "new", "new"]


def test_what_has_no_field_is_kept_in_the_notes():
    taken("C-1,collet,5C,3/4,worn thread,a friend", headings="Tag,Kind,Series,Size,Remarks,Bought from")

    assert Tool.objects.get().notes == "worn thread; Bought from: a friend"


def test_notes_written_since_stay_where_the_sheet_has_no_remarks():
    row = "H-1,collet chuck,takes 5C,,through 1-1/4,,,,,,"
    taken(row)
    Tool.objects.update(notes="key on the wall; series: takes 5C; size: through 1-1/4")

    assert only(planned(row)).verdict == "same"


def test_a_piece_whose_capacities_are_not_in_the_sheet_comes_in_with_details_missing():
    plan = taken("K-1,universal chuck,3 jaw,,8 in body,rack,,,,,holds 3/16 to 8")

    tool = Tool.objects.get()
    assert plan.report()["details_missing"] == 1
    assert (tool.jaws, tool.outside_largest) == (3, None)
    assert tool.notes == "holds 3/16 to 8; series: 3 jaw; size: 8 in body"


def test_a_column_of_our_own_wins_over_the_words_of_the_shop():
    taken("K-1,universal chuck,3 jaw,6", headings="Tag,Kind,Series,Jaws")

    assert Tool.objects.get().jaws == 6


def test_a_seat_that_is_made_by_the_sheet_changes_nothing_at_a_second_import():
    headings = "Tag,Kind,Series,Mount"
    rows = ("P-1,tool post holder,POST-B,", "P-2,tool post holder,,POST-B")
    taken(*rows, headings=headings)

    assert {outcome.verdict for outcome in planned(*rows, headings=headings).outcomes} == {"same"}


def test_a_piece_that_remarks_call_cracked_comes_in_out_of_use_whatever_its_state(keeper):
    take(planned("C-1,collet,5C,,3/4,,good,.0004,2026-03-18,,cracked at a slot"), by=keeper)

    tool = Tool.objects.get()
    assert (tool.condition, tool.finding) == (Condition.DAMAGED, Finding.CRACKED)
    assert (tool.tir, tool.inspected_on) == (parse(".0004"), date(2026, 3, 18))
    assert [(look.finding, look.recorded_by) for look in tool.inspections.all()] == [("cracked", keeper)]


def test_a_scrapped_piece_that_is_cracked_stays_scrapped():
    taken("C-1,collet,5C,,3/4,,scrapped,,,,cracked")

    assert Tool.objects.get().condition == Condition.SCRAPPED


def test_a_finding_that_comes_with_a_later_sheet_takes_the_piece_out_of_use():
    taken("C-1,collet,5C,,3/4,,good,.0004,2026-03-18,,")

    taken("C-1,collet,5C,,3/4,,good,.0004,2026-03-18,,sprung")

    tool = Tool.objects.get()
    assert (tool.condition, tool.finding) == (Condition.DAMAGED, Finding.SPRUNG)
    assert (tool.tir, tool.inspected_on) == (parse(".0004"), date(2026, 3, 18))


def test_a_sheet_that_says_good_does_not_undo_a_finding():
    taken("C-1,collet,5C,,3/4,,good,,,,sprung")

    assert only(planned("C-1,collet,5C,,3/4,,good,,,,")).verdict == "same"


def test_an_old_remark_does_not_undo_what_the_keeper_found_since():
    row = "C-1,collet,5C,,3/4,,,,,,sprung"
    taken(row)
    Tool.objects.update(finding="", condition=Condition.GOOD)

    assert only(planned(row)).verdict == "same"


def test_a_formula_of_a_spreadsheet_is_refused_by_the_name_of_its_field():
    book = openpyxl.Workbook()
    book.active.append(["Tag", "Kind", "Series", "Size", "Drawer", "Owner"])
    book.active.append(["C-1", "collet", "5C", "=B7/8", "A1", "=A2"])
    file = io.BytesIO()
    book.save(file)

    (row,) = imports.plan(sheets.read(file.getvalue(), name="crib.xlsx")).report()["refused"]

    assert (row["line"], row["field"], row["read"]) == (2, "size", "=B7/8")
    assert "formula" in row["message"]
    # What is worked out in a column of no field is no part of a piece.
    assert row["also"] == []


def test_what_changed_in_the_book_since_the_plan_is_seen_when_it_is_taken():
    plan = planned("C-1,collet,5C,,3/4,A1,,,,,")
    taken("C-1,collet,5C,,3/4,A1,,,,,")

    assert figures(take(plan, by=None))["unchanged"] == 1


def test_a_sheet_is_taken_whole_or_not_at_all():
    # Such a tag can only come in behind the forms; the database sees that it is the same.
    factories.collet("1/2", tag="c-2")
    plan = planned("C-1,collet,5C,,3/4,,,,,,", "C-2,collet,5C,,3/4,,,,,,")

    with pytest.raises(SheetError, match="nothing was taken"):
        take(plan, by=None)

    assert [tool.tag for tool in Tool.objects.all()] == ["c-2"]


def test_refused_rows_go_out_with_their_reasons_and_come_back_without_them():
    sent = factories.sheet_read(f"{HEADINGS}\nC-1,collet,5C,,three,A1,,,,,\nC-2,collet,5C,,3/4,,,,,,\n")

    content = exports.refused_rows(sent)
    ((_, row),) = sheets.read(content, name="refused.csv").rows()
    put_right = content.decode("utf-8-sig").replace("C-1,collet,5C,,three", "C-1,collet,5C,,3/8")
    take(imports.plan(sheets.read(put_right.encode(), name="refused.csv")))

    assert row[0] == "C-1"
    assert "“three” cannot be read" in row[-1]
    assert Tool.objects.get().notes == ""


def test_refused_rows_go_out_with_what_was_mended_in_them_also_where_no_column_has_it():
    sent = factories.sheet_read("Tag,,Size\nC-1,collet,three\nC-2,collet,\n", choices=["tag", "kind", "size"])
    mending.mend(sent.sent, 2, {"2": "four", "series": "5C"})

    sheet = sheets.read(exports.refused_rows(sent), name="refused.csv")
    rows = [row[:-1] for _, row in sheet.rows()]

    assert sheet.headings == ["Tag", "kind", "Size", "series", "Why refused"]
    assert rows == [("C-1", "collet", "four", "5C"), ("C-2", "collet", "", "")]


def test_a_plan_and_its_taking_have_the_same_digest_where_the_book_did_not_change():
    # Places that differ in case only, and a seat that no table knows: both are new to the book.
    rows = ("C-1,collet,5C,,3/4,a1,,,,,sprung", "C-2,collet,5C,,1/2,A1,,,,,", "T-1,tool-post holder,,,,,,,,,")
    plans = [messy(), planned(*rows), planned("T-2,drawbar,POST-Q", "T-3,drawbar,post-q", headings="Tag,Kind,Mount")]

    assert [take(plan, by=None, shown=plan.digest).digest for plan in plans] == [p.digest for p in plans]


def test_a_taking_that_would_do_something_else_than_was_shown_writes_nothing():
    plan = planned("C-1,collet,5C,,3/4,A1,,,,,", "C-2,collet,5C,,1/2,B1,,,,,")
    factories.collet("3/4", tag="C-1")

    with pytest.raises(SheetError, match="The book changed since this preview: look again"):
        take(plan, by=None, shown=plan.digest)

    assert [tool.tag for tool in Tool.objects.all()] == ["C-1"]
    assert not Location.objects.filter(name="B1").exists()


@pytest.mark.parametrize(
    ("dates", "text", "meant"), [("mdy", "13/4/2026", "2026-04-13"), ("dmy", "4/13/2026", "2026-04-13")]
)
def test_a_date_that_the_chosen_order_cannot_read_is_refused(dates, text, meant):
    row = refusal(f"C-1,collet,5C,,3/4,,,,{text},,", dates=dates)

    assert (row["field"], row["read"], row["also"]) == ("inspected_on", text, [])
    assert meant in row["message"]


def test_a_date_after_today_is_refused():
    tomorrow = (timezone.localdate() + timedelta(days=1)).isoformat()

    row = refusal(f"C-1,collet,5C,,3/4,,,,{tomorrow},,")

    assert (row["field"], row["read"]) == ("inspected_on", tomorrow)
    assert "is after today" in row["message"]


def test_a_date_of_today_is_taken():
    today = timezone.localdate()

    taken(f"C-1,collet,5C,,3/4,,,,{today.isoformat()},,")

    assert Tool.objects.get().inspected_on == today


def test_an_older_look_of_a_sheet_does_not_replace_the_reading_in_the_book():
    taken("C-1,collet,5C,,3/4,,,.0008,2026-03-18,,")

    done = taken("C-1,collet,5C,,3/4,A2,,.0002,2026-03-01,,")

    tool = Tool.objects.get()
    assert (tool.tir, tool.inspected_on, tool.location.name) == (parse(".0008"), date(2026, 3, 18), "A2")
    assert [change.field for change in only(done).changes] == ["location"]
    assert "2026-03-01 is older than that in the book, 2026-03-18" in only(done).left


def test_an_apostrophe_before_a_size_is_not_read():
    taken("C-1,collet,5C,,'1/4,,,'.0005,,,")

    tool = Tool.objects.get()
    assert (tool.size.nominal, tool.tir) == (parse("1/4"), parse(".0005"))


def test_a_new_piece_is_told_in_words_with_the_finding_of_its_remarks():
    piece = only(planned("C-1,collet,5C,,3/4,A1,good,.0021,2026-05-06,,sprung at the back")).piece

    assert (piece.what, piece.place, piece.tir) == ("3/4 round 5C collet", "A1", "0.0021 in")
    assert (piece.condition, piece.finding) == ("damaged", "sprung")


def test_a_date_of_a_spreadsheet_that_came_as_its_number_is_read():
    taken("C-1,collet,5C,,3/4,,,,46099,,")

    assert Tool.objects.get().inspected_on == date(2026, 3, 18)


def test_a_choice_of_an_earlier_sheet_counts_before_the_guess_and_after_what_is_mapped():
    rows = ("7,C-1,collet,5C,1/2,A1",)
    headings = "Tag,Peg,Kind,Series,Size,Drawer"
    remembered = {"peg": "tag", "drawer": "notes", "kind": "left out"}

    plan = planned(*rows, headings=headings, remembered=remembered, chosen=["Kind=kind"])

    assert [column.field for column in plan.columns] == [None, "tag", "kind", "series", "size", "notes"]


def test_the_words_of_a_blank_sheet_are_those_that_an_import_accepts():
    content = exports.blank(form="xlsx")
    book = openpyxl.load_workbook(io.BytesIO(content))

    assert book.sheetnames == ["Tooling", "Words"]
    assert sheets.read(content, name="blank.xlsx").headings == list(SHEET_FIELDS)
    assert [row[0] for row in book["Words"].iter_rows(min_row=2, values_only=True)] == list(SHEET_FIELDS)


def test_a_blank_csv_has_headings_only():
    sheet = sheets.read(exports.blank(form="csv"), name="blank.csv")

    assert (sheet.headings, list(sheet.rows())) == (list(SHEET_FIELDS), [])
