"""The rows of a sheet, each cell with the field that it belongs to."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from inventory.measures.lengths import shorten
from inventory.pieces.fields import SHEET_FIELDS
from inventory.transfer import cells
from inventory.transfer.dates import serial_day
from inventory.transfer.headings import SheetColumn
from inventory.transfer.outcomes import CellTrouble
from inventory.transfer.texts import ErrorCell, Formula

NOTHING: Mapping[str, str] = MappingProxyType({})


class RowCells:
    """The texts of one row, by field; what belongs to no field is kept as parts for the notes.

    Where the sheet `has_spaced_tags`, they are read as the book writes them.
    `mended` are cells that somebody wrote anew: by the place of their column, or by their field where the sheet has
    no column of it.
    """

    def __init__(
        self,
        line: int,
        texts: tuple[str, ...],
        columns: list[SheetColumn],
        *,
        mended: Mapping[str, str] = NOTHING,
        is_left_out: bool = False,
        has_spaced_tags: bool = False,
    ) -> None:
        self.line, self.is_left_out = line, is_left_out
        self.texts = _mended(texts, mended) if mended else texts
        self.cells: dict[str, str] = {}
        self.extra: list[str] = []
        self.troubles: list[CellTrouble] = []
        self.fractions: dict[str, tuple[str, str]] = {}
        """Fields in which a spreadsheet made a date of a fraction: the date, and the fraction that it was."""
        for column in columns:
            text = self.texts[column.place]
            if text.strip():
                self._add(column, cells.without_apostrophe(column.field, text))
        for name in SHEET_FIELDS if mended else ():
            if mended.get(name, "").strip():
                self.cells[name] = mended[name].strip()
        if has_spaced_tags and "tag" in self.cells:
            self.cells["tag"] = cells.plain_tag(self.cells["tag"])
        self.tag = self.cells.get("tag", "").upper()
        self.is_empty = not (self.cells or self.extra or self.troubles or self.fractions)

    def _add(self, column: SheetColumn, text: str) -> None:
        if isinstance(text, Formula):
            text = cells.plain_formula(text)
        if column.field is None and isinstance(text, Formula | ErrorCell):
            # What a spreadsheet works out beside the table is no part of a piece.
            return
        fraction = cells.fraction_in_date(text) if column.field == "size" else None
        if fraction:
            self.fractions[column.field or ""] = (text, fraction)
            return
        why = cells.odd_cell(column.field, text)
        if why:
            self.troubles.append(CellTrouble(column.field or "notes", shorten(text), why, place=column.place))
        elif column.field is None:
            self.extra.append(f"{column.heading}: {text.strip()}")
        elif column.field == "inspected_on":
            self.cells[column.field] = serial_day(text.strip()) or text.strip()
        else:
            self.cells[column.field] = cells.with_unit(column.field, text.strip(), column.unit)


def _mended(texts: tuple[str, ...], mended: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(mended.get(str(place), text) for place, text in enumerate(texts))
