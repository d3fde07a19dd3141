"""A row that can be read against the piece as it stands in the book."""

from __future__ import annotations

import copy

from inventory.forms import PieceForm, as_fields
from inventory.lengths import exact
from inventory.models import Condition, Finding, Tool
from inventory.models.tools import USABLE_CONDITIONS
from inventory.transfer.outcomes import Change, Outcome, Piece, Verdict
from inventory.transfer.rows import Row


def compared(row: Row, tool: Tool | None, form: PieceForm, finding: str) -> Outcome:
    """What a valid form of a row would do; `tool` is the piece of its tag in the book."""
    before = as_fields(tool) if tool is not None else {}
    after = _as_it_would_be(form, finding)
    changes = tuple(
        Change(name, before[name], text)
        for name, text in as_fields(after).items()
        if tool is not None and before[name] != text
    )
    verdict = Verdict.NEW if tool is None else Verdict.CHANGED if changes or finding else Verdict.SAME
    return Outcome(
        line=row.line,
        texts=row.texts,
        verdict=verdict,
        tag=after.tag,
        changes=changes,
        lacking=after.missing_details,
        form=form,
        finding=finding,
        piece=_in_words(after, finding),
        left=_left(tool, form) if tool is not None else "",
    )


def _as_it_would_be(form: PieceForm, finding: str) -> Tool:
    """The piece as `Tool.record` will leave it."""
    after = copy.copy(form.applied())
    is_read = form.says_new_reading(after)
    if is_read:
        tir, day = form.cleaned_data["tir"], form.cleaned_data["inspected_on"]
        after.tir, after.inspected_on = (after.tir if tir is None else tir), day
    is_unfit = finding or (is_read and after.is_found_unfit)
    if is_unfit and after.condition in USABLE_CONDITIONS:
        after.condition = Condition.DAMAGED
    return after


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
    if not form.says_older_look(tool):
        return ""
    day = form.cleaned_data["inspected_on"]
    return (
        f"The sheet's look of {day.isoformat()} is older than that in the book, {tool.inspected_on.isoformat()}: "
        "the reading in the book stays."
    )
