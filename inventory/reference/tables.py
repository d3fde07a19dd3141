"""Reading a table of `data/`: rows whose cells turn into lengths, numbers and words, without a float.

`read` makes a frozen object of each row: a column that is wanted is a field of the same name, and a figure that is
wrong is put right in its row.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import cache
from pathlib import Path
from types import UnionType
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import fields

from inventory.measures.lengths import Length

DATA = Path(__file__).parent / "data"

BASES = ("published-seen", "published-from-memory", "common-practice")
"""How far a row can be trusted; the package's docstring says what each word means."""


class TableRow(Struct, frozen=True):
    """One row of a table. An empty cell reads as None (`maybe_…`) or is an error in the table."""

    cells: dict[str, str]

    def text(self, column: str) -> str:
        return self.cells[column]

    def flag(self, column: str) -> bool:
        """Whether the cell says `yes`. Raises KeyError for anything but yes, no and an empty cell."""
        return {"yes": True, "no": False, "": False}[self.cells[column]]

    def length(self, column: str) -> Length:
        return as_length(self.cells[column])

    def maybe_length(self, column: str) -> Length | None:
        return as_length(self.cells[column]) if self.cells[column] else None

    def number(self, column: str) -> Fraction:
        return as_number(self.cells[column])

    def maybe_number(self, column: str) -> Fraction | None:
        return as_number(self.cells[column]) if self.cells[column] else None

    @property
    def source(self) -> str:
        """The citations of the row as one text."""
        return "; ".join(_citations()[key] for key in self.cells["source"].split())

    @property
    def basis(self) -> str:
        """One of `BASES`."""
        return self.cells["basis"]


def rows(table: str) -> Iterator[TableRow]:
    """The rows of `data/<table>.csv` in the order of the file."""
    with (DATA / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        yield from (TableRow(cells) for cells in csv.DictReader(file))


Cell = str | bool | Length | Fraction | None
_CELLS: dict[type | UnionType, Callable[[TableRow, str], Cell]] = {
    str: TableRow.text,
    bool: TableRow.flag,
    Length: TableRow.length,
    Length | None: TableRow.maybe_length,
    Fraction: TableRow.number,
    Fraction | None: TableRow.maybe_number,
}
Entry = TypeVar("Entry", bound=Struct)


def read(table: str, of: type[Entry]) -> tuple[Entry, ...]:
    """Each row of `data/<table>.csv` as an `of`, whose fields say which columns are read and as what.

    Raises KeyError where a column is missing or a field is of a type that no cell has.
    """
    columns = {field.name: _CELLS[field.type] for field in fields(of)}
    if "source" in columns:
        columns["source"] = lambda row, _: row.source
    return tuple(of(**{name: cell(row, name) for name, cell in columns.items()}) for row in rows(table))


def as_number(text: str) -> Fraction:
    """`0.005`, `3/4` or `1-1/8`, exactly. Raises ValueError for anything else."""
    units, dash, part = text.partition("-")
    return int(units) + Fraction(part) if dash else Fraction(text)


def as_length(text: str) -> Length:
    """A number and its unit, `1-1/8 in` or `0.5 mm`; zero too, which `lengths.parse` refuses.

    Raises ValueError or KeyError for anything else.
    """
    number, unit = text.split(" ")
    return {"in": Length.inches, "mm": Length.mm}[unit](as_number(number))


@cache
def _citations() -> dict[str, str]:
    return {row.text("key"): row.text("citation") for row in rows("sources")}
