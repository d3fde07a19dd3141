"""Where a piece is: moved to another place, missing, found, retired or taken back into the book."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from inventory.keeping.mounting import take_off
from inventory.measures.inputs import LineInput, say_plainly
from inventory.models import Location, Tool
from inventory.pieces.book import Book
from inventory.web.access import PersonsRequest, keepers_only, takers_only
from inventory.web.changes import changed_meanwhile, drawn_from
from inventory.web.news import tell_new_places
from inventory.web.redirects import safe_redirect


class NewPlaceForm(forms.Form):
    """Where the piece belongs from now on."""

    to = LineInput(
        max_length=60,
        label="Its new place",
        help_text="The name of a drawer, like E2. A new name makes a new place.",
        widget=forms.TextInput(attrs={"list": "places"}),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"to": "E2"})


@require_http_methods(["GET", "POST"])
@keepers_only
def tool_move(request: PersonsRequest, tag: str) -> HttpResponse:
    if request.method == "POST":
        return _move(request, tag)
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    return _move_page(request, tool, NewPlaceForm())


@transaction.atomic
def _move(request: PersonsRequest, tag: str) -> HttpResponse:
    """Locked from the look at its history on: sent twice, or late, it does not undo what somebody else did."""
    tool = get_object_or_404(Tool.objects.for_list().select_for_update(of=("self",)), tag=tag.upper())
    form = NewPlaceForm(request.POST)
    if not form.is_valid():
        return _move_page(request, tool, form)
    book = Book()
    to = book.place(form.cleaned_data["to"])
    if tool.location_id == to.pk:
        messages.info(request, f"{tool} belongs in {to.path} already.")
    elif meanwhile := changed_meanwhile(tool, request.POST):
        form.add_error(None, meanwhile)
        return _move_page(request, tool, form)
    else:
        tool.location = to
        tool.save()
        messages.success(request, f"{tool} belongs in {to.path} now.")
        tell_new_places(request, book.new_places)
    return redirect(tool)


def _move_page(request: PersonsRequest, tool: Tool, form: NewPlaceForm) -> HttpResponse:
    context = {"place": "tooling", "tool": tool, "form": form, "drawn_from": drawn_from(tool)}
    return render(request, "inventory/tool_move.html", {**context, "places": Location.objects.in_use()})


@require_POST
@takers_only
@transaction.atomic
def tool_missing(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = _locked_tool(tag)
    loan = tool.loans.open().select_related("borrower").first()
    if tool.retired_at:
        messages.error(request, f"{tool} is retired, and nobody looks for it.")
    elif loan:
        messages.error(request, f"{tool} is out to {loan.borrower}: ask there first, and have it returned.")
    elif tool.missing_since:
        messages.info(request, f"{tool} is {tool.why_not} already.")
    else:
        _take_off(tool)
        tool.missing_since = timezone.localdate()
        tool.save()
        messages.success(request, f"{tool} is missing. The finder leaves it out until somebody finds it.")
    return safe_redirect(request, tool)


@require_POST
@takers_only
@transaction.atomic
def tool_found(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = _locked_tool(tag)
    if tool.missing_since is None:
        messages.info(request, f"{tool} is not missing: it was found already.")
    else:
        tool.missing_since = None
        tool.save()
        place = f"; its place is {tool.location.path}" if tool.location else ""
        messages.success(request, f"{tool} is found{place}.")
    return safe_redirect(request, tool)


@require_POST
@keepers_only
@transaction.atomic
def tool_retire(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = _locked_tool(tag)
    loan = tool.loans.open().select_related("borrower").first()
    if loan:
        messages.error(request, f"{tool} is out to {loan.borrower}. Have it returned, then retire it.")
    elif tool.retired_at is None:
        _take_off(tool)
        tool.retired_at = timezone.now()
        tool.save()
        messages.success(request, f"{tool} is retired. It stays in Gripbook, and is no longer offered.")
    return redirect(tool)


@require_POST
@keepers_only
@transaction.atomic
def tool_unretire(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = _locked_tool(tag)
    if tool.retired_at is not None:
        tool.retired_at = None
        tool.save()
        messages.success(request, f"{tool} is back in Gripbook.")
    return redirect(tool)


def _locked_tool(tag: str) -> Tool:
    return get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())


def _take_off(tool: Tool) -> None:
    if tool.mounted_on_id is not None:
        take_off(tool)
