"""What waits for somebody: pieces to inspect and why, loans that are late, what is missing or not filled in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from django.db.models import Count, QuerySet, Window
from django.utils import timezone
from msgspec import Struct

from inventory.inspections.due import InspectionDue, inspections_due
from inventory.measures.day_words import shown as day_shown
from inventory.models import Loan, Tool
from inventory.models.kinds import NEEDED_COLUMNS
from inventory.models.loans import LoanQuerySet
from inventory.models.tools import LINE_COLUMNS, LINE_ROWS, ToolQuerySet


class Waiting(Struct, frozen=True):
    """One piece that waits; `since` is the day from which it does, None where that is not known."""

    tool: Tool
    why: str
    since: date | None = None

    def as_json(self) -> dict[str, str | None]:
        since = self.since.isoformat() if self.since else None
        return {"tag": self.tool.tag, "what": self.tool.what, "why": self.why, "since": since}


class FirstRows(Struct, frozen=True):
    """The first `shown` rows of a list, of which there are `count`."""

    rows: Sequence[Any]
    count: int
    shown: int


def everything(*, today: date) -> dict[str, list[Waiting]]:
    """All lists, by the names under which other programs know them."""
    return {
        "inspections": to_inspect(inspections_due(today=today)),
        "out": [_loan_in_list(loan) for loan in loans().open()],
        "overdue": [_overdue(loan) for loan in overdue(today=today)],
        "missing": [_missing(tool) for tool in missing()],
        "details_missing": [
            Waiting(tool, f"details missing: {'; '.join(tool.missing_details)}") for tool in lacking_details()
        ],
    }


def first_rows(shown: int, rows: QuerySet[Any]) -> FirstRows:
    """Each row comes with the count of all, so that nothing is asked twice."""
    listed = list(rows.annotate(in_all=Window(Count("*")))[:shown])
    return FirstRows(listed, listed[0].in_all if listed else 0, shown)


def first_to_inspect(shown: int, *, today: date) -> FirstRows:
    due = inspections_due(today=today)
    return FirstRows(to_inspect(due[:shown]), len(due), shown)


def to_inspect(due: Sequence[InspectionDue]) -> list[Waiting]:
    """The pieces that are due, in the order given."""
    tools = Tool.objects.for_line().in_bulk([piece.pk for piece in due])
    return [Waiting(tools[piece.pk], piece.why, piece.reasons[0].since) for piece in due if piece.pk in tools]


def loans() -> LoanQuerySet:
    """With who has them, and as much of their pieces as a line says."""
    rows = Loan.objects.select_related("borrower", *(f"tool__{row}" for row in LINE_ROWS))
    return rows.only("issued_at", "due_on", "borrower__username", *(f"tool__{column}" for column in LINE_COLUMNS))


def overdue(*, today: date) -> LoanQuerySet:
    return loans().overdue(on=today).order_by("due_on", "tool__tag")


def missing() -> ToolQuerySet:
    return Tool.objects.in_book().exclude(missing_since=None).for_line("missing_since").order_by("missing_since", "tag")


def lacking_details() -> ToolQuerySet:
    return Tool.objects.details_missing().for_line(*NEEDED_COLUMNS)


def _loan_in_list(loan: Loan) -> Waiting:
    back = f", expected back {day_shown(loan.due_on)}" if loan.due_on else ""
    return Waiting(loan.tool, f"out to {loan.borrower}{back}", timezone.localdate(loan.issued_at))


def _overdue(loan: Loan) -> Waiting:
    day = f" {day_shown(loan.due_on)}" if loan.due_on else ""
    return Waiting(loan.tool, f"out to {loan.borrower}, was expected back{day}", loan.due_on)


def _missing(tool: Tool) -> Waiting:
    place = f"; its place is {tool.location.called}" if tool.location else ""
    return Waiting(tool, f"not in its drawer{place}", tool.missing_since)
