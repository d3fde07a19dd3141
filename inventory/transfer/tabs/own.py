"""A workbook that Gripbook wrote, or one table of it, known by its headings."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from inventory.pieces.fields import SHEET_FIELDS
from inventory.transfer import sheets
from inventory.transfer.sheets import Grid
from inventory.transfer.spreadsheets import xlsx_tabs
from inventory.transfer.tabs.entering import OwnTab
from inventory.transfer.tabs.tables import TABLES, TabTable


class OwnWorkbook(Struct, frozen=True):
    """What is read of a file: its pieces, where it has such a tab, and the other tables; the rest is `unread`."""

    name: str
    pieces: Grid | None
    tabs: tuple[tuple[TabTable, OwnTab], ...]
    unread: tuple[str, ...] = ()

    def of(self, table: TabTable) -> Iterator[OwnTab]:
        return (tab for one, tab in self.tabs if one is table)


def own_workbook(content: bytes, *, name: str) -> OwnWorkbook | None:
    """The tables in a file's bytes; None where it has none but pieces, which any sheet may have. Raises SheetError."""
    if content.startswith(sheets.ZIP):
        read = xlsx_tabs(content, name, most_rows=sheets.MOST_ROWS, most_columns=sheets.MOST_COLUMNS)
    else:
        read = [("", sheets.grid(content, name=name).rows)]
    tabs: list[tuple[TabTable, OwnTab]] = []
    pieces, unread = None, []
    for title, rows in read:
        headings = _headings(rows)
        table = _table_of(headings)
        if table is not None:
            tabs.append((table, OwnTab(title or table.title, tuple(_by_heading(rows)))))
        elif pieces is None and set(headings) == set(SHEET_FIELDS):
            pieces = Grid(name, rows)
        elif rows:
            unread.append(title)
    return OwnWorkbook(name, pieces, tuple(tabs), tuple(unread)) if tabs else None


def _headings(rows: list[list[str]]) -> list[str]:
    return [text.strip().lower() for text in rows[0]] if rows else []


def _table_of(headings: list[str]) -> TabTable | None:
    """The table with these headings in any order; columns that somebody added are no hindrance."""
    return next((table for table in TABLES if set(table.headings) <= set(headings)), None)


def _by_heading(rows: list[list[str]]) -> Iterator[tuple[int, dict[str, str]]]:
    headings = _headings(rows)
    for line, row in enumerate(rows[1:], start=2):
        if any(text.strip() for text in row):
            yield line, dict(zip(headings, row, strict=False))
