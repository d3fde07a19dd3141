"""The rows of an XLSX file as texts."""

from __future__ import annotations

import io
import warnings
import zipfile
from datetime import date, datetime, time

from inventory.measures import signs
from inventory.transfer.errors import SheetError, refusal
from inventory.transfer.texts import DayCell, ErrorCell, Formula, as_it_was, number_text, readable

MOST_UNPACKED_BYTES = 60 * 1024 * 1024


def xlsx_rows(
    content: bytes, name: str, *, most_rows: int, most_columns: int
) -> tuple[list[list[str]], tuple[str, ...]]:
    """The rows of the first sheet that can be seen, and the names of the others. Raises SheetError.

    One row and one column more than the most are read, so that who asks sees that there are too many.
    """
    _refuse_broken(content, name)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # parts of a spreadsheet that a table of texts has no use for
            return _first_visible(content, most_rows + 2, most_columns + 1)
    except SheetError:
        raise
    except Exception:  # the reader of spreadsheets has no error of its own: a broken part raises anything
        raise _broken(name) from None


def xlsx_tabs(content: bytes, name: str, *, most_rows: int, most_columns: int) -> list[tuple[str, list[list[str]]]]:
    """The title and the rows of every sheet of a spreadsheet. Raises SheetError, also where one has too many rows."""
    # Imported here: it is slow to load, and only a spreadsheet needs it.
    import openpyxl

    _refuse_broken(content, name)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            book = openpyxl.load_workbook(io.BytesIO(content), read_only=True)
            tabs = [
                (signs.shown(sheet.title), _rows(sheet, most_rows + 2, most_columns + 1)) for sheet in book.worksheets
            ]
            book.close()
    except Exception:  # as above
        raise _broken(name) from None
    for title, rows in tabs:
        if len(rows) > most_rows + 1:
            raise refusal(name, f"has more than {most_rows:,} rows in its sheet “{title}”; split it.")
    return tabs


def _broken(name: str) -> SheetError:
    return refusal(name, "is not a spreadsheet, or it is broken; save it again as .xlsx or .csv.")


def _refuse_broken(content: bytes, name: str) -> None:
    broken = _broken(name)
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


def _first_visible(content: bytes, most_rows: int, most_columns: int) -> tuple[list[list[str]], tuple[str, ...]]:
    rows, title, unread = _read(content, most_rows, most_columns)
    if any(isinstance(text, Formula) for row in rows for text in row):
        # The formulas and what they showed come in two readings of the file; most files need only the first.
        shown, _, _ = _read(content, most_rows, most_columns, title=title)
        rows = [_with_shown(row, shown[number] if number < len(shown) else []) for number, row in enumerate(rows)]
    return rows, unread


def _read(
    content: bytes, most_rows: int, most_columns: int, *, title: str | None = None
) -> tuple[list[list[str]], str, tuple[str, ...]]:
    """The rows of the first visible sheet with their formulas, or of the sheet of this title with their values."""
    # Imported here: it is slow to load, and only a spreadsheet needs it.
    import openpyxl

    book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=title is not None)
    sheets = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"] or book.worksheets
    sheet = sheets[0] if title is None else book[title]
    unread = tuple(signs.shown(other.title) for other in book.worksheets if other is not sheet)
    rows = _rows(sheet, most_rows, most_columns)
    book.close()
    return rows, sheet.title, unread


def _rows(sheet, most_rows: int, most_columns: int) -> list[list[str]]:
    sheet.reset_dimensions()
    rows: list[list[str]] = []
    for number, cells in enumerate(sheet.iter_rows()):
        row = without_blank_end([_cell_text(cell) for cell in cells[:most_columns]])
        if number < most_rows or row:
            rows.append(row)
        if number >= most_rows and row:
            break
    while rows and not rows[-1]:
        rows.pop()
    return rows


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
