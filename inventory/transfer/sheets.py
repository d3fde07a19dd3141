"""Sheets as tables of texts: CSV or XLSX in, CSV or XLSX out.

A row keeps the number that a spreadsheet shows for it. What a spreadsheet may have done to a cell (a formula
behind a value, a fraction turned into a date) is kept with its text, so that it can be refused by name.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Iterator

import tablib
from msgspec import Struct

from inventory.measures import signs
from inventory.measures.lengths import shorten
from inventory.pieces.fields import SHEET_FIELDS
from inventory.transfer import headings
from inventory.transfer.errors import SheetError, refusal
from inventory.transfer.giving_way import give_way
from inventory.transfer.reading import tables
from inventory.transfer.reading.vocabulary import language_of
from inventory.transfer.spreadsheets import without_blank_end, xlsx_rows, xlsx_tops
from inventory.transfer.texts import as_it_was, harmless, readable

MOST_BYTES = 5 * 1024 * 1024
MOST_ROWS = 20_000
MOST_COLUMNS = 100

_OLD_SPREADSHEET = b"\xd0\xcf\x11\xe0"
ZIP = b"PK\x03\x04"
_DELIMITERS = ",;\t|"
_MOST_BAD = 50
"""One bad sign in so many: a picture or a program, not a sheet in which one went astray."""
_LOOKED_THROUGH = 20
"""Rows from the top among which the headings are looked for."""


class Sheet(Struct, frozen=True):
    """A table of texts below its headings. `headings_line` is the row number of the headings.

    `unread` are the names of the other sheets of the same file, of which nothing is read. `beside` are texts above the
    headings and on sheets of words only; `hidden` are the columns that a spreadsheet does not show.
    """

    name: str
    headings: list[str]
    lines: tuple[tuple[str, ...], ...]
    headings_line: int
    unread: tuple[str, ...] = ()
    tab: str = ""
    beside: tuple[str, ...] = ()
    hidden: frozenset[int] = frozenset()
    hidden_lines: frozenset[int] = frozenset()

    def rows(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        """Each row below the headings with its row number."""
        return enumerate(self.lines, start=self.headings_line + 1)


class Grid(Struct, frozen=True):
    """All rows of a file as they stand there; none is known to be the headings yet."""

    name: str
    rows: list[list[str]]
    unread: tuple[str, ...] = ()
    tab: str = ""
    words: tuple[str, ...] = ()
    hidden: frozenset[int] = frozenset()
    hidden_lines: frozenset[int] = frozenset()

    def sheet(self, headings_line: int | None = None) -> Sheet:
        """The table below the row of the headings, which is found where it is not said. Raises SheetError."""
        top = self.headings_line() - 1 if headings_line is None else headings_line - 1
        below = self.rows[top + 1 :]
        if len(below) > MOST_ROWS:
            raise refusal(self.name, "has more than 20 000 rows; split the sheet into smaller ones.")
        width = max(len(row) for row in self.rows[top:])
        if width > MOST_COLUMNS:
            raise refusal(self.name, f"has more than {MOST_COLUMNS} columns; remove those that are not needed.")
        named, *lines = (row + [""] * (width - len(row)) for row in self.rows[top:])
        texts = [" ".join(heading.split()) for heading in named]
        language = language_of(texts)
        both = tables.second_headings(texts, lines[0], language) if lines else None
        if both is not None:
            texts, lines, top = [" ".join(heading.split()) for heading in both], lines[1:], top + 1
        elif top:
            texts = tables.under_groups(self.rows[top - 1], texts, language)
        texts, lines = tables.joined_columns(texts, tables.without_dittos(lines), language, but=headings.is_of_a_piece)
        return Sheet(
            self.name,
            texts,
            tuple(map(tuple, lines)),
            headings_line=top + 1,
            unread=self.unread,
            tab=self.tab,
            beside=(*(text for row in self.rows[:top] for text in row if text.strip()), *self.words),
            hidden=self.hidden,
            hidden_lines=self.hidden_lines,
        )

    def headings_line(self) -> int:
        """The row number of the headings: the first row, unless one below it knows clearly more of our words.

        Shops put a title above their headings; it fills one cell, or says nothing that a heading says.
        """
        filled = [place for place, row in enumerate(self.rows) if any(cell.strip() for cell in row)]
        if not filled:
            raise refusal(self.name, "is empty.")
        best, known = filled[0], _known_headings(self.rows[filled[0]])
        is_title = sum(bool(cell.strip()) for cell in self.rows[best]) == 1
        for place in filled[1:_LOOKED_THROUGH]:
            here = _known_headings(self.rows[place])
            if here >= known + (1 if is_title else 2):
                best, known, is_title = place, here, False
        return best + 1


def _known_headings(row: list[str]) -> int:
    """How many different fields a row names, as headings would."""
    return len({headings.field_of(cell) for cell in row} - {None})


def pieces_known(grid: Grid) -> bool:
    """Whether the headings of a table tell of pieces: what they are or which size they have, and more."""
    if not any(any(cell.strip() for cell in row) for row in grid.rows):
        return False
    fields = {headings.field_of(cell) for cell in grid.rows[grid.headings_line() - 1]} - {None}
    return len(fields) >= 2 and bool(fields & {"kind", "size", "series"})


def read(content: bytes, *, name: str, tab: str = "") -> Sheet:
    """The sheet in a file's bytes. Raises SheetError."""
    return grid(content, name=name, tab=tab).sheet()


