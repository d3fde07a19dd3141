"""What the good rows of a sheet leave in the book: told of each beforehand, and saved many at a time.

`PieceForm.save` does the same for one piece. A sheet does not go through it row by row, because SQLite lets one writer
in at a time, and everybody would wait while thousands of rows are saved one by one (four times as long, measured at
5,000). tests/inventory/transfer/test_saving.py holds both to the same end.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable
from datetime import date

from django.db.models import OuterRef, Subquery

from inventory.measures.day_words import shown as day_shown
from inventory.measures.lengths import Length, exact
from inventory.models import Condition, Finding, Inspection, Move, Tool, User
from inventory.models.wear import USABLE_CONDITIONS
from inventory.pieces.fields import as_fields
from inventory.pieces.form import PieceForm
from inventory.transfer.book_rows import BookRows
from inventory.transfer.outcomes import CellChange, PieceInWords, RowOutcome, RowVerdict
from inventory.transfer.rows import RowCells


def piece_outcome(
    row: RowCells, tool: Tool | None, form: PieceForm, finding: str, *, missing_since: date | None = None
) -> RowOutcome:
    """What a valid form of a row would do; `tool` is the piece of its tag in the book."""
    after, inspection = _as_it_would_be(form, finding)
    if tool is None:
        after.missing_since = missing_since
    changes = _changes(tool, after) if tool is not None else ()
    verdict = RowVerdict.NEW if tool is None else RowVerdict.CHANGED if changes or finding else RowVerdict.SAME
    return RowOutcome(
        line=row.line,
        texts=row.texts,
        verdict=verdict,
        tag=after.tag,
        changes=changes,
        lacking=after.missing_details,
        finding=finding,
        after=after,
        inspection=inspection,
        piece=_in_words(after, finding),
        left=_why_left(tool, form) if tool is not None else "",
    )


def reading_outcome(row: RowCells, *, tir: Length | None, day: date, finding: str) -> RowOutcome:
    """A further dated reading of a piece that stands in a row above; nothing where the book has it."""
    is_in_book = Inspection.objects.filter(tool__tag=row.tag, taken_on=day, tir=tir, finding=finding).exists()
    return RowOutcome(
        line=row.line,
        texts=row.texts,
        verdict=RowVerdict.SAME if is_in_book else RowVerdict.READING,
        tag=row.tag,
        finding=finding,
        inspection=None if is_in_book else Inspection(tir=tir, taken_on=day, finding=finding),
    )


def _changes(before: Tool, after: Tool) -> tuple[CellChange, ...]:
    was, becomes = as_fields(before), as_fields(after)
    return tuple(CellChange(name, was[name], text) for name, text in becomes.items() if was[name] != text)


def _as_it_would_be(form: PieceForm, finding: str) -> tuple[Tool, Inspection | None]:
    """The piece as `PieceForm.save` would leave it, but for its reading, and the inspection that it would keep."""
    after = copy.copy(form.applied())
    is_read = form.reading.is_new_to(after)
    if not is_read and not finding:
        return after, None
    inspection = Inspection(tir=None, taken_on=after.inspected_on, finding=finding or after.finding)
    if is_read:
        inspection.tir, inspection.taken_on = form.cleaned_data["tir"], form.reading.day_for(after)
    after.tir = after.tir if inspection.tir is None else inspection.tir
    after.inspected_on, after.finding = inspection.taken_on, inspection.finding
    if after.is_found_unfit and after.condition in USABLE_CONDITIONS:
        after.condition = Condition.DAMAGED
    return after, inspection


def _in_words(tool: Tool, finding: str) -> PieceInWords:
    return PieceInWords(
        what=f"{tool.size} {tool.kind}" if tool.size else str(tool.kind),
        place=tool.location.name if tool.location else "",
        condition=str(tool.condition),
        finding=str(Finding(finding).label) if finding else "",
        tir=exact(tool.tir) if tool.tir is not None else "",
        looked_at=tool.inspected_on.isoformat() if tool.inspected_on else "",
    )


def _why_left(tool: Tool, form: PieceForm) -> str:
    if tool.inspected_on is None or not form.reading.is_older_than_that_of(tool):
        return ""
    day = form.cleaned_data["inspected_on"]
    return (
        f"The sheet's look of {day_shown(day)} is older than that in the book, {day_shown(tool.inspected_on)}: "
        "the reading in the book stays."
    )


def write(outcomes: Iterable[RowOutcome], *, by: User | None, book_rows: BookRows) -> None:
    """Save the pieces of these outcomes as they would be; to be called within a transaction.

    What is made and changed is told to `book_rows`.
    """
    good = list(outcomes)
    good += [other for row in good for other in row.others]
    new = [row.after for row in good if row.verdict is RowVerdict.NEW and row.after is not None]
    changed = [row.after for row in good if row.verdict is RowVerdict.CHANGED and row.after is not None]
    Tool.objects.bulk_create(new)
    book_rows.note_made(new)
    inspected = [(row.after, row.inspection) for row in good if row.after is not None and row.inspection is not None]
    _keep_inspections(inspected, by)
    book_rows.note_made(inspection for _, inspection in inspected)
    _point_to_readings([tool for tool in new if tool.reading_id is not None])
    for tool in new:
        tool.keep_heights()
    Tool.history.bulk_history_create(new, default_user=by)
    save_changed(changed, by=by)


def save_changed(tools: list[Tool], *, by: User | None, reason: str | None = None) -> None:
    """Save pieces that are in the book as they are now, with their moves and an entry of their history each."""
    moves = Tool.moves_of(tools)
    _save_columns(tools)
    Move.objects.keep(moves, by=by)
    for tool in tools:
        tool.keep_heights()
    Tool.history.bulk_history_create(tools, default_user=by, default_change_reason=reason, update=True)


def write_readings(outcomes: Iterable[RowOutcome], *, by: User | None, book_rows: BookRows) -> None:
    """Keep the further readings of pieces that are in the book by now, the oldest first.

    What is made and changed is told to `book_rows`.
    """
    for row in readings_of(outcomes):
        tag, inspection = row.tag, row.inspection
        tool = Tool.objects.select_for_update(of=("self",)).tagged(tag).first()
        if tool is not None and inspection is not None:
            day = inspection.taken_on or date.min
            is_late = tool.inspected_on is not None and day < tool.inspected_on
            book_rows.note_before_change([tool])
            recorded = tool.record(
                by=by,
                is_late=is_late,
                tir=inspection.tir,
                taken_on=inspection.taken_on,
                finding=inspection.finding,
            )
            book_rows.note_made([recorded])


def readings_of(outcomes: Iterable[RowOutcome]) -> list[RowOutcome]:
    """The rows that are further readings of pieces, the oldest first."""
    readings = [row for row in outcomes if row.verdict is RowVerdict.READING and row.inspection is not None]
    return sorted(readings, key=_day_of)


def _day_of(row: RowOutcome) -> date:
    return (row.inspection.taken_on if row.inspection else None) or date.min


def _keep_inspections(made: list[tuple[Tool, Inspection]], by: User | None) -> None:
    for tool, inspection in made:
        inspection.tool, inspection.recorded_by = tool, by
    Inspection.objects.bulk_create([inspection for _, inspection in made])
    for tool, inspection in made:
        if inspection.tir is not None:
            tool.reading = inspection


def _point_to_readings(tools: list[Tool]) -> None:
    """A new piece has one inspection at most, and that is its reading: one statement for all of them."""
    its_inspection = Inspection.objects.filter(tool=OuterRef("pk")).order_by().values("pk")
    keys = [tool.pk for tool in tools]
    for start in range(0, len(keys), 5_000):  # a statement takes so many values only
        Tool.objects.filter(pk__in=keys[start : start + 5_000]).update(reading=Subquery(its_inspection))


def _save_columns(tools: list[Tool]) -> None:
    """All columns of each, as saving one by one does; an insert that meets the piece's own key becomes an update."""
    columns = [field.name for field in Tool._meta.concrete_fields if not field.primary_key]
    Tool.objects.bulk_create(tools, update_conflicts=True, unique_fields=["id"], update_fields=columns)
