import json

import pytest
from django.core.management import call_command

from inventory.models import SheetImport, Tool
from tests import factories

pytestmark = pytest.mark.django_db

GOOD = "Tag,Kind,Series,Size\nC-1,collet,5C,3/4\n"
MIXED = GOOD + "C-2,collet,5C,three quarters\n,,,\n"


@pytest.fixture
def sheet(tmp_path):
    def sheet(text, name="crib.csv"):
        path = tmp_path / name
        path.write_text(text)
        return str(path)

    return sheet


def exit_of(*arguments):
    try:
        call_command(*arguments)
    except SystemExit as ended:
        return ended.code
    return 0


def test_a_sheet_without_trouble_ends_with_0(sheet, capsys):
    assert exit_of("import_sheet", sheet(GOOD)) == 0

    assert capsys.readouterr().out.startswith("1 rows: 1 added, 0 updated")
    assert Tool.objects.get().tag == "C-1"


def test_refused_rows_are_named_and_end_with_1(sheet, capsys):
    assert exit_of("import_sheet", sheet(MIXED)) == 1

    assert "Row 3, size: “three quarters” cannot be read" in capsys.readouterr().out
    assert Tool.objects.count() == 1


def test_the_report_as_json(sheet, capsys):
    assert exit_of("import_sheet", sheet(MIXED), "--json") == 1

    report = json.loads(capsys.readouterr().out)
    (row,) = report.pop("refused")
    assert report.pop("import") == SheetImport.objects.get().pk
    assert report == {
        "rows": 3,
        "added": 1,
        "updated": 0,
        "unchanged": 0,
        "details_missing": 0,
        "empty": 1,
        "asked": [],
    }
    assert {name: row[name] for name in ("line", "field", "read", "also")} == {
        "line": 3,
        "field": "size",
        "read": "three quarters",
        "also": [],
    }


def test_a_dry_run_writes_nothing(sheet, capsys):
    assert exit_of("import_sheet", sheet(GOOD), "--dry-run") == 0

    assert "Nothing was written." in capsys.readouterr().out
    assert not Tool.objects.exists()


def test_headings_are_mapped_by_hand(sheet):
    path = sheet("Peg,Kind,Series,Gr\u00f6\u00dfe\nC-1,collet,5C,3/4\n")

    assert exit_of("import_sheet", path, "--map", "Peg=tag", "--map", "Gr\u00f6\u00dfe=size") == 0

    assert Tool.objects.get().tag == "C-1"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--map", "Peg=tag"], "“Peg” is no heading"),
        (["--map", "Tag=peg"], "names no field"),
        (["--dates", "ydm"], "--dates is “ydm”; it accepts dmy or mdy."),
        (["--unit", "cm"], "--unit is “cm”; it accepts in or mm."),
    ],
)
def test_an_option_that_cannot_be_read_ends_with_2_and_a_sentence(sheet, capsys, arguments, said):
    assert exit_of("import_sheet", sheet(GOOD), *arguments) == 2

    told = capsys.readouterr()
    assert said in told.err
    assert told.out == ""
    assert not Tool.objects.exists()


def test_a_file_that_is_not_there_ends_with_2(tmp_path, capsys):
    assert exit_of("import_sheet", str(tmp_path / "no.csv")) == 2

    assert capsys.readouterr().err.strip() == "“no.csv” cannot be opened: no such file or directory."


def test_a_file_that_is_no_sheet_is_an_error_object_with_json(sheet, capsys):
    assert exit_of("import_sheet", sheet("no sheet", name="crib.xlsx"), "--json") == 2

    error = json.loads(capsys.readouterr().out)["error"]
    assert set(error) == {"field", "read", "message", "suggest"}
    assert (error["field"], error["read"]) == ("file", "crib.xlsx")


@pytest.mark.parametrize("name", ["book.csv", "book.xlsx", "BOOK.CSV"])
def test_the_book_is_written_and_read_back_without_a_difference(tmp_path, capsys, name):
    factories.collet("3/4", tag="C-1")
    path = str(tmp_path / name)

    assert exit_of("export_sheet", path) == 0
    capsys.readouterr()
    assert exit_of("import_sheet", path, "--json") == 0

    assert json.loads(capsys.readouterr().out)["unchanged"] == 1


def test_a_file_of_another_ending_is_not_written(tmp_path, capsys):
    path = tmp_path / "book.txt"

    assert exit_of("export_sheet", str(path)) == 2

    assert "use .csv or .xlsx" in capsys.readouterr().err
    assert not path.exists()


def test_a_folder_that_is_not_there_ends_with_2(tmp_path, capsys):
    assert exit_of("export_sheet", str(tmp_path / "no" / "book.csv")) == 2

    assert "cannot be written" in capsys.readouterr().err