def tabs_of_pieces(content: bytes, *, name: str) -> list[str]:
    """The tabs of a spreadsheet that can be seen and tell of pieces; none where it has only one tab.

    Raises SheetError.
    """
    if not content.startswith(ZIP) or len(content) > MOST_BYTES:
        return []
    tabs = xlsx_tops(content, name, most_columns=MOST_COLUMNS)
    if len(tabs) < 2:
        return []
    ours = [tab for tab, rows in tabs.items() if rows and rows[0] == list(SHEET_FIELDS)]
    return ours[:1] or [tab for tab, rows in tabs.items() if pieces_known(Grid(name, rows))]


def grid(content: bytes, *, name: str, tab: str = "") -> Grid:
    """The rows in a file's bytes; what it is shows in the bytes, not in the name. Raises SheetError.

    `tab` is the sheet of a spreadsheet that is read; else the first that can be seen and tells of pieces.
    """
    if len(content) > MOST_BYTES:
        raise refusal(name, "is larger than 5 MB; split the sheet into smaller ones.")
    if not content.strip():
        raise refusal(name, "is empty.")
    if content.startswith(_OLD_SPREADSHEET):
        raise refusal(name, "is an old spreadsheet file; save it as .xlsx or .csv.")
    if content.startswith(ZIP):
        chosen = tab or next(iter(tabs_of_pieces(content, name=name)), "")
        read = xlsx_rows(content, name, most_rows=MOST_ROWS, most_columns=MOST_COLUMNS, tab=chosen)
        return Grid(
            name, read.rows, read.unread, read.tab, read.words, hidden=read.hidden, hidden_lines=read.hidden_lines
        )
    if tab:
        raise SheetError(f"“{shorten(name)}” is no workbook, it has no tabs.", field="tab", read=shorten(tab))
    if name.lower().endswith((".xlsx", ".xlsm")):
        raise refusal(name, "is not a spreadsheet, or it is broken; save it again as .xlsx or .csv.")
    return Grid(name, _csv_rows(content, name))


def file_of(
    headings: Iterable[str],
    rows: Iterable[Iterable[str]],
    *,
    form: str,
    beside: tablib.Dataset | None = None,
    title: str = "Tooling",
) -> bytes:
    """The table as a file, `form` being `csv` or `xlsx`; no cell can run as a formula.

    `beside` becomes a second sheet of an XLSX file.
    """
    table = table_of(headings, rows, title=title)
    if form == "xlsx" and beside is not None:
        return tablib.Databook([table, beside]).export("xlsx")
    exported = table.export(form)
    # The mark tells a spreadsheet that the texts are UTF-8.
    return exported.encode("utf-8-sig") if isinstance(exported, str) else exported


