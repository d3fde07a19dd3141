"""Reading and writing of sheets. Spreadsheets are made with openpyxl, which stands outside the project."""

import csv
import io
import json
import re
import zipfile
from datetime import date, datetime

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.transfer import sheets, spreadsheets, texts
from inventory.transfer.errors import SheetError
from inventory.transfer.texts import DayCell, ErrorCell, Formula


def csv_sheet(text, *, encoding="utf-8"):
    return sheets.read(text.encode(encoding), name="crib.csv")


def xlsx(*rows):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def lines_of(sheet):
    return {row[0]: line for line, row in sheet.rows() if row[0]}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_a_csv_is_read_in_the_encodings_of_spreadsheets(encoding):
    sheet = csv_sheet("Tag,Remarks\nC-1,½ wörn\n", encoding=encoding)

    assert list(sheet.rows()) == [(2, ("C-1", "½ wörn"))]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_a_csv_is_cut_at_commas_semicolons_or_tabs(delimiter):
    sheet = csv_sheet(f"Tag{delimiter}Size\nC-1{delimiter}3/4\n")

    assert sheet.headings == ["Tag", "Size"]
    assert list(sheet.rows()) == [(2, ("C-1", "3/4"))]


def test_a_decimal_comma_does_not_cut_a_sheet_with_semicolons():
    sheet = csv_sheet("Tag;Size\nC-1;19,05 mm\n")

    assert list(sheet.rows()) == [(2, ("C-1", "19,05 mm"))]


def test_a_line_that_names_the_delimiter_is_no_row_of_the_spreadsheet():
    sheet = csv_sheet("sep=;\r\nTag;Size\r\nC-1;1\r\n")

    assert lines_of(sheet) == {"C-1": 2}


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_blank_lines_and_quoted_line_breaks_do_not_shift_the_row_number(end):
    lines = ["Tag,Remarks", "C-1,", "", f'C-2,"two{end}lines"', ",", "C-3,", "", ""]

    sheet = csv_sheet(end.join(lines))

    assert lines_of(sheet) == {"C-1": 2, "C-2": 4, "C-3": 6}
    assert [line for line, _ in sheet.rows()] == [2, 3, 4, 5, 6]


def test_headings_below_blank_rows_keep_the_row_numbers_of_the_spreadsheet():
    assert lines_of(csv_sheet("\n\nTag,Size\nC-1,1\n")) == {"C-1": 4}


def test_rows_shorter_and_longer_than_the_headings_are_kept():
    sheet = csv_sheet("Tag,Size\nC-1\nC-2,1,seen\n")

    assert [row for _, row in sheet.rows()] == [("C-1", "", ""), ("C-2", "1", "seen")]


def test_an_inch_mark_in_the_middle_of_a_cell_is_a_text():
    assert [row for _, row in csv_sheet('Tag,Size\nC-1,3/4"\nC-2,"3/4"" hex"\n').rows()] == [
        ("C-1", '3/4"'),
        ("C-2", '3/4" hex'),
    ]


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (b"", "a.csv", "is empty"),
        (b"\n \n", "a.csv", "is empty"),
        (b'Tag,Size\nC-1,"3/4\nC-2,1\n', "a.csv", "never closed"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "a.csv", "is not a sheet"),
        (b"Tag,Size\n", "a.xlsx", "not a spreadsheet"),
        (b"PK\x03\x04 and no more", "a.xlsx", "not a spreadsheet"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "a.xls", "save it as .xlsx"),
        (b"x" * (sheets.MOST_BYTES + 1), "a.csv", "larger than 5 MB"),
        (b"Tag\n" + b"C-1\n" * (sheets.MOST_ROWS + 1), "a.csv", "more than 20 000 rows"),
        (b"Tag" + b",x" * sheets.MOST_COLUMNS, "a.csv", "more than 100 columns"),
    ],
    ids=["empty", "blank", "open quote", "picture", "text", "cut off", "old", "large", "long", "wide"],
)
def test_a_file_that_is_no_sheet_is_answered_with_one_sentence(content, name, said):
    with pytest.raises(SheetError, match=said) as caught:
        sheets.read(content, name=name)

    assert name in caught.value.message
    assert caught.value.message.count(". ") == 0


def test_a_spreadsheet_of_which_a_part_is_broken_is_answered_with_one_sentence():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as parts:
        parts.writestr("xl/workbook.xml", "<workbook")

    with pytest.raises(SheetError, match="broken"):
        sheets.read(file.getvalue(), name="crib.xlsx")


