"""An indicator on a piece: the look that is kept, the one that corrects it, its photo, and the wear over time."""

import uuid
from datetime import datetime, timedelta

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from inventory.inspections.form import InspectionForm, as_typed, usual_pin
from inventory.inspections.limits import limits_of
from inventory.inspections.readings import readings_of
from inventory.inspections.wear import trend as trend_in
from inventory.inspections.wear_picture import picture_of
from inventory.measures.lengths import exact, shown
from inventory.models import Inspection, InspectionPhoto, Tool
from inventory.models.tools import USABLE_CONDITIONS
from inventory.web.access import takers_only

_SITTING = "inspection_sitting"
_SITTING_LASTS = timedelta(hours=4)
_REMEMBERED = ("taken_in", "on_lathe", "was_reseated", "far_at")
LOOKS_SHOWN = 20


@require_http_methods(["GET", "POST"])
@takers_only
def inspect(request, tag):
    if request.method == "POST":
        return _kept(request, tag)
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    initial = {
        "finding": tool.finding,
        "verdict": tool.condition,
        "pin": usual_pin(tool),
        "taken_on": timezone.localdate().isoformat(),
        **_sitting(request),
    }
    return _page(request, tool, _form(request, tool, initial=initial))


@require_http_methods(["GET", "POST"])
@takers_only
def inspection_correct(request, tag, pk):
    """A mistyped look is followed by one that says so; keepers correct any, others their own."""
    look = get_object_or_404(Inspection.objects.for_history().select_related("tool"), pk=pk, tool__tag=tag.upper())
    if not request.user.may_keep and look.recorded_by_id != request.user.pk:
        raise PermissionDenied(f"{look.recorded_by or 'Somebody else'} wrote this down. A crib keeper can correct it.")
    if request.method == "POST":
        return _kept(request, tag, look)
    if look.is_corrected:
        return _corrected_already(request, look.tool)
    tool = get_object_or_404(Tool.objects.for_list(), pk=look.tool_id)
    return _page(request, tool, _form(request, tool, initial=as_typed(look)), corrects=look)


def _form(request, tool, **given):
    first = {"token": uuid.uuid4(), **given.pop("initial", {})}
    return InspectionForm(*given.pop("sent", ()), tool=tool, by=request.user, today=timezone.localdate(), initial=first)


@transaction.atomic
def _kept(request, tag, corrects=None):
    tool = get_object_or_404(Tool.objects.for_list().select_for_update(of=("self",)), tag=tag.upper())
    form = _form(request, tool, sent=(request.POST, request.FILES), initial=as_typed(corrects) if corrects else {})
    if not form.is_valid():
        form.ask_for_the_photo_again()
        return _page(request, tool, form, corrects=corrects)
    _remember(request, form.cleaned_data)
    token = form.cleaned_data["token"]
    if Inspection.objects.filter(token=token).exists():
        messages.info(request, f"{tool}: this look was kept already; nothing was added.")
        return redirect(tool)
    if corrects and Inspection.objects.filter(corrects=corrects).exists():
        return _corrected_already(request, tool)
    if tool.retired_at:
        messages.error(request, f"{tool} is retired. Take it back into the book, then inspect it.")
        return redirect(tool)
    was_missing = tool.missing_since is not None
    look = _recorded(tool, form, by=request.user, token=token, corrects=corrects)
    messages.success(request, _said(tool, look, was_missing=was_missing))
    return redirect(tool)


def _recorded(tool, form, **of_the_look) -> Inspection:
    seen = {**form.seen(), **of_the_look}
    # Whoever has an indicator on it has found it.
    tool.missing_since = None
    is_late = of_the_look["corrects"] is None and tool.inspected_on and seen["taken_on"] < tool.inspected_on
    look = tool.record_late(**seen) if is_late else tool.record(**seen)
    if form.cleaned_data["photo"]:
        InspectionPhoto.objects.create(inspection=look, jpeg=form.cleaned_data["photo"])
    return look


def _said(tool, look, *, was_missing: bool) -> str:
    parts = [f"{tool}: {shown(look.tir)} TIR kept" if look.tir is not None else f"{tool}: the look is kept"]
    if look.corrects_id:
        parts.append("the mistyped one stays in the history, struck through")
    if look.taken_on != tool.inspected_on:
        parts.append("it is older than the last inspection, which stays the current one")
    elif tool.is_found_unfit:
        parts.append(f"{tool.finding}, so it is {tool.condition} and out of use")
    elif limit := limits_of(tool).exceeded_by(tool.tir, tool.condition):
        parts.append(f"that is over its limit of {shown(limit)}, and it is still called good")
    elif tool.condition not in USABLE_CONDITIONS:
        parts.append(f"it is {tool.condition}, and out of use")
    else:
        parts.append(f"it is {tool.condition}")
    if was_missing:
        parts.append("and it is found again")
    return "; ".join(parts) + "."


def _corrected_already(request, tool):
    messages.info(request, "That look is corrected already; nothing was added.")
    return redirect(tool)


def _page(request, tool, form, corrects=None):
    limits = limits_of(tool)
    return render(
        request,
        "inventory/inspect.html",
        {"place": "tooling", "tool": tool, "form": form, "corrects": corrects, "limits": limits},
    )


def _sitting(request) -> dict:
    """On what the last piece of this sitting was taken."""
    kept = request.session.get(_SITTING, {})
    if not kept or timezone.now() - datetime.fromisoformat(kept["at"]) > _SITTING_LASTS:
        return {}
    return {name: kept.get(name) for name in _REMEMBERED}


def _remember(request, cleaned) -> None:
    if cleaned["tir"] is None and cleaned["tir_far"] is None:
        return
    request.session[_SITTING] = {
        "at": timezone.now().isoformat(),
        "taken_in": cleaned["taken_in"],
        "on_lathe": cleaned["on_lathe"].pk if cleaned["on_lathe"] else None,
        "was_reseated": cleaned["was_reseated"],
        "far_at": exact(cleaned["far_at"]) if cleaned["far_at"] else "",
    }


@require_GET
def inspection_photo(request, pk):
    photo = get_object_or_404(InspectionPhoto, pk=pk)
    answer = HttpResponse(bytes(photo.jpeg), content_type="image/jpeg")
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Disposition"] = f'inline; filename="inspection-{photo.inspection_id}.jpg"'
    # A photo is never changed, and is for nobody but who is signed in.
    answer["Cache-Control"] = "private, max-age=86400"
    return answer


@require_GET
def wear(request, tag):
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    limits = limits_of(tool)
    readings = readings_of(tool)
    trend = trend_in(readings, limit=limits.limit)
    return render(
        request,
        "inventory/wear.html",
        {
            "place": "tooling",
            "tool": tool,
            "limits": limits,
            "trend": trend,
            "over": limits.exceeded_by(tool.tir, tool.condition),
            "readings": [(reading, reading in trend.alike) for reading in readings],
            "undated": tool.inspections.standing().filter(taken_on=None, tir__isnull=False).count(),
            "picture": picture_of(readings, trend) if readings else None,
        },
    )
