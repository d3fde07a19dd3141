"""A workbook that was written comes back: into an empty book as it was, into its own without a difference."""

import json
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inventory.measures.lengths import Length
from inventory.models import (
    CenterHeight,
    Condition,
    CountedItem,
    CountedMovement,
    CountedStock,
    Finding,
    HeldTool,
    Inspection,
    Kind,
    Lathe,
    Loan,
    Location,
    Move,
    Seat,
    SetupRun,
    SetupSheet,
    SheetImport,
    Tool,
    User,
    Want,
)
from inventory.transfer import entry, exports, undoing
from inventory.transfer.imports import BookChanged
from inventory.transfer.tabs import taking
from inventory.transfer.tabs.cells import texts
from inventory.transfer.tabs.own import own_workbook
from inventory.transfer.tabs.tables import BY_NAME, TABLES
from tests import factories
from tests.commands import run
from tests.inventory.transfer.test_entry import PowerCut, after_part, cut_off

pytestmark = pytest.mark.django_db

WANT = {"what": "Wipers", "quantity": "1", "state": "wanted", "asked": "2026-04-09"}
READ_BACK = [table for table in TABLES if table.enter is not None]


def book():
    """All that is written out, but for the loans and the setup sheets."""
    told = {table.name: [texts(row) for row in table.rows()] for table in READ_BACK}
    return told | {"pieces": exports.book(form="csv")}


def empty_the_book():
    Tool.objects.update(reading=None, mounted_in=None)
    for model in (SetupRun, SetupSheet, HeldTool):
        model.objects.all().delete()
    for model in (Loan, CenterHeight, Move, Want, Inspection, Tool, Lathe, CountedMovement, CountedStock, CountedItem):
        model.objects.all().delete()
    Location.objects.all().delete()
    Seat.objects.filter(family=Seat.Family.OTHER).delete()


def workbook(content=None):
    found = own_workbook(content or exports.workbook(), name="gripbook.xlsx")
    assert found is not None
    return found


def enter(content=None, *, by=None):
    sheet = SheetImport.objects.create(name="gripbook.xlsx", content=b"", made_by=by)
    return taking.take(workbook(content), by=by, sheet=sheet), sheet


def tab(report, title):
    return next(tab for tab in report["tabs"] if tab["tab"] == title)


@pytest.fixture
def small_parts(monkeypatch):
    monkeypatch.setattr(taking, "ROWS_AT_ONCE", 1)
    monkeypatch.setattr(entry, "PIECES_AT_ONCE", 2)


@pytest.fixture
def filled():
    """A small shop with something in every table."""
    keeper = factories.user(name="kim")
    bench = factories.lathe("Lathe 7", bore="40 mm", tir="0.0001", post="QX post")
    factories.lathe("Lathe 8", retired_at=timezone.now())
    closer = factories.closer(tag="H-1")
    collet = factories.collet("3/4", tag="C-1", location="A2", tir="0.0004", notes="=a gift", cost_cents=2850)
    factories.collet("12 mm", series="ER32", tag="E-1", condition=Condition.WORN)
    factories.piece(Kind.TOOL_POST_HOLDER, tag="P-1", mount="QX post", belongs_to=bench)
    collet.record(
        by=keeper, tir=Length.inches("0.0009"), taken_on=date(2026, 4, 1), in_holder=closer, on_lathe=bench,
        pin=Length.inches("3/4"), was_reseated=True, finding=Finding.GALLED, verdict=Condition.WORN, note="a nick",
    )  # fmt: skip
    factories.loan(closer, to=keeper)
    item = factories.counted("Center drill No. 3", low_mark=2, size="1/8", A2=12, B1=0)
    factories.counted("Way oil", low_mark=None)
    factories.want(factories.size("7/8"), price_cents=3100, supplier="By the station")
    factories.want_of(item=item, quantity=10, state="ordered", expected_on=date(2026, 5, 1))
    factories.want_of(what="Way wipers", state="received", received_at=datetime(2026, 3, 1, 8, tzinfo=UTC))
    tool = factories.piece(Kind.TURNING_TOOL, tag="T-1")
    HeldTool.objects.create(tool=tool, holder=Tool.objects.get(tag="P-1"))
    sheet = factories.setup_sheet(collet, lathe=bench, by=keeper)
    sheet.operations.create(order=1, does="turning", tool=tool)
    sheet.runs.create(ran_on=date(2026, 4, 2), parts=3, part_hundredths=150, written_by=keeper, token=uuid4())


