"""The sets of jaws of a chuck: enter one, change it, put it in, retire it."""

import uuid
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from inventory.keeping.jaws import JawSetForm
from inventory.measures import display_words
from inventory.measures.length_words import shown
from inventory.models import Location, Tool
from inventory.models.kinds import CHUCKS
from inventory.web.access import PersonsRequest, keepers_only, takers_only
from inventory.web.changes import changed_meanwhile, drawn_from
from inventory.web.editing import save_row, tell_change


@require_http_methods(["GET", "POST"])
@keepers_only
def jaws_add(request: PersonsRequest, tag: str) -> HttpResponse:
    chuck = _chuck(tag)
    form = JawSetForm(request.POST or None, chuck=chuck, initial={"token": uuid.uuid4(), "condition": "good"})
    if request.method == "POST" and save_row(form):
        messages.success(request, f"The {form.instance} of {chuck} are in Gripbook.")
        return redirect(chuck)
    return _page(request, form, heading=f"Jaws for {chuck}, {chuck.what}")


@require_http_methods(["GET", "POST"])
@keepers_only
def jaws_edit(request: PersonsRequest, tag: str, pk: int) -> HttpResponse:
    chuck = _chuck(tag)
    if request.method == "POST":
        return _save_edit(request, chuck, pk)
    jaws = get_object_or_404(chuck.jaw_sets.select_related("location"), pk=pk)
    form = JawSetForm(instance=jaws, chuck=chuck)
    return _page(request, form, heading=f"The {jaws} of {chuck}", drawn_from=drawn_from(jaws))


@transaction.atomic
def _save_edit(request: PersonsRequest, chuck: Tool, pk: int) -> HttpResponse:
    jaws = get_object_or_404(chuck.jaw_sets.select_for_update(), pk=pk)
    heading, form = f"The {jaws} of {chuck}", JawSetForm(request.POST, instance=jaws, chuck=chuck)
    if save_row(form, meanwhile=changed_meanwhile(jaws, request.POST)):
        tell_change(request, form, f"The {jaws} of {chuck} are changed.")
        return redirect(chuck)
    return _page(request, form, heading=heading, drawn_from=drawn_from(jaws))


@require_POST
@takers_only
@transaction.atomic
def jaws_put_in(request: PersonsRequest, tag: str, pk: int) -> HttpResponse:
    """Pressed twice it changes nothing; who may mount a chuck may change its jaws."""
    chuck = get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())
    jaws = get_object_or_404(chuck.jaw_sets.select_for_update(), pk=pk)
    if jaws.is_in:
        messages.info(request, f"The {jaws} are in {chuck} already.")
    elif not jaws.is_usable:
        messages.error(request, f"The {jaws} are {'retired' if jaws.retired_at else jaws.condition}: not put in.")
    else:
        jaws.put_in()
        if chuck.tir is not None:
            messages.warning(
                request, f"{shown(chuck.tir)} TIR was read with other jaws and counts no longer: read it anew."
            )
        messages.success(request, f"The {jaws} are in {chuck} now; what it holds is what they hold.")
        if None in jaws.outside:
            messages.warning(request, "What they hold is not written down: until it is, the finder leaves it out.")
    return redirect(chuck)


@require_POST
@keepers_only
@transaction.atomic
def jaws_retire(request: PersonsRequest, tag: str, pk: int) -> HttpResponse:
    jaws = get_object_or_404(_chuck(tag).jaw_sets.select_for_update(), pk=pk)
    if jaws.is_in:
        messages.error(request, f"The {jaws} are in {jaws.chuck}. Put other jaws in it, then retire them.")
    elif jaws.retired_at is None:
        jaws.retired_at = timezone.now()
        jaws.save()
        messages.success(request, f"The {jaws} are retired. They stay in Gripbook.")
    return redirect(jaws.chuck)


@require_POST
@keepers_only
@transaction.atomic
def jaws_unretire(request: PersonsRequest, tag: str, pk: int) -> HttpResponse:
    jaws = get_object_or_404(_chuck(tag).jaw_sets.select_for_update(), pk=pk)
    if jaws.retired_at is not None:
        jaws.retired_at = None
        jaws.save()
        messages.success(request, f"The {jaws} are back in use.")
    return redirect(jaws.chuck)


def _chuck(tag: str) -> Tool:
    chuck = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    if chuck.kind not in CHUCKS:
        raise Http404(f"{chuck} is a {chuck.kind}: only a chuck has jaw sets.")
    return chuck


def _page(request: PersonsRequest, form: JawSetForm, **context: Any) -> HttpResponse:
    context = {
        "form": form,
        "hint": f"Leave empty what you do not know. {display_words.bare()}",
        "drawn_from": "",
        "offers": {"places": Location.objects.names()},
        "back": reverse("tool", args=[form.chuck.tag]),
        "back_words": f"Back to {form.chuck}, without a change",
        **context,
    }
    return render(request, "inventory/row_form.html", {"place": "tooling", **context})
