import io
import uuid
from datetime import UTC, date, datetime

import openpyxl
import pytest
from django.urls import reverse

from inventory.measures.lengths import parse
from inventory.models import Finding, HeldTool, Loan
from inventory.transfer import exports, sheets
from inventory.transfer.tabs.tables import BY_NAME, TABLES
from tests import factories
from tests.commands import run

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 3, 20, 12, tzinfo=UTC)


def rows_of(name):
    sheet = sheets.read(exports.tab(BY_NAME[name], form="csv"), name=f"{name}.csv")
    return [
        {heading: text for heading, text in zip(sheet.headings, row, strict=True) if text} for _, row in sheet.rows()
    ]


def test_an_inspection_is_told_with_what_it_was_taken_on():
    holder, bench = factories.closer(tag="H-1"), factories.lathe("Lathe 7")
    tool = factories.collet("3/4", tag="C-1")
    factories.reading(
        tool,
        "0.0004",
        taken_on=date(2026, 3, 18),
        in_holder=holder,
        on_lathe=bench,
        finding=Finding.GALLED,
        note="a nick",
    )

    (row,) = rows_of("inspections")

    del row["written_down"]
    assert row == {
        "tag": "C-1", "inspected_on": "2026-03-18", "tir": "0.0004 in", "holder": "H-1", "lathe": "Lathe 7",
        "finding": "galled", "note": "a nick",
    }  # fmt: skip


def test_an_inspection_that_was_corrected_is_left_out():
    tool = factories.collet("3/4", tag="C-1")
    wrong = factories.reading(tool, "0.004")
    factories.reading(tool, "0.0004", corrects=wrong)

    assert [row["tir"] for row in rows_of("inspections")] == ["0.0004 in"]


def test_a_loan_says_who_has_what_since_when():
    tool, borrower = factories.collet("3/4", tag="C-1"), factories.user("machinist", name="dana")
    Loan.objects.issue(tool=tool, to=borrower, at=NOON, token=uuid.uuid4(), due_on=date(2026, 3, 27))

    assert rows_of("loans") == [
        {
            "tag": "C-1",
            "borrower": "dana",
            "issued": "2026-03-20 12:00:00Z",
            "expected_back": "2026-03-27",
            "issued_by": "dana",
        }
    ]


def test_a_loan_says_for_which_job_in_its_last_column():
    sheet = factories.setup_sheet(title="Idler shaft", way="")
    factories.loan(factories.collet("3/4", tag="C-1"), sheet=sheet)

    (row,) = rows_of("loans")

    assert row["job"] == "Idler shaft"
    assert BY_NAME["loans"].headings[-1] == "job"


def test_a_lathe_a_counted_thing_and_a_want_have_a_row_each():
    factories.lathe("Lathe 7", bore="40 mm")
    factories.counted("Center drill No. 3", B1=4)
    factories.want_of(what="Way wipers", price_cents=1250)

    (lathe,), (stock,), (want,) = rows_of("lathes"), rows_of("counted"), rows_of("wants")

    assert (lathe["name"], lathe["nose"], lathe["spindle_bore"]) == ("Lathe 7", "D1-4", "40 mm")
    assert (stock["name"], stock["place"], stock["count"]) == ("Center drill No. 3", "B1", "4")
    assert (want["what"], want["price"], want["state"]) == ("Way wipers", "12.50", "wanted")


def test_the_workbook_has_a_tab_for_each_and_the_pieces_first():
    factories.collet("3/4", tag="C-1")

    book = openpyxl.load_workbook(io.BytesIO(exports.workbook()))

    assert book.sheetnames == ["Tooling", *(table.title for table in TABLES)]
    assert [cell.value for cell in book["Tooling"]["A"]] == ["tag", "C-1"]


