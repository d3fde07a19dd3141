"""Sheets to fetch: the book, which an import reads back without a difference, and what stands beside its pieces; the
refused rows of a sheet; a blank one to fill in."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePath

import tablib

from inventory.measures.fields import LengthInput
from inventory.models import Condition, Series, SheetRow, Tool
from inventory.models.kinds import Operation
from inventory.models.sizes import Shape
from inventory.pieces import words
from inventory.pieces.columns import PieceField
from inventory.pieces.fields import PIECE_FIELDS, SHEET_FIELDS, as_fields
from inventory.pieces.inputs import WordInput
from inventory.transfer import sheets
from inventory.transfer.errors import SheetError
from inventory.transfer.headings import NOTED, REASONS
from inventory.transfer.in_progress import SheetInProgress, outcome_of, texts_of
from inventory.transfer.outcomes import RowVerdict, label
from inventory.transfer.reading.columns import LEFT_OUT
from inventory.transfer.tabs.cells import texts
from inventory.transfer.tabs.tables import TABLES, TabTable

PIECES_TITLE = "Tooling"
_LENGTH_WORDS = "3/4, .7485, 19 mm, #7; inches where no unit stands"


def book(*, form: str) -> bytes:
    """All pieces but retired ones, in the order of their tags, as `csv` or `xlsx`."""
    return sheets.file_of(SHEET_FIELDS, _pieces(), form=form)


def tab(table: TabTable, *, form: str) -> bytes:
    """One tab by itself, as `csv` or `xlsx`."""
    return sheets.file_of(table.headings, map(texts, table.rows()), form=form, title=table.title)


def workbook() -> bytes:
    """All that can be had as a sheet, as XLSX with a tab each; the pieces come first."""
    tabs = [sheets.table_of(SHEET_FIELDS, _pieces(), title=PIECES_TITLE)]
    tabs += [sheets.table_of(table.headings, map(texts, table.rows()), title=table.title) for table in TABLES]
    exported: bytes = tablib.Databook(tabs).export("xlsx")
    return exported


def blank(*, form: str) -> bytes:
    """A sheet of headings only; as XLSX with a second sheet that names the words which each field accepts."""
    accepted = tablib.Dataset(headers=["Field", "What it is", "Accepted words"], title="Words")
    for field in PIECE_FIELDS:
        if field.is_in_sheet:
            accepted.append([field.name, label(field.name), _accepted_texts(field)])
    return sheets.file_of(SHEET_FIELDS, [], form=form, beside=accepted)


def refused_rows(in_progress: SheetInProgress) -> bytes:
    """The refused rows of a sheet as CSV, with what was mended in them and the reasons beside them.

    A heading that does not tell the chosen field by itself is remembered; a column without one gets its field's name.
    """
    choices = in_progress.sent.choices or []
    names = [
        text or (choice if choice not in {NOTED, LEFT_OUT} else "")
        for text, choice in zip(in_progress.sheet.headings, choices, strict=False)
    ]
    rows = list(in_progress.sent.rows.filter(verdict=RowVerdict.REFUSED).order_by("line"))
    added = sorted({key for row in rows for key in row.mended if not key.isdigit()}, key=SHEET_FIELDS.index)
    return sheets.file_of(
        [*names, *added, REASONS],
        ([*_texts(row, len(names)), *(row.mended.get(key, "") for key in added), _why(row)] for row in rows),
        form="csv",
    )


def form_of(name: str) -> str:
    """`csv` or `xlsx`, from a file's ending. Raises SheetError for any other."""
    ending = PurePath(name).suffix.lower().removeprefix(".")
    if ending not in {"csv", "xlsx"}:
        raise SheetError(f"“{name}” has no ending that can be written; use .csv or .xlsx.", read=name)
    return ending


def _texts(row: SheetRow, width: int) -> list[str]:
    texts = texts_of(row)
    texts += [""] * (width - len(texts))
    return [row.mended.get(str(place), str(text)) for place, text in enumerate(texts)]


def _why(row: SheetRow) -> str:
    return " ".join(f"{trouble.field}: {trouble.message}" for trouble in outcome_of(row).troubles)


def _accepted_texts(field: PieceField) -> str:
    if field.name == "series":
        return ", ".join(Series.objects.values_list("code", flat=True))
    if field.name in _ACCEPTED:
        return _ACCEPTED[field.name]
    if isinstance(field.asked, LengthInput):
        return _LENGTH_WORDS
    return field.asked.accepted if isinstance(field.asked, WordInput) else str(field.asked.help_text)


_ACCEPTED = {
    "tag": "up to 20 letters, figures, dots and dashes: C-0011",
    "kind": words.KINDS_ACCEPTED,
    "shape": f"{', '.join(Shape.values)}; empty is round",
    "size": _LENGTH_WORDS,
    "condition": f"{', '.join(Condition.values)}; empty is good",
    "inspected_on": "2026-03-18",
    "cost": "31.50",
    "location": "the drawer, as it stands on it",
    "notes": "anything",
    "mount": "where it sits: D1-4, MT3, 1-1/2-8",
    "takes": "what goes into it: 5C, ER32, MT3",
    "through": f"{_LENGTH_WORDS}; solid for a drawbar that passes no bar",
    "jaws": "2 to 8",
    "slots": "0 to 60",
    "max_rpm": "a whole number",
    "weight": "42 lb, 19 kg",
    "load": "800 lb, 400 kg",
    "angle": "1 to 179, in degrees",
    "operations": f"{', '.join(Operation.values)}; with commas",
    "set_for": "names of lathes that are in the book; with semicolons",
    "belongs_to": "the name of a lathe that is in the book",
    "stop_thread": "yes or no",
}
"""What a cell of a field may say, where neither its sort nor its hint on the page says it all."""


def _pieces() -> Iterator[list[str]]:
    tools = Tool.objects.in_book().for_list().prefetch_related("set_for").order_by("tag")
    return map(_row, tools.iterator(chunk_size=2000))


def _row(tool: Tool) -> list[str]:
    texts = as_fields(tool)
    if tool.is_solid:
        texts["through"] = "solid"
    return [texts[name] for name in SHEET_FIELDS]
