"""Every figure of the tables, and the tables with one of them falsified."""

from __future__ import annotations

import csv
import functools
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from msgspec import Struct

from inventory.reference import tables
from inventory.reference.catalog import TABLES
from tests.witness.lies import FLAGS, NAMED_NUMBER, NUMBER, Lie, lies_about

NO_TABLES = {"sources", "unwitnessed", "none_on_file"}
"""Citations and reasons: their numbers name prints, pages and years."""
NO_FIGURES = {"source", "basis", "standard", "unit"}
"""Columns whose numbers name a print, or the power of a unit."""
SPELLINGS = {"words", "label"}
"""Columns in which a number is part of a name, and a hyphen or stroke before it is none of its own."""
NAMES = {table.key: table.names for table in TABLES}


class Figure(Struct, frozen=True):
    """One number in a cell: `5C`, `1.238` and `20` are three of them. `name` is what its row goes by."""

    table: str
    row: int
    column: str
    start: int
    name: str
    text: str
    cell: str
    basis: str

    @property
    def is_common_practice(self) -> bool:
        return self.basis == "common-practice"

    def told_as(self, text: str) -> str:
        """The cell with this in place of the figure."""
        return f"{self.cell[: self.start]}{text}{self.cell[self.start + len(self.text) :]}"

    def __str__(self) -> str:
        inside = "" if self.text == self.cell else f" of “{self.cell}”"
        return f"{self.table}: {self.name}: {self.column} {self.text}{inside} ({self.basis or 'words'})"


def table_names() -> list[str]:
    return sorted(file.stem for file in tables.DATA.glob("*.csv") if file.stem not in NO_TABLES)


@functools.cache
def cells_of(table: str) -> list[dict[str, str]]:
    with (tables.DATA / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def figures_of(table: str) -> Iterator[Figure]:
    rows = cells_of(table)
    names = NAMES.get(table, tuple(rows[0])[:1])
    for number, cells in enumerate(rows):
        name = " ".join(cells[column] for column in names if cells[column])
        for column, cell in cells.items():
            for start, text in _numbers(column, cell) if column not in NO_FIGURES else ():
                yield Figure(table, number, column, start, name, text, cell, cells.get("basis", ""))


def lies(figure: Figure) -> list[Lie]:
    """Those that a check must notice."""
    if figure.table not in table_names():
        return lies_about(figure.text, ())
    column = [cells[figure.column] for cells in cells_of(figure.table)]
    others = (*column[figure.row + 1 :], *reversed(column[: figure.row]))
    beside = [numbers[0][1] for other in others if (numbers := _numbers(figure.column, other)) and other not in FLAGS]
    found = [lie for lie in lies_about(figure.text, beside) if lie.is_gross or not figure.is_common_practice]
    return [lie for lie in found if figure.column not in SPELLINGS or lie.kind != "the sign"]


@contextmanager
def falsified(figure: Figure, lie: Lie) -> Iterator[None]:
    """As if the table said otherwise; what was made of it is forgotten, before and after."""
    honest = tables.rows

    def rows(table: str) -> Iterator[tables.TableRow]:
        for number, row in enumerate(honest(table)):
            is_it = table == figure.table and number == figure.row
            yield tables.TableRow({**row.cells, figure.column: figure.told_as(lie.text)}) if is_it else row

    with reading_by(rows):
        yield


@contextmanager
def reading_by(rows) -> Iterator[None]:
    """The tables are read by this function in place of their own."""
    honest, tables.rows = tables.rows, rows
    forget()
    try:
        yield
    finally:
        tables.rows = honest
        forget()


def forget() -> None:
    """Empty whatever our own code keeps of the tables."""
    for keeper in keepers():
        keeper.cache_clear()


@functools.cache
def keepers() -> list:
    """The functions of ours that keep what they made of the tables."""
    ours = [vars(module) for name, module in list(sys.modules.items()) if name.startswith(("inventory.", "fitfinder."))]
    classes = [vars(thing) for names in ours for thing in names.values() if isinstance(thing, type)]
    found = [thing for names in (*ours, *classes) for thing in list(names.values())]
    return list({id(thing): thing for thing in found if type(thing) is functools._lru_cache_wrapper}.values())


def _numbers(column: str, cell: str) -> list[tuple[int, str]]:
    if cell in FLAGS:
        return [(0, cell)]
    pattern = NAMED_NUMBER if column in SPELLINGS else NUMBER
    return [(number.start(), number[0]) for number in pattern.finditer(cell)]
