"""Sheets as tables of texts: CSV or XLSX in, CSV or XLSX out.

A row keeps the number that a spreadsheet shows for it. What a spreadsheet may have done to a cell (a formula
behind a value, a fraction turned into a date) is kept with its text, so that it can be refused by name.
"""

from __future__ import annotations

import csv
import io
import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal

import tablib

from inventory.lengths import shorten

MOST_BYTES = 5 * 1024 * 1024
MOST_UNPACKED_BYTES = 60 * 1024 * 1024
MOST_ROWS = 20_000
MOST_COLUMNS = 100

_OLD_SPREADSHEET = b"\xd0\xcf\x11\xe0"
_ZIP = b"PK\x03\x04"
_DELIMITERS = ",;\t"
# What a spreadsheet could take for a formula, behind as many apostrophes as it already has.
_RISKY = re.compile(r"'*[=+\-@\t\r]")
_HARMLESS = re.compile(r"'+[=+\-@\t\r]")
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f]")


class SheetError(ValueError):
    """The file, or what was said about it, cannot be used; the message is one sentence for who sent it."""

    def __init__(self, message: str, *, field: str = "file", read: str = "", suggest: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.field = field
        self.read = read
        self.suggest = suggest


class Formula(str):
    """A cell whose value is worked out by the spreadsheet; the text is the formula."""


class DayCell(str):
    """A cell that a spreadsheet keeps as a date; the text is the date like 2026-03-18."""


class ErrorCell(str):
    """A cell in which a spreadsheet shows an error like #REF!."""


@dataclass(frozen=True)
class Sheet:
    """A table of texts. `headings_line` is the row number of the headings, 1 unless blank rows stand above.

    `unread` are the names of the other sheets of the same file, of which nothing is read.
    """

    name: str
    table: tablib.Dataset
    headings_line: int
    unread: tuple[str, ...] = ()

    @property
    def headings(self) -> list[str]:
        return self.table.headers or []

    def rows(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        """Each row below the headings with its row number."""
        return enumerate(self.table, start=self.headings_line + 1)


def read(content: bytes, *, name: str) -> Sheet:
    """The sheet in a file's bytes; what it is shows in the bytes, not in the name. Raises SheetError."""
    if len(content) > MOST_BYTES:
        raise _refusal(name, "is larger than 5 MB; split the sheet into smaller ones.")
    if not content.strip():
        raise _refusal(name, "is empty.")
    if content.startswith(_OLD_SPREADSHEET):
        raise _refusal(name, "is an old spreadsheet file; save it as .xlsx or .csv.")
    if content.startswith(_ZIP):
        rows, unread = _xlsx_rows(content, name)
        return _sheet(name, rows, unread)
    if name.lower().endswith((".xlsx", ".xlsm")):
        raise _refusal(name, "is not a spreadsheet, or it is broken; save it again as .xlsx or .csv.")
    return _sheet(name, _csv_rows(content, name))


def written(headings: Iterable[str], rows: Iterable[Iterable[str]], *, form: str) -> bytes:
    """The table as a file, `form` being `csv` or `xlsx`; no cell can run as a formula."""
    table = tablib.Dataset(headers=[harmless(heading) for heading in headings])
    for row in rows:
        table.append([harmless(text) for text in row])
    exported = table.export(form)
    # The mark tells a spreadsheet that the texts are UTF-8.
    return exported.encode("utf-8-sig") if isinstance(exported, str) else exported


def harmless(text: str) -> str:
    """The text as it goes into a sheet: one apostrophe more where a spreadsheet could see a formula."""
    return f"'{text}" if _RISKY.match(text) else text


def as_it_was(text: str) -> str:
    """The text that `harmless` was given: one apostrophe fewer where only they keep a formula back."""
    return text[1:] if _HARMLESS.match(text) else text


def _refusal(name: str, what: str) -> SheetError:
    return SheetError(f"“{shorten(name)}” {what}", read=shorten(name))


def _sheet(name: str, rows: list[list[str]], unread: tuple[str, ...] = ()) -> Sheet:
    top = next((index for index, row in enumerate(rows) if any(cell.strip() for cell in row)), None)
    if top is None:
        raise _refusal(name, "is empty.")
    below = rows[top + 1 :]
    if len(below) > MOST_ROWS:
        raise _refusal(name, "has more than 20 000 rows; split the sheet into smaller ones.")
    width = max(len(row) for row in rows[top:])
    if width > MOST_COLUMNS:
        raise _refusal(name, f"has more than {MOST_COLUMNS} columns; remove those that are not needed.")
    padded = [row + [""] * (width - len(row)) for row in rows[top:]]
    table = tablib.Dataset(headers=[" ".join(heading.split()) for heading in padded[0]])
    table.extend(padded[1:])
    return Sheet(name, table, headings_line=top + 1, unread=unread)


def _csv_rows(content: bytes, name: str) -> list[list[str]]:
    text = _decoded(content, name)
    if _CONTROL.search(text):
        raise _refusal(name, "is not a sheet; send a .csv or .xlsx file.")
    delimiter = None
    said = re.match(r"sep=(.)\r?\n", text)
    if said:  # a line for the spreadsheet, which it does not show as a row
        delimiter, text = said[1], text[said.end() :]
    try:
        rows = _parsed(text, delimiter or _delimiter(text))
    except csv.Error as error:
        if "unexpected end" in str(error):
            raise _refusal(name, "cannot be read: a quotation mark is opened and never closed.") from None
        raise _refusal(name, "cannot be read as a sheet; save it again as .csv or .xlsx.") from None
    while rows and not rows[-1]:
        rows.pop()
    return [_without_blank_end([as_it_was(cell) for cell in row]) for row in rows]


def _parsed(text: str, delimiter: str) -> list[list[str]]:
    """All records; a blank line is one too, as it is a row of the spreadsheet."""
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error as error:
        if "unexpected end" in str(error):
            raise
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))