@pytest.mark.parametrize("risky", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1"])
def test_no_cell_of_the_workbook_can_run(risky):
    factories.want_of(what=f"{risky}x")

    book = openpyxl.load_workbook(io.BytesIO(exports.workbook()))
    cells = [cell for row in book["Wants"].iter_rows() for cell in row]

    assert [cell.value for cell in cells if cell.data_type == "f"] == []
    assert f"'{risky}x" in [cell.value for cell in cells]


def test_the_page_offers_each_table_with_how_many_it_has(client_of):
    factories.lathe("Lathe 7")
    client = client_of("keeper")

    page = client.get(reverse("export_book")).content.decode()

    for table in TABLES:
        response = client.get(reverse("export_tab", args=[table.name]))
        assert response["Content-Disposition"] == f'attachment; filename="{table.name}.csv"'
        assert reverse("export_tab", args=[table.name]) in page
    assert client.get(reverse("export_workbook")).content[:2] == b"PK"


def test_a_table_that_there_is_not_is_not_found(client_of):
    assert client_of("keeper").get(reverse("export_tab", args=["people"])).status_code == 404


def test_the_command_writes_what_is_asked_for(tmp_path):
    factories.lathe("Lathe 7")

    assert run("export_sheet", str(tmp_path / "lathes.csv"), "--what", "lathes")[0] == 0
    assert run("export_sheet", str(tmp_path / "all.xlsx"), "--what", "all")[0] == 0

    assert "Lathe 7" in (tmp_path / "lathes.csv").read_text(encoding="utf-8-sig")
    assert "Lathes" in openpyxl.load_workbook(tmp_path / "all.xlsx").sheetnames


@pytest.mark.parametrize(
    ("name", "what", "said"),
    [
        ("all.csv", "all", "A .csv has one table only"),
        ("people.csv", "people", "--what is “people”; it accepts pieces, inspections,"),
    ],
)
def test_what_cannot_be_written_ends_with_2_and_a_sentence(tmp_path, name, what, said):
    code, _, told = run("export_sheet", str(tmp_path / name), "--what", what)

    assert (code, said in told) == (2, True)
    assert not (tmp_path / name).exists()


def test_a_setup_sheet_its_cuts_its_runs_and_the_holders_of_its_tools_are_written_out():
    tool, holder = factories.piece("turning tool", tag="T-1"), factories.piece("tool-post holder", tag="H-1")
    chuck, person = factories.chuck(tag="K-1"), factories.user("machinist", name="dana")
    sheet = factories.setup_sheet(
        chuck, by=person, title="Idler pin", number="MW-1", revision="B", setup_hundredths=2250, frozen_at=NOON,
        frozen_by=person,
    )  # fmt: skip
    sheet.operations.create(
        order=1, does="turning", tool=tool, holder=holder, rpm=509, height=parse("0.004 in"), feed=parse("0.1 mm")
    )
    sheet.operations.create(order=2, does="parting", tool_words="1/8 blade", caught_by="a rod")
    sheet.runs.create(
        ran_on=date(2026, 3, 20), parts=12, part_hundredths=650, written_by=person, token=uuid.uuid4(), note="Again."
    )
    HeldTool.objects.create(tool=tool, holder=holder)

    (written,) = rows_of("setup-sheets")
    key = str(sheet.pk)
    assert {name: written[name] for name in ("sheet", "part_number", "revision", "set_up", "name", "pieces")} == {
        "sheet": key, "part_number": "MW-1", "revision": "B", "set_up": "1", "name": "Idler pin", "pieces": "K-1",
    }  # fmt: skip
    assert (written["set_up_minutes"], written["used_since"], written["used_by"]) == (
        "22.50", "2026-03-20 12:00:00Z", "dana",
    )  # fmt: skip
    assert rows_of("operations") == [
        {"sheet": key, "order": "1", "operation": "turning", "tool": "T-1", "holder": "H-1", "rpm": "509",
         "center_height": "0.0040 in", "feed": "0.1 mm"},
        {"sheet": key, "order": "2", "operation": "parting", "tool": "1/8 blade", "caught_by": "a rod"},
    ]  # fmt: skip
    assert rows_of("runs") == [
        {"sheet": key, "ran_on": "2026-03-20", "parts": "12", "each_part_took": "6.50", "note": "Again.",
         "written_by": "dana"}
    ]  # fmt: skip
    assert rows_of("holders") == [{"tool": "T-1", "in_holder": "H-1"}]