def test_an_empty_book_is_as_the_one_that_was_written_out(filled):
    content, before = exports.workbook(), book()
    empty_the_book()

    report, _ = enter(content)

    assert report["refused"] == []
    assert book() == before


def test_the_same_book_is_not_changed(filled):
    before = book()
    history = Tool.history.count() + Lathe.history.count() + Want.history.count()

    report, _ = enter()

    assert not taking.is_anything_to_enter(report)
    assert {part["rows"] == part["unchanged"] + part["not_read"] for part in report["tabs"]} == {True}
    assert book() == before
    assert Tool.history.count() + Lathe.history.count() + Want.history.count() == history


def test_a_look_at_it_beforehand_says_the_same_and_leaves_nothing_behind(filled):
    content = exports.workbook()
    empty_the_book()

    looked = taking.planned_report(workbook(content), by=None)

    assert not Tool.objects.exists()
    assert not Lathe.objects.exists()
    assert looked == enter(content)[0]


def test_loans_are_told_as_not_taken(filled):
    content = exports.workbook()
    empty_the_book()

    report, _ = enter(content)

    assert (tab(report, "Loans")["not_read"], Loan.objects.count()) == (1, 0)


def test_what_a_piece_reads_now_comes_back_with_its_inspections(filled):
    content = exports.workbook()
    empty_the_book()
    enter(content)

    tool = Tool.objects.get(tag="C-1")

    assert (tool.tir, tool.inspected_on, tool.finding) == (Length.inches("0.0009"), date(2026, 4, 1), "galled")
    assert tool.reading == tool.inspections.get(tir=tool.tir)
    assert tool.inspections.count() == 2


def test_a_reading_that_somebody_added_by_hand_becomes_the_current_one(filled):
    found = workbook()
    (inspections,) = [part for table, part in found.tabs if table.name == "inspections"]
    line, cells = inspections.rows[0]
    added = {
        **cells,
        "tag": "E-1",
        "tir": "0.0012 in",
        "inspected_on": "2026-04-09",
        "written_down": "2026-04-09 08:00:00Z",
    }
    found = type(found)(found.name, None, ((BY_NAME["inspections"], type(inspections)("Inspections", ((9, added),))),))
    sheet = SheetImport.objects.create(name="gripbook.xlsx", content=b"")

    taking.take(found, by=None, sheet=sheet)

    assert Tool.objects.get(tag="E-1").tir == Length.inches("0.0012")


def test_a_lathe_that_reads_otherwise_is_brought_to_what_the_workbook_says(filled):
    content = exports.workbook()
    Lathe.objects.filter(name="Lathe 7").update(fastest_rpm=2000)

    report, _ = enter(content)

    assert tab(report, "Lathes")["updated"] == 1
    assert Lathe.objects.get(name="Lathe 7").fastest_rpm is None


def test_a_want_that_was_received_since_stays_received(filled):
    content = exports.workbook()
    Want.objects.filter(size__isnull=False).update(state="received", received_at=timezone.now())

    report, _ = enter(content)

    assert tab(report, "Wants")["left"] == ["Row 2: 7/8 round 5C is received in Gripbook, and stays so."]
    assert not Want.objects.filter(state="wanted").exists()


def test_a_count_that_differs_is_put_right_by_a_person_and_refused_to_a_command(filled):
    content = exports.workbook()
    CountedStock.objects.filter(count=12).update(count=3)

    report, _ = enter(content)
    assert "A count is changed by a person" in tab(report, "Counted stock")["refused"][0]["message"]
    enter(content, by=User.objects.get(username="kim"))

    assert CountedStock.objects.filter(count=12).exists()
    assert CountedMovement.objects.get().by.username == "kim"