def table_of(headings: Iterable[str], rows: Iterable[Iterable[str]], *, title: str) -> tablib.Dataset:
    """The table as a file has it: no cell of it can run as a formula."""
    table = tablib.Dataset(headers=[harmless(signs.shown(heading)) for heading in headings], title=title)
    for row in rows:
        table.append([harmless(signs.shown(text)) for text in row])
    return table


def _csv_rows(content: bytes, name: str) -> list[list[str]]:
    text = _decoded(content, name)
    if signs.how_many_bad(text) * _MOST_BAD > len(text):
        raise refusal(name, "is not a sheet; send a .csv or .xlsx file.")
    delimiter = None
    first_line = re.match(r"sep=(.)\r?\n", text)
    if first_line:  # a line for the spreadsheet, which it does not show as a row
        delimiter, text = first_line[1], text[first_line.end() :]
    try:
        rows = _parsed(text, delimiter or _delimiter(text))
    except csv.Error as error:
        if "unexpected end" in str(error):
            raise refusal(name, "cannot be read: a quotation mark is opened and never closed.") from None
        raise refusal(name, "cannot be read as a sheet; save it again as .csv or .xlsx.") from None
    while rows and not rows[-1]:
        rows.pop()
    return [[readable(as_it_was(cell)) for cell in row] for row in rows]


def _parsed(text: str, delimiter: str) -> list[list[str]]:
    """All records; a blank line is one too, as it is a row of the spreadsheet."""
    try:
        return _bounded(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error as error:
        if "unexpected end" in str(error):
            raise
        return _bounded(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))


def _bounded(records: Iterable[list[str]]) -> list[list[str]]:
    """No more rows and cells than are needed to see that there are too many, of however many that are blank."""
    rows: list[list[str]] = []
    for number, record in enumerate(records):
        if number % 100 == 0:
            give_way()
        # A row of delimiters only is a row of the spreadsheet, which a blank line at the end is not.
        row = without_blank_end(list(record)) or record[:1]
        if len(row) > MOST_COLUMNS + 1:
            row = [*row[:MOST_COLUMNS], row[-1]]
        if len(rows) < MOST_ROWS + _LOOKED_THROUGH:
            rows.append(row)
        elif any(row):
            return [*rows, row]
    return rows


def _delimiter(text: str) -> str:
    """The delimiter that cuts the most of the first rows into the same number of cells, and into the most cells.

    A title above the table, and a decimal comma inside a cell, cut few rows alike.
    """
    first = text.lstrip("\r\n,;\t ")[:20_000].splitlines()[:40]
    # What was cut off in the middle, and a title in one cell, tell nothing.
    lines = [line for line in first if line.strip(_DELIMITERS + " ")]

    def cuts(mark: str) -> tuple[int, int]:
        widths = [len(next(csv.reader([line], delimiter=mark), [])) for line in lines]
        wide = Counter(width for width in widths if width > 1)
        width, alike = max(wide.items(), key=lambda pair: (pair[1] * (pair[0] - 1), pair[0]), default=(1, 0))
        return alike * (width - 1), width

    return max(_DELIMITERS, key=cuts)


def _decoded(content: bytes, name: str) -> str:
    for encoding in _encodings(content):
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        return _of_the_east(content, text) if encoding == "cp1252" else text
    raise refusal(name, "is in no encoding that can be read; save it as CSV in UTF-8.")


def _of_the_east(content: bytes, western: str) -> str:
    """The text in the code page of central Europe or of Cyrillic, where it makes words there and none in the west."""
    if len(re.findall(r"[À-ÿ]{3,}", western)) > len(re.findall(r"[A-Za-z]{3,}", western)):
        return content.decode("cp1251", errors="replace")
    if len(re.findall(r"[A-Za-z][³¹¿¶](?=[a-z])", western)) > 1:
        try:
            return content.decode("cp1250")
        except UnicodeDecodeError:
            return western
    return western


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
