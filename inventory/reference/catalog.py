"""Every figure in the tables as one line of text with its source, to be listed and searched."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from msgspec import Struct

from inventory.reference import tables


class FigureLine(Struct, frozen=True):
    """One row of a table in words: `cold-drawn round`, `up to 1.5 in, plus 0 in, minus 0.002 in`."""

    name: str
    value: str
    source: str
    basis: str
    unwitnessed: tuple[str, ...] = ()
    """What nothing outside of the table vouches for, with the reason: `head: from memory alone`."""

    def says(self, words: Iterable[str]) -> bool:
        """Whether each of these words, in lower case, stands somewhere in it."""
        unwitnessed = f"{NO_WITNESS} {' '.join(self.unwitnessed)}" if self.unwitnessed else ""
        text = f"{self.name} {self.value} {self.source} {self.basis} {unwitnessed}".lower()
        return all(word in text for word in words)


class PublishedTable(Struct, frozen=True):
    """A table of `data/`: its title, the columns that name a row, and those that say nothing to a reader."""

    key: str
    title: str
    names: tuple[str, ...]
    left_out: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[FigureLine, ...]:
        return _lines(self)


TABLES = (
    PublishedTable("collets", "Collet series, as built in", ("code", "shape")),
    PublishedTable("collet_heads", "Head angles of collets, degrees for each side", ("code",)),
    PublishedTable("bodies", "Bodies of collets", ("code", "figure")),
    PublishedTable("er_runout", "Run-out of ER collets", ("over", "upto"), ("over_included",)),
    PublishedTable("bars", "Bar tolerances", ("grade", "shape"), ("over_included", "upto_included")),
    PublishedTable("morse_tapers", "Morse tapers", ("code",)),
    PublishedTable("jacobs_tapers", "Jacobs tapers", ("code",)),
    PublishedTable("brown_sharpe_tapers", "Brown & Sharpe tapers", ("code",)),
    PublishedTable("jarno_tapers", "Jarno tapers", ("code",)),
    PublishedTable("noses", "Spindle noses", ("code",)),
    PublishedTable("drills", "Number and letter drills", ("name",)),
    PublishedTable("center_drills", "Center drills", ("form", "size")),
    PublishedTable("center_holes", "Center holes by work", ("form", "size")),
    PublishedTable("wear_limits", "Limits of wear and intervals of inspection", ("subject", "shape")),
    PublishedTable("practice", "Working figures", ("topic", "method")),
    PublishedTable("holding", "Rules of holding", ("key",)),
    PublishedTable("cutting_speeds", "Surface speeds for turning", ("material",)),
)


NO_WITNESS = "no second witness"
"""What is said, and can be looked for, where nothing outside of a table vouches for a figure."""


def why_unwitnessed(table: str, name: str, column: str) -> str:
    """Why nothing outside of this table vouches for a figure; empty where something does.

    `name` is what its row goes by; an empty column of the list stands for all of a row.
    """
    listed = _unwitnessed()
    return listed.get((table, name, column)) or listed.get((table, name, "")) or ""


@cache
def _unwitnessed() -> dict[tuple[str, str, str], str]:
    rows = tables.rows("unwitnessed")
    return {(row.text("table"), row.text("name"), row.text("column")): row.text("why") for row in rows}


BASES = {
    "published-seen": "read in print",
    "published-from-memory": "from memory of a standard",
    "common-practice": "habit of the trade",
    "none-on-file": "none on file",
}
"""What each basis of a row is called where people read it."""


NONE_ON_FILE = "none-on-file"
"""The basis of a line that says what is looked for and has no figure here, and why."""


@cache
def _lines(table: PublishedTable) -> tuple[FigureLine, ...]:
    """Its rows, then what is missing of it."""
    lines = tuple(_line(table, row) for row in tables.rows(table.key))
    return lines + tuple(
        FigureLine(row.text("name"), "none on file", row.text("why"), NONE_ON_FILE)
        for row in tables.rows("none_on_file")
        if row.text("table") == table.key
    )


def _words(column: str) -> str:
    words = {"tir": "TIR", "upto": "up to"}
    return " ".join(words.get(word, word) for word in column.split("_"))


def _line(table: PublishedTable, row: tables.TableRow) -> FigureLine:
    known = {
        column: text
        for column, text in row.cells.items()
        if text and column not in {*table.names, *table.left_out, "source", "basis", "unit"}
    }
    unit = row.cells.get("unit", "")
    value = ", ".join(f"{_words(column)} {text}{unit and f' {unit}'}" for column, text in known.items())
    between = " to " if table.key == "er_runout" else " "
    name = between.join(row.text(column) for column in table.names).strip()
    whys = {column: why_unwitnessed(table.key, name, column) for column in known}
    unwitnessed = tuple(f"{_words(column)}: {why}" for column, why in whys.items() if why)
    return FigureLine(name, value or "not known", row.source, row.basis, unwitnessed)