def test_who_is_not_here_is_left_out_and_does_not_come_back_as_a_difference(filled):
    content = exports.workbook()
    empty_the_book()
    User.objects.filter(username="kim").delete()
    enter(content)

    report, _ = enter(content)

    assert not taking.is_anything_to_enter(report)
    assert not User.objects.filter(username="kim").exists()


def test_a_workbook_is_taken_back_whole(filled):
    content = exports.workbook()
    empty_the_book()
    empty = book()
    _, sheet = enter(content)

    undoing.undo(SheetImport.objects.get(pk=sheet.pk), by=None)

    assert book() == empty
    assert not Inspection.objects.exists()


def test_a_workbook_that_changed_what_was_there_puts_it_back(filled):
    content = exports.workbook()
    Lathe.objects.filter(name="Lathe 7").update(fastest_rpm=2000)
    CountedStock.objects.filter(count=12).update(count=3)
    Want.objects.filter(what="Way wipers").update(quantity=1)
    Want.objects.filter(size__isnull=False).update(quantity=7)
    Inspection.objects.filter(note="a nick").update(note="another")
    before = book()
    _, sheet = enter(content, by=User.objects.get(username="kim"))
    assert book() != before

    undoing.undo(SheetImport.objects.get(pk=sheet.pk), by=None)

    assert book() == before


def test_a_lathe_that_was_edited_since_keeps_the_whole_workbook_in_the_book(filled):
    content = exports.workbook()
    empty_the_book()
    _, sheet = enter(content)
    Lathe.objects.filter(name="Lathe 7").update(fastest_rpm=2000)

    with pytest.raises(undoing.CannotUndo, match="since then Lathe 7 was edited"):
        undoing.undo(SheetImport.objects.get(pk=sheet.pk), by=None)

    assert Tool.objects.exists()


def test_a_workbook_that_is_cut_off_after_each_part_goes_on_to_the_same_book(filled, small_parts):
    found, before = workbook(), book()
    empty_the_book()
    looked = taking.planned_report(found, by=None)
    sheet = SheetImport.objects.create(name="gripbook.xlsx", content=b"")
    enter, cuts = taking.take, 0
    while SheetImport.objects.filter(taken_at=None).exists() and cuts < 50:
        with after_part(1, cut_off), pytest.raises(PowerCut):
            enter(found, by=None, sheet=sheet)
        enter, cuts = taking.gone_on, cuts + 1

    assert 10 < cuts < 50
    assert SheetImport.objects.get().done == looked
    assert book() == before


@pytest.mark.parametrize(("step", "is_there"), [("", True), ("undo/", False)])
def test_half_a_workbook_goes_on_or_is_taken_back_from_its_page(filled, keeper, small_parts, step, is_there):
    content, before = exports.workbook(), book()
    empty_the_book()
    address = send(keeper, content)
    shown = keeper.get(address).context["digest"]
    with after_part(5, cut_off), pytest.raises(PowerCut):
        keeper.post(address, {"shown": shown})
    SheetImport.objects.update(recorded_at=timezone.now() - timedelta(minutes=1))

    half = keeper.get(address).content.decode()
    keeper.post(address + step)

    assert "of 5 pieces are entered" in half
    assert "Go on entering" in half
    assert (book() == before, Tool.objects.exists(), Lathe.objects.exists()) == (is_there, is_there, is_there)


@pytest.mark.django_db(transaction=True)
def test_who_writes_does_not_wait_for_a_look_at_a_workbook(filled):
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL lets in many writers")
    found = workbook()
    empty_the_book()

    with CaptureQueriesContext(connection) as sent:
        report = taking.planned_report(found, by=None)

    assert report["added"] == 5
    assert [query["sql"] for query in sent if query["sql"].startswith(("INSERT", "UPDATE", "DELETE"))] == []


