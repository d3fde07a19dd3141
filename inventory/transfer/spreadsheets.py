"""The rows of an XLSX file as texts."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Iterable
from datetime import date, datetime, time
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from msgspec import Struct

from inventory.measures import signs
from inventory.measures.lengths import shorten
from inventory.transfer.errors import SheetError, refusal
from inventory.transfer.giving_way import give_way
from inventory.transfer.texts import DayCell, ErrorCell, Formula, as_it_was, number_text, readable

if TYPE_CHECKING:
    from openpyxl import Workbook

MOST_UNPACKED_BYTES = 60 * 1024 * 1024
_LOOKED_AT = 40
"""Rows of another tab that are looked at, for what it is and for what its letters stand for."""
_WORDS = 60

_HIDDEN_ROW = re.compile(
    rb"<row\b[^>]*\br=\"(\d+)\"[^>]*\bhidden=\"(?:1|true)\"|<row\b[^>]*\bhidden=\"(?:1|true)\"[^>]*\br=\"(\d+)\""
)
_COLUMN = re.compile(rb"<col\b[^>]*>")
_ATTRIBUTE = re.compile(rb"\b(min|max|hidden)=\"([^\"]*)\"")
_MERGED = re.compile(rb"<mergeCell\b[^>]*\bref=\"([A-Z]{1,3})(\d+):([A-Z]{1,3})(\d+)\"")
_MOST_MERGED = 2_000


class XlsxRows(Struct, frozen=True, kw_only=True):
    """One tab: its rows, its name and those of the others, texts of tabs without a table, what is hidden in it."""

    rows: list[list[str]]
    tab: str
    unread: tuple[str, ...]
    words: tuple[str, ...] = ()
    hidden: frozenset[int] = frozenset()
    hidden_lines: frozenset[int] = frozenset()


class _Layout(Struct, frozen=True, kw_only=True):
    hidden: frozenset[int] = frozenset()
    hidden_lines: frozenset[int] = frozenset()
    merged_down: tuple[tuple[int, int, int], ...] = ()
    """Column, first and last row of cells that are one over several rows, all counted from 0."""


def xlsx_rows(content: bytes, name: str, *, most_rows: int, most_columns: int, tab: str = "") -> XlsxRows:
    """The rows of this tab, or of the first that can be seen. Raises SheetError.

    One row and one column more than the most are read, so that who asks sees that there are too many.
    """
    broken = _refuse_what_is_none(content, name)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # parts of a spreadsheet that a table of texts has no use for
            return _tab(content, name, tab, most_rows + 2, most_columns + 1)
    except SheetError:
        raise
    except Exception:  # the reader of spreadsheets has no error of its own: a broken part raises anything
        raise broken from None


def xlsx_tabs(content: bytes, name: str, *, most_rows: int, most_columns: int) -> list[tuple[str, list[list[str]]]]:
    """The title and the rows of every sheet of a spreadsheet. Raises SheetError, also where one has too many rows."""
    broken = _refuse_what_is_none(content, name)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            book = _opened(content)
            tabs = [
                (signs.shown(sheet.title), _rows_of(sheet, most_rows + 2, most_columns + 1))
                for sheet in book.worksheets
            ]
            book.close()
    except Exception:  # as above
        raise broken from None
    for title, rows in tabs:
        if len(rows) > most_rows + 1:
            raise refusal(name, f"has more than {most_rows:,} rows in its sheet “{title}”; split it.")
    return tabs


def xlsx_tops(content: bytes, name: str, *, most_columns: int) -> dict[str, list[list[str]]]:
    """The first rows of each tab that can be seen, by its name. Raises SheetError."""
    broken = _refuse_what_is_none(content, name)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            book = _opened(content)
            try:
                seen = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
                return {sheet.title: _rows_of(sheet, _LOOKED_AT, most_columns) for sheet in seen}
            finally:
                book.close()
    except Exception:
        raise broken from None


def _refuse_what_is_none(content: bytes, name: str) -> SheetError:
    """The error for a file of which a part is broken; raises it where the file is no spreadsheet at all."""
    broken = refusal(name, "is not a spreadsheet, or it is broken; save it again as .xlsx or .csv.")
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts:
            unpacked = sum(part.file_size for part in parts.infolist())
            is_spreadsheet = "xl/workbook.xml" in parts.namelist()
    except (zipfile.BadZipFile, NotImplementedError, ValueError):
        raise broken from None
    if not is_spreadsheet:
        raise broken
    if unpacked > MOST_UNPACKED_BYTES:
        raise refusal(name, "unpacks to more than a sheet can need; save only the one sheet.")
    return broken


def _tab(content: bytes, name: str, tab: str, most_rows: int, most_columns: int) -> XlsxRows:
    book = _opened(content)
    sheets = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"] or book.worksheets
    if tab:
        wanted = " ".join(tab.split()).casefold()
        sheets = [sheet for sheet in book.worksheets if " ".join(sheet.title.split()).casefold() == wanted]
        if not sheets:
            titles = ", ".join(signs.shown(sheet.title) for sheet in book.worksheets)
            raise SheetError(f"“{shorten(name)}” has no tab “{shorten(tab)}”; it has {titles}.", field="tab", read=tab)
    sheet = sheets[0]
    others = [other for other in book.worksheets if other is not sheet]
    rows = _rows_of(sheet, most_rows, most_columns)
    words = [text for other in others for row in _rows_of(other, _LOOKED_AT, 8) for text in row if "=" in text]
    title = sheet.title
    book.close()
    if any(isinstance(text, Formula) for row in rows for text in row):
        # The formulas and what they showed come in two readings of the file; most files need only the first.
        values = _opened(content, values=True)
        shown = _rows_of(values[title], most_rows, most_columns)
        values.close()
        rows = [_with_shown(row, shown[number] if number < len(shown) else []) for number, row in enumerate(rows)]
    layout = _layout(content, title)
    _fill_merged(rows, layout.merged_down)
    return XlsxRows(
        rows=rows,
        tab=signs.shown(title),
        unread=tuple(signs.shown(other.title) for other in others),
        words=tuple(words[:_WORDS]),
        hidden=layout.hidden,
        hidden_lines=layout.hidden_lines,
    )


def _opened(content: bytes, *, values: bool = False) -> Workbook:
    # Imported here: it is slow to load, and only a spreadsheet needs it.
    import openpyxl

    return openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=values)


def _rows_of(sheet, most_rows: int, most_columns: int) -> list[list[str]]:
    sheet.reset_dimensions()
    rows: list[list[str]] = []
    for number, cells in enumerate(sheet.iter_rows()):
        give_way()
        row = without_blank_end([_cell_text(cell) for cell in cells[:most_columns]])
        if number < most_rows or row:
            rows.append(row)
        if number >= most_rows and row:
            break
    while rows and not rows[-1]:
        rows.pop()
    return rows


def _layout(content: bytes, title: str) -> _Layout:
    """What the reader of rows does not tell of a tab: hidden columns and rows, and cells that are one."""
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        part = _part_of(parts, title)
        if part not in parts.namelist():
            return _Layout()
        xml = parts.read(part)
    head, _, _ = xml.partition(b"<sheetData")
    hidden: set[int] = set()
    for column in _COLUMN.findall(head):
        attributes = dict(_ATTRIBUTE.findall(column))
        if attributes.get(b"hidden") in {b"1", b"true"} and attributes.get(b"min", b"").isdigit():
            last = int(attributes.get(b"max", attributes[b"min"]))
            hidden |= set(range(int(attributes[b"min"]) - 1, min(last, 1000)))
    # Looking for a word takes an instant; the pattern, during which no other thread goes on, a second in a large sheet.
    hidden_rows = _HIDDEN_ROW.findall(xml) if b"hidden" in xml[len(head) :] else []
    lines = frozenset(int(first or second) for first, second in hidden_rows)
    return _Layout(hidden=frozenset(hidden), hidden_lines=lines, merged_down=tuple(_merged_down(xml)))


def _merged_down(xml: bytes) -> Iterable[tuple[int, int, int]]:
    start = xml.rfind(b"<mergeCells")
    for first, top, last, bottom in _MERGED.findall(xml[start:])[:_MOST_MERGED] if start >= 0 else ():
        if first == last and int(bottom) > int(top):
            yield _column_number(first), int(top) - 1, int(bottom) - 1


def _column_number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number - 1


def _part_of(parts: zipfile.ZipFile, title: str) -> str:
    """The part of the file in which the tab of this title stands; empty where that is not said plainly."""
    related = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
    try:
        book = ElementTree.fromstring(parts.read("xl/workbook.xml"))
        targets = ElementTree.fromstring(parts.read("xl/_rels/workbook.xml.rels"))
    except (KeyError, ElementTree.ParseError):
        return ""
    key = next((one.get(related) for one in book.iter() if one.tag.endswith("}sheet") and one.get("name") == title), "")
    target = next((one.get("Target", "") for one in targets.iter() if one.get("Id") == key), "")
    return target.lstrip("/") if target.startswith("/xl/") else f"xl/{target}"


def _fill_merged(rows: list[list[str]], merged: Iterable[tuple[int, int, int]]) -> None:
    """Put what stands in a cell over several rows into each of them."""
    for column, top, bottom in merged:
        if top >= len(rows) or column >= len(rows[top]):
            continue
        text = rows[top][column]
        for row in rows[top + 1 : bottom + 1]:
            # A row of which nothing else is filled in stays empty.
            if row:
                row += [""] * (column + 1 - len(row))
                row[column] = row[column] or text


def _with_shown(row: list[str], shown: list[str]) -> list[str]:
    return [
        Formula(text, shown[place] if place < len(shown) else "") if isinstance(text, Formula) else text
        for place, text in enumerate(row)
    ]


def without_blank_end(row: list[str]) -> list[str]:
    while row and not row[-1].strip():
        row.pop()
    return row


def _cell_text(cell) -> str:
    value = cell.value
    if value is None:
        return ""
    if cell.data_type == "f":
        return Formula(signs.shown(getattr(value, "text", None) or (value if isinstance(value, str) else "=")))
    if cell.data_type == "e":
        return ErrorCell(signs.shown(str(value)))
    if isinstance(value, datetime):
        return DayCell(value.date().isoformat() if value.time() == time() else value.isoformat(" "))
    if isinstance(value, date):
        return DayCell(value.isoformat())
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return number_text(value)
    return readable(as_it_was(str(value)))
