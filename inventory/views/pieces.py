"""The pieces: the list of them, the page of one, and all that happened to it."""

from __future__ import annotations

import uuid

from django.core.paginator import Paginator
from django.db.models import F, QuerySet
from django.forms import BaseForm
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.inspections.limits import limits_of
from inventory.inspections.readings import trend_of
from inventory.keeping.lending_forms import IssueForm
from inventory.keeping.spots import NEVER_MOUNTED
from inventory.measures.inputs import say_plainly
from inventory.models import JawSet, Location, Tool
from inventory.models.kinds import CHUCKS
from inventory.models.wear import USABLE_CONDITIONS
from inventory.pieces.filters import ToolFilter
from inventory.pieces.telling import facts, states
from inventory.pieces.timeline import HEADINGS, timeline_of
from inventory.transfer import sheets
from inventory.views.entering import like_this
from inventory.web.access import PersonsRequest
from inventory.web.changes import drawn_from, edits

PER_PAGE = 50
EVENTS_PER_PAGE = 100
INSPECTIONS_SHOWN = 20


@require_GET
def tool_list(request: PersonsRequest) -> HttpResponse:
    narrowed = ToolFilter(request.GET, Tool.objects.for_list().with_open_loans())
    form = narrowed.form
    say_plainly(form.fields)
    form.fields["location"].widget.attrs["list"] = "places"
    pieces = narrowed.qs if form.is_valid() else Tool.objects.none()
    page = Paginator(pieces, PER_PAGE).get_page(request.GET.get("page"))
    used = {name for name, value in form.cleaned_data.items() if value not in (None, "")}
    if used == {"text"} and (meant := Tool.objects.tagged(form.cleaned_data["text"]).first()):
        return redirect(meant)
    # All but the tag stands in a fold, so that a phone shows pieces; its line says what of it is used.
    folded = [name for name in form.fields if name != "text"]
    return render(
        request,
        "inventory/tool_list.html",
        {
            "place": "tooling",
            "form": form,
            "page": page,
            "rows": [(tool, states(tool, tool.loan)) for tool in page],
            "is_narrowed": bool(used or form.errors),
            "is_unfolded": not form.errors.keys().isdisjoint(folded),
            "narrowed_by": [_narrowed_by(form, name) for name in folded if name in used],
            "places": Location.objects.in_use(),
        },
    )


def _narrowed_by(form: BaseForm, name: str) -> str:
    """`Drawer E2`: a field of the filter and what was chosen or written there."""
    return f"{str(form.fields[name].label).split(',')[0]} {form.data[name][:40]}"


@require_GET
def tool(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = get_object_or_404(Tool.objects.for_list().select_related("reading"), tag=tag.upper())
    loan = tool.loans.open().select_related("borrower", "lathe").first()
    inspections = list(tool.inspections.for_history()[:INSPECTIONS_SHOWN])
    limits = limits_of(tool)
    return render(
        request,
        "inventory/tool.html",
        {
            "place": "tooling",
            "today": timezone.localdate(),
            "tool": tool,
            "loan": loan,
            # The page says its condition and who has it in full.
            "states": [state for state in states(tool, None) if state.word != tool.condition],
            "facts": facts(tool),
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
            "drawn_from": drawn_from(tool),
            "like_this": like_this(tool),
            "issue_form": IssueForm(by=request.user, initial={"token": uuid.uuid4()}),
            "is_overdue": bool(loan and loan.due_on and loan.due_on < timezone.localdate()),
        },
    )


def _jaws(tool: Tool) -> QuerySet[JawSet]:
    """The sets of jaws of a chuck, the one that is in it first and the retired ones last."""
    return tool.jaw_sets.select_related("location").order_by(
        F("retired_at").asc(nulls_first=True), "-is_in", "kind", "pk"
    )


@require_GET
def tool_history(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    page = Paginator(timeline_of(tool), EVENTS_PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "inventory/tool_history.html", {"place": "tooling", "tool": tool, "page": page})


@require_GET
def tool_history_csv(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = get_object_or_404(Tool, tag=tag.upper())
    rows = (event.as_row for event in timeline_of(tool))
    answer = HttpResponse(sheets.written(HEADINGS, rows, form="csv"), content_type="text/csv; charset=utf-8")
    name = "".join(letter if letter.isascii() and (letter.isalnum() or letter in "-_") else "-" for letter in tool.tag)
    answer["Content-Disposition"] = f'attachment; filename="history-{name}.csv"'
    return answer
