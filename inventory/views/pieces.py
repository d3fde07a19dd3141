"""The pieces: the list of them, the page of one, and all that happened to it."""

from __future__ import annotations

import re
import uuid
from collections.abc import Callable
from typing import Any

from django.core.paginator import Paginator
from django.db.models import F, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.inspections.due import inspections_due
from inventory.inspections.limits import limits_of
from inventory.inspections.readings import trend_of
from inventory.inspections.waiting import Waiting, to_inspect
from inventory.keeping.holders import held_by, holder_of, holds, is_held
from inventory.keeping.lending_forms import IssueForm
from inventory.keeping.spots import NEVER_MOUNTED
from inventory.models import JawSet, Tool
from inventory.models.kinds import CHUCKS
from inventory.models.wear import USABLE_CONDITIONS
from inventory.pieces.drawing import drawing_of_piece
from inventory.pieces.telling import facts, states
from inventory.pieces.timeline import HEADINGS, TimelineEvent, timeline_of
from inventory.transfer import sheets
from inventory.views.entering import like_this
from inventory.views.inspections import FROM_DUE
from inventory.views.reserved import reserved_lines
from inventory.web.access import PersonsRequest
from inventory.web.changes import drawn_from, edits
from inventory.web.cookies import remember, remembered
from inventory.web.tables import Column, word_list

_SEEN, _SEEN_LATELY = "gripbook_pieces", 4
_CAN_BE_A_TAG = re.compile(r"[^/\x00\n]{1,20}")
EVENTS_PER_PAGE = 50
INSPECTIONS_SHOWN = 20
_EVENT_COLUMNS = (Column("When", "when"), Column("What", "what"), Column("In words"), Column("By", "by"))
_EVENTS_BY: dict[str, Callable[[TimelineEvent], Any]] = {
    "when": lambda event: event.at,
    "what": lambda event: event.sort,
    "by": lambda event: event.by,
}


@require_GET
def tool(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = get_object_or_404(Tool.objects.for_list().select_related("reading"), tag=tag.upper())
    loan = tool.loans.open().select_related("borrower", "lathe").first()
    inspections = list(tool.inspections.for_history()[:INSPECTIONS_SHOWN])
    limits = limits_of(tool)
    is_from_due = request.GET.get("from") == FROM_DUE and request.user.may_issue
    response = render(
        request,
        "inventory/tool.html",
        {
            "place": "tooling",
            "today": timezone.localdate(),
            "is_from_due": is_from_due,
            "next_due": _next_due(tool) if is_from_due else None,
            "tool": tool,
            "loan": loan,
            "reserved": reserved_lines(tool),
            # The page says its condition and who has it in full.
            "states": [state for state in states(tool, None) if state.word != tool.condition],
            "facts": facts(tool),
            "drawing": drawing_of_piece(tool),
            "inspections": inspections,
            "was_read_with_other_jaws": tool.tir is None and any(one.tir is not None for one in inspections),
            "trend": trend_of(tool, limits),
            "over": None if tool.retired_at else limits.exceeded_by(tool.tir, tool.condition),
            "look_token": uuid.uuid4(),
            "is_out_of_use": tool.condition not in USABLE_CONDITIONS,
            "edits": edits(tool),
            "has_jaws": tool.kind in CHUCKS,
            "jaws": _jaws(tool),
            "can_mount": tool.kind not in NEVER_MOUNTED,
            "may_be_held": is_held(tool) or holds(tool),
            "held": held_by(tool) or holder_of(tool),
            "is_holder": holds(tool),
            "drawn_from": drawn_from(tool),
            "like_this": like_this(tool),
            "issue_form": IssueForm(by=request.user, initial={"token": uuid.uuid4()}),
            "is_overdue": bool(loan and loan.due_on and loan.due_on < timezone.localdate()),
        },
    )
    others = [one for one in seen_lately(request) if one != tool.tag]
    remember(response, _SEEN, "\n".join([tool.tag, *others][:_SEEN_LATELY]))
    return response


def _next_due(tool: Tool) -> Waiting | None:
    """The most urgent of the other pieces to inspect."""
    others = [due for due in inspections_due(today=timezone.localdate()) if due.pk != tool.pk]
    return next(iter(to_inspect(others[:1])), None)


def seen_lately(request: HttpRequest) -> list[str]:
    """The tags of the pieces whose pages were opened on this device, the newest first."""
    return [tag for tag in remembered(request, _SEEN).split("\n")[:_SEEN_LATELY] if _CAN_BE_A_TAG.fullmatch(tag)]


def _jaws(tool: Tool) -> QuerySet[JawSet]:
    """The sets of jaws of a chuck, the one that is in it first and the retired ones last."""
    return tool.jaw_sets.select_related("location").order_by(
        F("retired_at").asc(nulls_first=True), "-is_in", "kind", "pk"
    )


@require_GET
def tool_history(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    events = word_list(
        request,
        timeline_of(tool),
        _EVENT_COLUMNS,
        _EVENTS_BY,
        label="What, words or by whom",
        words_of=lambda event: f"{event.sort} {event.words} {event.by}",
    )
    page = Paginator(events["rows"], EVENTS_PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "inventory/tool_history.html", {"place": "tooling", "tool": tool, "page": page, **events})


@require_GET
def tool_history_csv(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = get_object_or_404(Tool, tag=tag.upper())
    rows = (event.as_row for event in timeline_of(tool))
    answer = HttpResponse(sheets.file_of(HEADINGS, rows, form="csv"), content_type="text/csv; charset=utf-8")
    name = "".join(letter if letter.isascii() and (letter.isalnum() or letter in "-_") else "-" for letter in tool.tag)
    answer["Content-Disposition"] = f'attachment; filename="history-{name}.csv"'
    return answer