def test_another_kind_of_zip_is_no_spreadsheet():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as parts:
        parts.writestr("letter.txt", "hello")

    with pytest.raises(SheetError, match="not a spreadsheet"):
        sheets.read(file.getvalue(), name="crib.xlsx")


def test_a_spreadsheet_that_unpacks_to_very_much_is_refused_before_it_is_unpacked():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/workbook.xml", b" " * (spreadsheets.MOST_UNPACKED_BYTES + 1))

    with pytest.raises(SheetError, match="unpacks to more"):
        sheets.read(file.getvalue(), name="crib.xlsx")


def test_the_cells_of_a_spreadsheet_become_short_exact_texts():
    content = xlsx(["Tag", "Size", "Paid", "Jaws"], ["C-1", 0.375, 28, True], ["C-2", 0.1 + 0.2, 31.5, None])

    assert [row for _, row in sheets.read(content, name="crib.xlsx").rows()] == [
        ("C-1", "0.375", "28", "yes"),
        ("C-2", "0.3", "31.5", ""),
    ]


def test_a_very_small_number_of_a_spreadsheet_has_no_exponent():
    content = xlsx(["Tag", "TIR"], ["C-1", 0.00005])

    assert [row for _, row in sheets.read(content, name="crib.xlsx").rows()] == [("C-1", "0.00005")]


def test_a_formula_a_date_and_an_error_of_a_spreadsheet_are_kept_apart_from_texts():
    content = xlsx(["Tag", "Size", "Checked"], ["C-1", "=5/8", date(2026, 3, 18)], ["C-2", "#REF!", None])

    (_, first), (_, second) = sheets.read(content, name="crib.xlsx").rows()

    assert (type(first[1]), first[1]) == (Formula, "=5/8")
    assert (type(first[2]), first[2]) == (DayCell, "2026-03-18")
    assert (type(second[1]), second[1]) == (ErrorCell, "#REF!")


def test_a_time_beside_a_date_is_kept():
    content = xlsx(["Tag", "Checked"], ["C-1", datetime(2026, 3, 18, 14, 30)])

    assert [row for _, row in sheets.read(content, name="crib.xlsx").rows()] == [("C-1", "2026-03-18 14:30:00")]


def test_the_row_numbers_of_a_spreadsheet_are_its_own():
    content = xlsx(["Tag"], ["C-1"], [], [None], ["C-2"], [None])

    sheet = sheets.read(content, name="crib.xlsx")

    assert lines_of(sheet) == {"C-1": 2, "C-2": 5}
    assert len(list(sheet.rows())) == 4


def test_the_first_sheet_that_can_be_seen_is_read():
    book = openpyxl.Workbook()
    book.active.append(["Old"])
    book.active.sheet_state = "hidden"
    book.create_sheet("Crib").append(["Tag"])
    file = io.BytesIO()
    book.save(file)

    assert sheets.read(file.getvalue(), name="crib.xlsx").headings == ["Tag"]


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1/4", "@me", "\tx", "\rx", "'=1", "''-x"])
def test_what_a_spreadsheet_could_take_for_a_formula_goes_out_behind_an_apostrophe(text):
    assert texts.harmless(text) == "'" + text


@pytest.mark.parametrize("text", ["3/4", "", "'tis", "D1-4", "a=b", "''"])
def test_what_no_spreadsheet_takes_for_a_formula_goes_out_as_it_is(text):
    assert texts.harmless(text) == text


@given(st.text(alphabet="'=+-@\t\rab", max_size=6))
def test_what_was_made_harmless_is_read_as_it_was(text):
    assert texts.as_it_was(texts.harmless(text)) == text
    assert not texts.harmless(text).startswith(tuple("=+-@\t\r"))


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_written_sheet_is_read_back_without_a_difference(form):
    row = ("=1+1", "'=x", "-1/4", "two\nlines", '½; 3/4"', "'tis", "0012", "")

    content = sheets.file_of(["Tag", *"abcdefg"], [row], form=form)

    assert [read for _, read in sheets.read(content, name=f"crib.{form}").rows()] == [row]


def test_a_written_csv_is_one_to_the_csv_reader_of_python():
    content = sheets.file_of(["Tag", "Notes"], [["C-1", 'a, "b"\nc']], form="csv")

    assert list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""))) == [
        ["Tag", "Notes"],
        ["C-1", 'a, "b"\nc'],
    ]


