"""One incomplete piece after the other, each with only what it lacks."""

import copy

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods

from inventory.models import Tool
from inventory.pieces.asked import jaws_in
from inventory.pieces.missing_form import MissingForm
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from
from inventory.web.news import tell_new_seats


@require_http_methods(["GET", "POST"])
@keepers_only
def details_missing(request: PersonsRequest) -> HttpResponse:
    """The next incomplete piece after the tag in the address; behind the last it begins again."""
    if request.method == "POST":
        return _fill_in(request)
    after = request.GET.get("after", "").upper()
    left = Tool.objects.details_missing().for_list().order_by("tag")
    tool = left.filter(tag__gt=after).first() or left.first()
    return _page(request, tool, MissingForm(tool=tool) if tool else None)


@transaction.atomic
def _fill_in(request: PersonsRequest) -> HttpResponse:
    tag = request.POST.get("tag", "").upper()
    tool = Tool.objects.for_list().select_for_update(of=("self",)).filter(tag=tag).first()
    if tool is None:
        messages.error(request, "The piece of this page has another tag by now. Look again.")
        return redirect("details_missing")
    before, form = copy.copy(tool), MissingForm(request.POST, tool=tool)
    if form.is_empty:
        messages.info(request, f"Nothing was filled in for {tool}; it stays as it is.")
        return redirect(_after(tool))
    if meanwhile := changed_meanwhile(tool, request.POST):
        form.add_error(None, meanwhile)
    if not form.is_valid():
        return _page(request, before, form)
    saved = form.save(by=request.user)
    still = f" Still missing: {'; '.join(saved.missing_details)}." if saved.missing_details else ""
    messages.success(request, f"{saved} is filled in.{still}")
    tell_new_seats(request, form.own_seats)
    return redirect(_after(saved))


def _after(tool: Tool) -> str:
    return f"{reverse('details_missing')}?{urlencode({'after': tool.tag})}"


def _page(request: PersonsRequest, tool: Tool | None, form: MissingForm | None) -> HttpResponse:
    if form is not None:
        form.offer_known()
    return render(
        request,
        "inventory/details_missing.html",
        {
            "place": "desk",
            "tool": tool,
            "form": form,
            "jaws": jaws_in(tool),
            "is_empty": tool is None and not Tool.objects.in_book().exists(),
            "left": Tool.objects.details_missing().count(),
            "drawn_from": drawn_from(tool) if tool else None,
            "next": _after(tool) if tool else "",
        },
    )
