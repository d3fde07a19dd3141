"""An indicator on a piece: the inspection that is kept, the one that corrects it, and its photo."""

import uuid
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from inventory.inspections import sitting
from inventory.inspections.form import InspectionForm, as_typed, usual_pin
from inventory.inspections.limits import limits_of
from inventory.inspections.recording import AlreadyKept, CannotInspect, outcome, record
from inventory.models import Inspection, InspectionPhoto, Tool
from inventory.web.access import PersonsRequest, takers_only

FROM_DUE = "due"
"""What an address says of who goes through the list of what is due, and is led on to the next piece."""


@require_http_methods(["GET", "POST"])
@takers_only
def inspect(request: PersonsRequest, tag: str) -> HttpResponse:
    if request.method == "POST":
        return _keep(request, tag)
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    initial = {
        # What was found before is found anew or not; but what takes it out of use stays, but for a keeper.
        "finding": tool.finding if tool.is_found_unfit and not request.user.may_keep else "",
        "verdict": tool.condition,
        "pin": usual_pin(tool),
        "taken_on": timezone.localdate().isoformat(),
        **sitting.remembered(request.session, now=timezone.now()),
    }
    return _page(request, _form(request, tool, initial))


@require_http_methods(["GET", "POST"])
@takers_only
def inspection_correct(request: PersonsRequest, tag: str, pk: int) -> HttpResponse:
    """A mistyped inspection is followed by one that says so; keepers correct any, others their own."""
    mistyped = get_object_or_404(Inspection.objects.for_history().select_related("tool"), pk=pk, tool__tag=tag.upper())
    if not request.user.may_keep and mistyped.recorded_by_id != request.user.pk:
        who = mistyped.recorded_by or "Somebody else"
        raise PermissionDenied(f"{who} wrote this down. A crib keeper can correct it.")
    if request.method == "POST":
        return _keep(request, tag, corrects=mistyped)
    if mistyped.is_corrected:
        messages.info(request, "That inspection was corrected already; nothing was added.")
        return redirect(mistyped.tool)
    tool = get_object_or_404(Tool.objects.for_list(), pk=mistyped.tool_id)
    return _page(request, _form(request, tool, as_typed(mistyped)), corrects=mistyped)


@transaction.atomic
def _keep(request: PersonsRequest, tag: str, corrects: Inspection | None = None) -> HttpResponse:
    tool = get_object_or_404(Tool.objects.for_list().select_for_update(of=("self",)), tag=tag.upper())
    form = _form(request, tool, as_typed(corrects) if corrects else {})
    if not form.is_valid():
        form.ask_for_the_photo_again()
        return _page(request, form, corrects=corrects)
    sitting.remember(request.session, form, now=timezone.now())
    was_missing = tool.missing_since is not None
    try:
        inspection = record(tool, form, by=request.user, corrects=corrects)
    except AlreadyKept as reason:
        messages.info(request, str(reason))
    except CannotInspect as reason:
        messages.error(request, str(reason))
    else:
        messages.success(request, outcome(tool, inspection, was_missing=was_missing))
    return redirect(tool.get_absolute_url() + (f"?from={FROM_DUE}" if request.GET.get("from") == FROM_DUE else ""))


def _form(request: PersonsRequest, tool: Tool, initial: dict[str, Any]) -> InspectionForm:
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    initial = {"token": uuid.uuid4(), **initial}
    return InspectionForm(*sent, tool=tool, by=request.user, today=timezone.localdate(), initial=initial)


def _page(request: PersonsRequest, form: InspectionForm, corrects: Inspection | None = None) -> HttpResponse:
    context = {"tool": form.tool, "form": form, "corrects": corrects, "limits": limits_of(form.tool)}
    return render(request, "inventory/inspect.html", {"place": "tooling", **context})


@require_GET
def inspection_photo(request: PersonsRequest, pk: int) -> HttpResponse:
    photo = get_object_or_404(InspectionPhoto, pk=pk)
    answer = HttpResponse(bytes(photo.jpeg), content_type="image/jpeg")
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Disposition"] = f'inline; filename="inspection-{photo.inspection_id}.jpg"'
    # A photo is never changed, and is for nobody but who is signed in.
    answer["Cache-Control"] = "private, max-age=86400"
    return answer