def test_what_was_not_shown_is_not_entered(filled):
    found = workbook()
    shown = taking.digest_of(taking.planned_report(found, by=None))
    factories.lathe("Lathe 9")
    Lathe.objects.filter(name="Lathe 7").update(fastest_rpm=2000)
    sheet = SheetImport.objects.create(name="gripbook.xlsx", content=b"")

    with pytest.raises(BookChanged):
        taking.take(found, by=None, sheet=sheet, shown=shown)

    assert Lathe.objects.get(name="Lathe 7").fastest_rpm == 2000


@pytest.mark.parametrize(
    ("table", "cells", "field"),
    [
        ("lathes", {"name": "Lathe 9", "spindle_bore": "wide"}, "spindle_bore"),
        ("lathes", {"name": "Lathe 9", "headstock_taper": "MT5", "spindle_bore": "9 in"}, "spindle_bore"),
        ("lathes", {"name": ""}, "name"),
        ("counted", {"name": "Drill", "unit": "pieces", "count": "4"}, "place"),
        ("counted", {"name": "Drill", "unit": "pieces", "place": "A1", "count": "-4"}, "count"),
        ("counted", {"name": "Drill", "unit": ""}, "unit"),
        ("inspections", {"tag": "C-404", "tir": "0.0004 in", "written_down": "2026-04-09"}, "tag"),
        ("inspections", {"tag": "C-1", "tir": "2 in", "written_down": "2026-04-09"}, "tir"),
        ("inspections", {"tag": "C-1", "finding": "rusty", "written_down": "2026-04-09"}, "finding"),
        ("inspections", {"tag": "C-1", "tir_far": "0.0004 in", "written_down": "2026-04-09"}, "far_at"),
        ("inspections", {"tag": "C-1", "inspected_on": "9/4/2026", "written_down": "2026-04-09"}, "inspected_on"),
        ("inspections", {"tag": "C-1", "written_down": "2026-04-09"}, "tir"),
        ("inspections", {"tag": "C-1", "tir": "0.0004 in", "written_down": "soon"}, "written_down"),
        ("wants", WANT | {"what": ""}, "what"),
        ("wants", WANT | {"series": "5C"}, "what"),
        ("wants", WANT | {"quantity": "0"}, "quantity"),
        ("wants", WANT | {"state": "begun"}, "state"),
        ("wants", WANT | {"what": "", "item": "Drill"}, "item"),
        ("wants", WANT | {"what": "", "series": "5C", "shape": "round", "size": "9 in"}, "size"),
        ("wants", WANT | {"what": "x" * 81}, "what"),
    ],
)  # fmt: skip
def test_a_row_that_cannot_be_read_is_refused_by_its_field_and_the_others_come_in(filled, table, cells, field):
    found = workbook()
    tabs = tuple(
        (one, type(part)(part.title, (*part.rows, (99, cells))) if one.name == table else part)
        for one, part in found.tabs
    )
    sheet = SheetImport.objects.create(name="gripbook.xlsx", content=b"")

    report = taking.take(type(found)(found.name, found.pieces, tabs), by=None, sheet=sheet)

    assert [(row["tab"], row["line"], row["field"]) for row in report["refused"]] == [(BY_NAME[table].title, 99, field)]
    assert {part["added"] + part["updated"] for part in report["tabs"]} == {0}


def test_one_table_as_csv_is_known_by_its_headings(filled):
    found = own_workbook(exports.tab(BY_NAME["inspections"], form="csv"), name="inspections.csv")

    assert found is not None
    assert [table.name for table, _ in found.tabs] == ["inspections"]


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_pieces_alone_are_any_sheet(filled, form):
    assert own_workbook(exports.book(form=form), name=f"tooling.{form}") is None