def _delimiter(text: str) -> str:
    """The delimiter that cuts the headings into the most cells."""
    lines = text.lstrip("\r\n,;\t ")
    first = io.StringIO(lines[:20_000], newline="")
    headings = first.readline()
    return max(_DELIMITERS, key=lambda mark: len(next(csv.reader([headings], delimiter=mark), [])))


def _decoded(content: bytes, name: str) -> str:
    for encoding in _encodings(content):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise _refusal(name, "is in no encoding that can be read; save it as CSV in UTF-8.")


def _encodings(content: bytes) -> tuple[str, ...]:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return ("utf-16",)
    start = content[:400]
    # Without a mark, plain letters in UTF-16 show as every other byte being zero.
    if start[1::2].count(0) > len(start) // 4:
        return ("utf-16-le",)
    if start[0::2].count(0) > len(start) // 4:
        return ("utf-16-be",)
    return ("utf-8-sig", "cp1252")


def _xlsx_rows(content: bytes, name: str) -> tuple[list[list[str]], tuple[str, ...]]:
    broken = _refusal(name, "is not a spreadsheet, or it is broken; save it again as .xlsx or .csv.")
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts:
            unpacked = sum(part.file_size for part in parts.infolist())
            is_spreadsheet = "xl/workbook.xml" in parts.namelist()
    except (zipfile.BadZipFile, NotImplementedError, ValueError):
        raise broken from None
    if not is_spreadsheet:
        raise broken
    if unpacked > MOST_UNPACKED_BYTES:
        raise _refusal(name, "unpacks to more than a sheet can need; save only the one sheet.")
    try:
        return _first_visible(content, name)
    except SheetError:
        raise
    except Exception:  # the reader of spreadsheets has no error of its own: a broken part raises anything
        raise broken from None


def _first_visible(content: bytes, name: str) -> tuple[list[list[str]], tuple[str, ...]]:
    """The rows of the first sheet that can be seen, and the names of the others."""
    # Imported here: it is slow to load, and only a spreadsheet needs it.
    import openpyxl

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # parts of a spreadsheet that a table of texts has no use for
        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=False)
        sheets = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"] or book.worksheets
        sheet = sheets[0]
        unread = tuple(other.title for other in book.worksheets if other is not sheet)
        sheet.reset_dimensions()
        rows: list[list[str]] = []
        for number, cells in enumerate(sheet.iter_rows()):
            row = _without_blank_end([_cell_text(cell) for cell in cells[: MOST_COLUMNS + 1]])
            if number <= MOST_ROWS + 1:
                rows.append(row)
            elif row:
                raise _refusal(name, "has more than 20 000 rows; split the sheet into smaller ones.")
        book.close()
    while rows and not rows[-1]:
        rows.pop()
    return rows, unread


def _without_blank_end(row: list[str]) -> list[str]:
    while row and not row[-1].strip():
        row.pop()
    return row


def _cell_text(cell) -> str:
    value = cell.value
    if value is None:
        return ""
    if cell.data_type == "f":
        return Formula(getattr(value, "text", None) or (value if isinstance(value, str) else "="))
    if cell.data_type == "e":
        return ErrorCell(value)
    if isinstance(value, datetime):
        return DayCell(value.date().isoformat() if value.time() == time() else value.isoformat(" "))
    if isinstance(value, date):
        return DayCell(value.isoformat())
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number_text(value)
    return as_it_was(str(value))


def _number_text(value: int | float) -> str:
    """As many figures as a spreadsheet keeps, 15, and no exponent."""
    text = format(Decimal(format(value, ".15g")), "f")
    return text.rstrip("0").removesuffix(".") if "." in text else text
