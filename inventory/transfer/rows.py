"""The rows of a sheet, each cell with the field that it belongs to."""

from __future__ import annotations

from inventory.lengths import shorten
from inventory.transfer import cells
from inventory.transfer.headings import Column
from inventory.transfer.outcomes import Trouble


class Row:
    """The texts of one row, by field; what belongs to no field is kept as parts for the notes."""

    def __init__(self, line: int, texts: tuple[str, ...], columns: list[Column]) -> None:
        self.line, self.texts = line, texts
        self.cells: dict[str, str] = {}
        self.extra: list[str] = []
        self.troubles: list[Trouble] = []
        for column in columns:
            text = texts[column.place]
            if text.strip():
                self._add(column, cells.without_apostrophe(column.field, text))
        self.tag = self.cells.get("tag", "").upper()
        self.is_empty = not any(text.strip() for text in texts)

    def _add(self, column: Column, text: str) -> None:
        why = cells.odd_cell(column.field, text)
        if why:
            self.troubles.append(Trouble(column.field or "notes", shorten(text), why))
        elif column.field is None:
            self.extra.append(f"{column.heading}: {text.strip()}")
        else:
            self.cells[column.field] = cells.with_unit(column.field, text.strip(), column.unit)