lengths = st.integers(1, 100_000).map(lambda ten_thousandths: Length(ten_thousandths * 2_540))
words = st.text(st.characters(codec="ascii", exclude_categories=["Cc"]), max_size=20).map(str.strip)
days = st.dates(date(2020, 1, 1), date(2026, 3, 1))
inspection_of_a_piece = st.fixed_dictionaries(
    {
        "tir": st.none() | st.integers(0, 60).map(lambda tenths: Length(tenths * 2_540)),
        "taken_on": st.none() | days,
        "finding": st.sampled_from(["", Finding.GALLED, Finding.CRACKED]),
        "verdict": st.sampled_from(["", Condition.GOOD, Condition.WORN]),
        "note": words,
    }
).filter(lambda seen: seen["tir"] is not None or seen["finding"] or seen["note"] or seen["taken_on"])
pieces = st.lists(
    st.tuples(st.sampled_from(["3/4", "1/2", "7/8", "1"]), words, st.lists(inspection_of_a_piece, max_size=4)),
    max_size=4,
)
stocks = st.dictionaries(
    words.filter(bool).map(str.upper), st.dictionaries(st.sampled_from(["A1", "B2"]), st.integers(0, 999)), max_size=3
)
wants = st.lists(
    st.tuples(words.filter(bool).map(str.upper), st.integers(1, 99)), max_size=3, unique_by=lambda one: one[0]
)


def test_a_reading_of_no_run_out_and_one_before_a_day_that_read_nothing_come_back(db):
    for tag, first, second in (("C-1", "0", None), ("C-2", ".0051", "2026-01-02")):
        tool = factories.collet("3/4", tag=tag)
        for taken_on, tir, note in ((date(2026, 1, 1), first, ""), (second, None, "Wiped.")):
            made = tool.record(by=None, is_late=True, taken_on=taken_on, tir=tir and Length.inches(tir), note=note)
            tool.take_up(made)
    content, before = exports.workbook(), book()

    empty_the_book()
    report, _ = enter(content)

    assert report["refused"] == []
    assert book() == before


def test_a_note_that_would_be_a_remark_in_a_shops_own_sheet_comes_back_as_a_note(db):
    notes = ("OUT", "lost", "needs work", "out to Kim since May", "on lathe 2", "cracked", "jaws bell mouthed, bent")
    for number, note in enumerate(notes, start=1):
        factories.collet("3/4", tag=f"C-{number}", notes=note)
    content, before = exports.workbook(), book()

    empty_the_book()
    report, _ = enter(content)

    assert report["refused"] == []
    assert book() == before


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(pieces=pieces, stocks=stocks, wants=wants, bore=st.none() | lengths)
def test_whatever_is_in_a_book_comes_back(pieces, stocks, wants, bore):
    empty_the_book()
    factories.lathe("Lathe 1", headstock=None, bore=None, spindle_length=bore)
    for number, (size, notes, inspections) in enumerate(pieces):
        tool = factories.collet(size, tag=f"C-{number}", notes=notes)
        for day, seen in enumerate(inspections):
            made = tool.record(by=None, is_late=True, **seen)
            Inspection.objects.filter(pk=made.pk).update(
                recorded_at=datetime(2026, 3, 1, tzinfo=UTC) + timedelta(days=day)
            )
            tool.take_up(made)
    for name, places in stocks.items():
        factories.counted(name, **places)
    for what, quantity in wants:
        factories.want_of(what=what, quantity=quantity)
    content, before = exports.workbook(), book()
    assert not taking.is_anything_to_enter(taking.planned_report(workbook(content), by=None))

    empty_the_book()
    report, _ = enter(content)

    assert report["refused"] == []
    assert book() == before


@pytest.fixture
def keeper(client_of):
    return client_of("keeper")


def send(client, content, name="gripbook.xlsx"):
    return client.post(reverse("import_sheet"), {"sheet": SimpleUploadedFile(name, content)})["Location"]


def page_of(client, address):
    response = client.get(address)
    return response, response.content.decode()


def test_the_page_shows_each_table_and_enters_nothing_before_it_is_told_to(filled, keeper):
    content = exports.workbook()
    empty_the_book()

    response, page = page_of(keeper, send(keeper, content))

    assert "Nothing is entered until you say so." in page
    assert f"Enter {response.context['to_enter']} rows" in page
    for table in TABLES:
        assert f'<th scope="row">{table.title}</th>' in page
    assert "not read back by an import" in page
    assert not Lathe.objects.exists()


