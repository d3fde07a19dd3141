"""What is due: late loans, what is missing from its drawer, and the pieces to inspect."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET
from msgspec import Struct

from inventory.inspections import waiting
from inventory.models import Tool
from inventory.pieces.telling import facts, size_and_rest, size_of
from inventory.web.tables import Column, Head, WordFilter, heads_of, in_order

SHOWN = 200
_OF_A_PIECE = (Column("Size", "size"), Column("What", "what"), Column("Tag", "tag"), Column("Drawer", "drawer"))


class DueRow(Struct, frozen=True):
    """A piece that waits: `why` or for whom, and since when, where that is known."""

    tool: Tool
    size: str
    rest: str
    why: str
    since: date | None

    @property
    def words(self) -> str:
        drawer = self.tool.location.called if self.tool.location else ""
        return f"{self.size} {self.rest} {self.tool.tag} {drawer} {self.why}"


_BY: dict[str, Callable[[DueRow], Any]] = {
    "size": lambda row: size_of(row.tool),
    "what": lambda row: row.rest,
    "tag": lambda row: row.tool.tag,
    "drawer": lambda row: row.tool.location.name if row.tool.location else "",
    "why": lambda row: row.why.lower(),
    "since": lambda row: row.since,
}


@require_GET
def due(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    overdue = waiting.first_rows(SHOWN, waiting.overdue(today=today))
    missing = waiting.first_rows(SHOWN, waiting.missing())
    inspections = waiting.first_to_inspect(SHOWN, today=today)
    narrowing = WordFilter(request, "Size, tag, drawer or why")
    lists = {
        "overdue": _table(request, "Out to", "Was due", overdue, overdue_rows(overdue.rows), narrowing),
        "missing": _table(request, "", "Missing since", missing, missing_rows(missing.rows), narrowing),
        "inspections": _table(request, "Why", "", inspections, inspection_rows(inspections.rows), narrowing),
    }
    return render(
        request,
        "inventory/due.html",
        {
            "place": "desk",
            **lists,
            "narrowing": narrowing,
            "chosen": _chosen(request, (row for table in lists.values() for row in table.rows)),
        },
    )


class DueTable(Struct, frozen=True):
    """One of the lists: the words of its columns `why` and `since`, empty where it has none, and its rows."""

    why: str
    since: str
    heads: list[Head]
    rows: list[DueRow]
    count: int
    shown: int


def _table(
    request: HttpRequest, why: str, since: str, first: waiting.FirstRows, rows: Iterable[DueRow], narrowing: WordFilter
) -> DueTable:
    columns = [*_OF_A_PIECE, *([Column(why, "why")] if why else []), *([Column(since, "since")] if since else [])]
    rows_shown = in_order(request, narrowing.among(rows, lambda row: row.words), _BY)
    count = len(rows_shown) if narrowing.is_narrowed else first.count
    return DueTable(why, since, heads_of(request, [*columns, Column("")]), rows_shown, count, first.shown)


def _chosen(request: HttpRequest, rows: Iterable[DueRow]) -> tuple[DueRow, list[tuple[str, str]]] | None:
    """The piece that is shown beside the lists, with what is known of it."""
    tag = request.GET.get("piece", "").upper()
    row = next((row for row in rows if row.tool.tag == tag), None) if tag else None
    # Of a line of a list only what it says was read.
    return (row, facts(Tool.objects.for_list().get(pk=row.tool.pk))) if row else None


def overdue_rows(loans: Iterable[Any]) -> list[DueRow]:
    return [DueRow(loan.tool, *size_and_rest(loan.tool), str(loan.borrower), loan.due_on) for loan in loans]


def missing_rows(tools: Iterable[Tool]) -> list[DueRow]:
    return [DueRow(tool, *size_and_rest(tool), "", tool.missing_since) for tool in tools]


def inspection_rows(waits: Iterable[waiting.Waiting]) -> list[DueRow]:
    return [DueRow(one.tool, *size_and_rest(one.tool), one.why, one.since) for one in waits]
