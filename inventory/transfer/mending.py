"""Cells of a refused row, written anew on the page and kept with the import, not in the file that was sent."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from django import forms

from inventory.measures.inputs import say_plainly
from inventory.models import Kind, SheetImport, SheetRow
from inventory.pieces import words
from inventory.pieces.asked import ASKED, COMMON, WORDS
from inventory.pieces.fields import SHEET_FIELDS
from inventory.pieces.form import PieceForm
from inventory.transfer import imports
from inventory.transfer.books import PaperBook
from inventory.transfer.cells import plain_tag
from inventory.transfer.headings import SheetColumn
from inventory.transfer.in_progress import SheetInProgress, held, keep_outcomes, start_over, texts_of
from inventory.transfer.outcomes import RowOutcome, label
from inventory.transfer.texts import Formula

LONGEST_CELL = 4000
MOST_AT_ONCE = 200
"""Rows that are mended and read again while others wait to write."""


class MendForm(forms.Form):
    """Cells of one row: each field is named by the place of its column, or by its field where no column has it."""

    def __init__(self, data=None, *, line: int, cells: dict[str, tuple[str, str]], **kwargs):
        """`cells` are a label and a hint for each cell."""
        super().__init__(data, prefix=f"row{line}", **kwargs)
        for key, (cell_label, hint) in cells.items():
            self.fields[key] = forms.CharField(
                required=False, max_length=LONGEST_CELL, label=cell_label, help_text=hint
            )
        say_plainly(self.fields)


def shown_form(row: SheetRow, outcome: RowOutcome, columns: list[SheetColumn], *, all_cells: bool) -> MendForm:
    """The cells that are wrong with their texts and errors, or all cells of the row."""
    troubles = _troubles_by_key(outcome, columns)
    keys = list(troubles)
    texts = _texts(row)
    kind = _kind(texts, columns) if all_cells else None
    if all_cells:
        keys += [key for key in _all_keys(columns, kind) if key not in troubles]
    values = {key: texts.get(key, "") for key in keys}
    form = MendForm(
        {f"row{row.line}-{key}": text for key, text in values.items()},
        line=row.line,
        cells={key: _words(key, columns, kind) for key in keys},
    )
    for key, message in troubles.items():
        form.add_error(key, message)
    return form


def posted_form(data, row: SheetRow, columns: list[SheetColumn]) -> MendForm:
    """The form of those cells that were sent."""
    places = (str(column.place) for column in columns)
    keys = [key for key in (*places, *SHEET_FIELDS) if f"row{row.line}-{key}" in data]
    return MendForm(data, line=row.line, cells={key: _words(key, columns) for key in keys})


def mend(sent: SheetImport, line: int, cells: Mapping[str, str], *, is_left_out: bool = False) -> RowOutcome:
    """Write cells of a row anew, or leave it out, and read it again. Raises SheetGone as `mend_rows` does."""
    outcomes = mend_rows(sent, {line: cells}, skipped={line} if is_left_out else ())
    return next(outcome for outcome in outcomes if outcome.line == line)


def _write_many(in_progress: SheetInProgress, cells: Mapping[int, Mapping[str, str]], skipped: Collection[int]) -> None:
    lines = cells.keys() | set(skipped)
    rows = [row for row in in_progress.rows if row.line in lines]
    for row in rows:
        _write(row, cells.get(row.line, {}))
        row.is_left_out = row.line in skipped
    SheetRow.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["id"], update_fields=["mended", "is_left_out"]
    )
    start_over(in_progress.sent)


def mend_rows(
    sent: SheetImport, cells: Mapping[int, Mapping[str, str]], *, skipped: Collection[int] = ()
) -> list[RowOutcome]:
    """Write cells of rows anew by their numbers, leave those out that are `skipped`, and read them all again.

    Rows with a tag that one of them had or gets are read again with them: of two with one tag the second is refused.
    Of very many rows none is read in here, where others wait to write: the whole sheet is, step by step, by its page.
    Raises SheetGone where somebody took or dropped the sheet meanwhile.
    """
    lines = cells.keys() | set(skipped)
    with held(sent, outcome="the row was not saved"):
        locked = SheetImport.objects.get(pk=sent.pk)
        in_progress = SheetInProgress(locked)
        if len(lines) > MOST_AT_ONCE:
            _write_many(in_progress, cells, skipped)
            return []
        tags: set[str] = set()
        for row in in_progress.rows:
            if row.line in lines:
                tags |= _tags(in_progress, row)
                _write(row, cells.get(row.line, {}))
                row.is_left_out = row.line in skipped
                row.save(update_fields=["mended", "is_left_out"])
                tags |= _tags(in_progress, row)
        tags.discard("")
        paper = PaperBook(locked.made_on_paper)
        reading = imports.SheetReading(in_progress.question, paper)
        outcomes = reading.outcomes(row for row in reading.rows() if row.line in lines or row.tag in tags)
        keep_outcomes(in_progress, outcomes)
        # A step of reading that began before would put back what it knew of these rows: it counts no longer.
        locked.made_on_paper, locked.reading = paper.made, locked.reading + 1
        locked.save(update_fields=["made_on_paper", "reading"])
    return outcomes


def _write(row: SheetRow, cells: Mapping[str, str]) -> None:
    texts = texts_of(row)
    for key, text in cells.items():
        was = texts[int(key)] if key.isdigit() and int(key) < len(texts) else ""
        if text == was and type(was) is str:
            row.mended.pop(key, None)
        else:
            row.mended[key] = text


def _tags(in_progress: SheetInProgress, row: SheetRow) -> set[str]:
    """The tag of a row, as it stands there and as the book writes it."""
    place = next((column.place for column in in_progress.columns if column.field == "tag"), None)
    tag = _texts(row).get("tag" if place is None else str(place), "").strip()
    return {tag.upper(), plain_tag(tag).upper()}


def _texts(row: SheetRow) -> dict[str, str]:
    """What stands in each cell now; of a formula, what the spreadsheet showed."""
    texts = {
        str(place): (text.shown or text) if isinstance(text, Formula) else text
        for place, text in enumerate(texts_of(row))
    }
    return {**texts, **row.mended}


def _troubles_by_key(outcome: RowOutcome, columns: list[SheetColumn]) -> dict[str, str]:
    place_of = {column.field: column.place for column in columns}
    troubles: dict[str, list[str]] = {}
    for trouble in outcome.troubles:
        place = place_of.get(trouble.field) if trouble.place is None else trouble.place
        key = trouble.field if place is None else str(place)
        troubles.setdefault(key, []).append(trouble.message)
    return {key: " ".join(messages) for key, messages in troubles.items()}


def _all_keys(columns: list[SheetColumn], kind: Kind | None) -> list[str]:
    """The columns of the sheet, and what is asked of such a piece though the sheet has no column of it."""
    with_column = {column.field for column in columns}
    asked = ("kind", *(ASKED[kind] if kind else ASKED[Kind.COLLET]), *COMMON)
    return [str(column.place) for column in columns] + [
        name for name in asked if name in SHEET_FIELDS and name not in with_column
    ]


def _kind(texts: Mapping[str, str], columns: list[SheetColumn]) -> Kind | None:
    place = next((column.place for column in columns if column.field == "kind"), None)
    return words.kind_of(texts.get("kind" if place is None else str(place), ""))


def _words(key: str, columns: list[SheetColumn], kind: Kind | None = None) -> tuple[str, str]:
    """The label of a cell, and its heading in the sheet where that says something else."""
    column = next((column for column in columns if str(column.place) == key), None)
    if column is None:
        field = PieceForm.base_fields[key]
        plain = (label(key), str(field.help_text))
        cell_label, hint = WORDS.get(kind, {}).get(key, plain) if kind else plain
        return cell_label, hint or "The sheet has no column of it."
    if column.field is None:
        return column.heading, "Kept in the notes."
    unit = f" A number without a unit is in {column.unit}." if column.unit else ""
    says_same = column.heading.casefold() == column.label.casefold()
    return column.label, ("" if says_same else f"“{column.heading}” in the sheet.") + unit
