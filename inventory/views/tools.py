"""The pieces: the list of them, and the page of one."""

import uuid

from django.core.paginator import Paginator
from django.db.models import F
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.inspections.limits import limits_of
from inventory.inspections.readings import trend_of
from inventory.keeping.lending_forms import IssueForm
from inventory.keeping.spots import NEVER_MOUNTED
from inventory.measures.inputs import say_plainly
from inventory.models import Location, Tool
from inventory.models.kinds import CHUCKS
from inventory.models.wear import USABLE_CONDITIONS
from inventory.pieces.filters import ToolFilter
from inventory.pieces.telling import facts, states
from inventory.views.keeping import like_this
from inventory.web.changes import drawn_from, edits

PER_PAGE = 50
INSPECTIONS_SHOWN = 20


FOLDED = ("location", "size", "group", "kind", "series", "shape", "condition", "state")
"""All but the tag stands in a fold, so that a phone shows pieces; its line says what of it is used."""


@require_GET
def tool_list(request):
    narrowed = ToolFilter(request.GET, Tool.objects.for_list().with_open_loans())
    say_plainly(narrowed.form.fields)
    narrowed.form.fields["location"].widget.attrs["list"] = "places"
    pieces = narrowed.qs if narrowed.form.is_valid() else Tool.objects.none()
    page = Paginator(pieces, PER_PAGE).get_page(request.GET.get("page"))
    for tool in page:
        tool.states = states(tool, tool.loan)
    used = {name for name, value in narrowed.form.cleaned_data.items() if value not in (None, "")}
    if used == {"text"} and (meant := Tool.objects.tagged(narrowed.form.cleaned_data["text"]).first()):
        return redirect(meant)
    return render(
        request,
        "inventory/tool_list.html",
        {
            "place": "tooling",
            "form": narrowed.form,
            "page": page,
            "is_narrowed": bool(used or narrowed.form.errors),
            "is_unfolded": not narrowed.form.errors.keys().isdisjoint(FOLDED),
            "narrowed_by": [_said(narrowed.form, name) for name in FOLDED if name in used],
            "places": Location.objects.in_use(),
        },
    )


def _said(form, name) -> str:
    """`Drawer A2`: a field of the filter and what was chosen or written there."""
    return f"{form.fields[name].label.split(',')[0]} {form.data[name][:40]}"


@require_GET
def tool(request, tag):
    tool = get_object_or_404(Tool.objects.for_list().select_related("reading"), tag=tag.upper())
    loan = tool.loans.open().select_related("borrower", "lathe").first()
    looks = list(tool.inspections.for_history()[:INSPECTIONS_SHOWN])
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
            "inspections": looks,
            "was_read_with_other_jaws": tool.tir is None and any(look.tir is not None for look in looks),
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


def _jaws(tool):
    """The sets of jaws of a chuck, the one that is in it first and the retired ones last."""
    return tool.jaw_sets.select_related("location").order_by(
        F("retired_at").asc(nulls_first=True), "-is_in", "kind", "pk"
    )
