"""A row that can be read against the piece as it stands in the book."""

from __future__ import annotations

import copy

from inventory.measures.lengths import exact
from inventory.models import Condition, Finding, Inspection, Tool
from inventory.models.wear import USABLE_CONDITIONS
from inventory.pieces.fields import as_fields
from inventory.pieces.form import PieceForm
from inventory.transfer.outcomes import Change, Outcome, Piece, Verdict
from inventory.transfer.rows import Row


def compared(row: Row, tool: Tool | None, form: PieceForm, finding: str) -> Outcome:
    """What a valid form of a row would do; `tool` is the piece of its tag in the book."""
    after, look = _as_it_would_be(form, finding)
    changes = _changes(tool, after) if tool is not None else ()
    verdict = Verdict.NEW if tool is None else Verdict.CHANGED if changes or finding else Verdict.SAME
    return Outcome(
        line=row.line,
        texts=row.texts,
        verdict=verdict,
        tag=after.tag,
        changes=changes,
        lacking=after.missing_details,
        finding=finding,
        after=after,
        look=look,
        piece=_in_words(after, finding),
        left=_left(tool, form) if tool is not None else "",
    )


def _changes(before: Tool, after: Tool) -> tuple[Change, ...]:
    was, becomes = as_fields(before), as_fields(after)
    return tuple(Change(name, was[name], text) for name, text in becomes.items() if was[name] != text)


def _as_it_would_be(form: PieceForm, finding: str) -> tuple[Tool, Inspection | None]:
    """The piece as `PieceForm.save` would leave it, but for its reading, and the look that it would keep."""
    after = copy.copy(form.applied())
    is_read = form.reading.is_new_to(after)
    if not is_read and not finding:
        return after, None
    look = Inspection(tir=None, taken_on=after.inspected_on, finding=finding or after.finding)
    if is_read:
        look.tir, look.taken_on = form.cleaned_data["tir"], form.cleaned_data["inspected_on"]
    after.tir = after.tir if look.tir is None else look.tir
    after.inspected_on, after.finding = look.taken_on, look.finding
    if after.is_found_unfit and after.condition in USABLE_CONDITIONS:
        after.condition = Condition.DAMAGED
    return after, look


def _in_words(tool: Tool, finding: str) -> Piece:
    return Piece(
        what=f"{tool.size} {tool.kind}" if tool.size else str(tool.kind),
        place=tool.location.name if tool.location else "",
        condition=str(tool.condition),
        finding=str(Finding(finding).label) if finding else "",
        tir=exact(tool.tir) if tool.tir is not None else "",
        looked_at=tool.inspected_on.isoformat() if tool.inspected_on else "",
    )


def _left(tool: Tool, form: PieceForm) -> str:
    if not form.reading.is_older_than_that_of(tool):
        return ""
    day = form.cleaned_data["inspected_on"]
    return (
        f"The sheet's look of {day.isoformat()} is older than that in the book, {tool.inspected_on.isoformat()}: "
        "the reading in the book stays."
    )