def test_the_other_sheets_of_a_file_are_named_also_where_they_are_hidden():
    book = openpyxl.Workbook()
    book.active.title = "Old"
    book.active.sheet_state = "hidden"
    book.create_sheet("Crib").append(["Tag"])
    book.create_sheet("Chucks")
    file = io.BytesIO()
    book.save(file)

    assert sheets.read(file.getvalue(), name="crib.xlsx").unread == ("Old", "Chucks")


def test_a_csv_has_no_other_sheets():
    assert csv_sheet("Tag\nC-1\n").unread == ()


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("Tag,Kind,Size\nC-1,collet,1\n", 1),
        ("Tooling of the shop\n\nTag,Kind,Size\nC-1,collet,1\n", 3),
        ("Tooling,,\nPrinted,2026-03-18,\nTag,Kind,Size\nC-1,collet,1\n", 3),
        ("Crib list\nPeg,Tag\n7,C-1\n", 2),
        ("Name,Colour\nDot,red\n", 1),
        ("Tag,Place\nrack,bin\nC-1,shelf\n", 1),
    ],
)
def test_the_headings_are_found_below_titles(text, line):
    assert csv_sheet(text).headings_line == line


def test_the_row_of_the_headings_can_be_said():
    sheet = sheets.grid(b"Tag,Kind\nPeg,What\nC-1,collet\n", name="crib.csv").sheet(2)

    assert (sheet.headings, list(sheet.rows())) == (["Peg", "What"], [(3, ("C-1", "collet"))])


def test_what_a_spreadsheet_showed_for_a_formula_is_kept_with_it():
    book = openpyxl.Workbook()
    book.active.append(["Tag", "Size"])
    book.active.append(["C-1", "=5/8"])
    file = io.BytesIO()
    book.save(file)
    # openpyxl works nothing out: the value that a spreadsheet keeps beside the formula is put in by hand.
    worked_out = io.BytesIO()
    with zipfile.ZipFile(file) as parts, zipfile.ZipFile(worked_out, "w") as copied:
        for part in parts.namelist():
            copied.writestr(part, re.sub(rb"<f>5/8</f><v ?/?>(</v>)?", b"<f>5/8</f><v>0.625</v>", parts.read(part)))

    ((_, row),) = sheets.read(worked_out.getvalue(), name="crib.xlsx").rows()

    assert (row[1], row[1].shown) == ("=5/8", "0.625")


@given(
    st.lists(
        st.one_of(
            st.text(max_size=5),
            st.builds(Formula, st.text(max_size=5), st.text(max_size=5)),
            st.builds(DayCell, st.text(max_size=5)),
            st.builds(ErrorCell, st.text(max_size=5)),
        )
    )
)
def test_texts_that_are_kept_come_back_as_they_were(row):
    back = [texts.unpacked(json.loads(json.dumps(texts.packed(text)))) for text in row]

    assert [(type(text), text, getattr(text, "shown", "")) for text in back] == [
        (type(text), text, getattr(text, "shown", "")) for text in row
    ]


def test_millions_of_blank_lines_cost_no_more_than_a_sheet_may_have():
    blank = sheets.grid(b"tag,kind\nC-1,collet\n" + b"\n" * 3_000_000, name="a.csv")
    far = sheets.grid(b"tag,kind\n" + b"\n" * 3_000_000 + b"C-1,collet\n", name="a.csv")

    assert blank.rows == [["tag", "kind"], ["C-1", "collet"]]
    assert len(far.rows) <= sheets.MOST_ROWS + 30
    with pytest.raises(SheetError, match="more than 20 000 rows"):
        far.sheet()


@pytest.mark.parametrize(
    ("cells", "refused"), [(b"," * 1_000_000, False), (b"," * 99 + b"x", False), (b"," * 1_000_000 + b"x", True)]
)
def test_a_row_of_a_million_cells_is_cut_where_it_says_nothing_and_refused_where_it_does(cells, refused):
    grid = sheets.grid(b"tag,kind\nC-1,collet\n" + cells + b"\n", name="a.csv")

    assert max(len(row) for row in grid.rows) <= sheets.MOST_COLUMNS + 1
    if refused:
        with pytest.raises(SheetError, match="more than 100 columns"):
            grid.sheet()
    else:
        grid.sheet()