def test_the_page_enters_the_workbook_once_and_takes_it_back(filled, keeper):
    content, before = exports.workbook(), book()
    empty_the_book()
    address = send(keeper, content)
    shown = keeper.get(address).context["digest"]

    for _ in range(2):
        done = keeper.post(address, {"shown": shown}, follow=True).content.decode()

    assert "This sheet was taken already." in done
    assert book() == before
    keeper.post(address + "undo/")
    assert not Lathe.objects.exists()


def test_a_book_that_changed_since_is_looked_at_again(filled, keeper):
    address = send(keeper, exports.workbook())
    shown = keeper.get(address).context["digest"]
    Lathe.objects.filter(name="Lathe 7").update(fastest_rpm=2000)

    page = keeper.post(address, {"shown": shown}, follow=True).content.decode()

    assert "The book changed since this preview: look again." in page
    assert "Enter 1 row<" in page
    assert Lathe.objects.get(name="Lathe 7").fastest_rpm == 2000


def test_the_page_names_the_rows_of_each_table_that_cannot_be_read_before_and_after(filled, keeper):
    content = exports.tab(BY_NAME["lathes"], form="csv").replace(b"40 mm", b"wide").replace(b"Lathe 8", b"Lathe 9")
    address = send(keeper, content, name="lathes.csv")
    response, page = page_of(keeper, address)

    done = keeper.post(address, {"shown": response.context["digest"]}, follow=True).content.decode()

    for shown in (page, done):
        assert "Lathes, row 2</b> spindle_bore: wide" in shown
    assert Lathe.objects.filter(name="Lathe 9").exists()


def test_a_workbook_is_discarded(filled, keeper):
    address = send(keeper, exports.workbook())

    keeper.post(address + "drop/")

    assert not SheetImport.objects.exists()


def test_the_steps_of_a_sheet_are_none_of_a_workbooks(filled, keeper):
    address = send(keeper, exports.workbook())

    assert [keeper.get(address + step).status_code for step in ("match/", "ask/", "row/2/")] == [404] * 3


@pytest.fixture
def file(filled, tmp_path):
    path = tmp_path / "gripbook.xlsx"
    path.write_bytes(exports.workbook())
    return str(path)


def test_the_command_tells_what_it_did_with_each_table(file):
    empty_the_book()

    code, told, _ = run("import_sheet", file)

    assert code == 0
    assert "Lathes: 2 rows: 2 added, 0 updated, 0 unchanged, 0 refused." in told
    assert "Loans: 1 rows, which an import does not read back." in told


def test_a_dry_run_of_the_command_tells_each_table_and_writes_nothing(file):
    empty_the_book()

    code, told, _ = run("import_sheet", file, "--json", "--dry-run")
    report = json.loads(told)

    assert code == 0
    assert [tab["tab"] for tab in report["tabs"]] == [
        "Lathes", "Counted stock", "Inspections", "Wants",
        "Loans", "Setup sheets", "Operations", "Runs", "Tools in holders",
    ]  # fmt: skip
    assert not Tool.objects.exists()


def test_a_row_of_a_table_that_cannot_be_read_ends_the_command_with_1(filled, tmp_path):
    path = tmp_path / "lathes.csv"
    path.write_bytes(exports.tab(BY_NAME["lathes"], form="csv").replace(b"40 mm", b"wide"))

    code, told, _ = run("import_sheet", str(path), "--json")
    _, words, _ = run("import_sheet", str(path))

    (row,) = json.loads(told)["refused"]
    assert (code, row["tab"], row["line"], row["field"]) == (1, "Lathes", 2, "spindle_bore")
    assert "Lathes, row 2, spindle_bore:" in words


def test_the_command_takes_a_workbook_back(file):
    empty_the_book()
    _, told, _ = run("import_sheet", file, "--json")

    code, _, _ = run("import_sheet", "--undo", str(json.loads(told)["import"]))

    assert code == 0
    assert not Tool.objects.exists()
