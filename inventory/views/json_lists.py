"""What is in the book, for other programs: `/tools.json`, `/loans.json`, `/sheets.json`."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django_filters import FilterSet

from inventory.keeping.reservations import first_of_each
from inventory.models import Loan, SetupSheet, Tool
from inventory.pieces.filters import ToolFilter
from inventory.web.items_json import loan_json, sheet_json, tool_json
from inventory.web.json_door import json_door
from inventory.web.json_pages import ListError, lathe_asked, page_of, word_asked

OUT, RETURNED, ALL = "out", "returned", "all"
CURRENT, DRAFT, IN_USE, ARCHIVED = "current", "draft", "in use", "archived"


def _or_error(view: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Says in JSON what of the address cannot be read."""

    @wraps(view)
    def answered(request: HttpRequest) -> HttpResponse:
        try:
            return view(request)
        except ListError as error:
            return error.answer()

    return answered


@json_door
@_or_error
def tools_json(request: HttpRequest) -> HttpResponse:
    """The pieces in the book, narrowed as the list of pieces is, or to those that are on one lathe."""
    lathe = lathe_asked(request)
    tools = Tool.objects.for_list().with_open_loans()
    if lathe is not None:
        tools = tools.filter(mounted_on=lathe)
    if tag := request.GET.get("tag", ""):
        tools = tools.tagged(tag)
    narrowed = ToolFilter(request.GET, tools)
    _refuse_what_is_unreadable(request, narrowed)
    reserved = first_of_each(at=timezone.now())
    return page_of(request, narrowed.qs, lambda tool: tool_json(tool, reserved.get(tool.pk)))


def _refuse_what_is_unreadable(request: HttpRequest, narrowed: FilterSet) -> None:
    for field, messages in narrowed.form.errors.items():
        raise ListError(" ".join(map(str, messages)), field=field, read=request.GET.get(field, ""))


@json_door
@_or_error
def loans_json(request: HttpRequest) -> HttpResponse:
    """What is out; what came back, or all, where the address asks for that."""
    state, lathe = word_asked(request, "state", (OUT, RETURNED, ALL)), lathe_asked(request)
    loans = Loan.objects.select_related(
        "borrower", "issued_by", "returned_by", "lathe", "sheet", "tool__size__series", "tool__mounts_in"
    )
    if state != ALL:
        loans = loans.filter(returned_at__isnull=state == OUT)
    if lathe is not None:
        loans = loans.filter(lathe=lathe)
    if tag := request.GET.get("tag", "").strip():
        loans = loans.filter(tool__tag=tag.upper())
    return page_of(request, loans, loan_json)


@json_door
@_or_error
def sheets_json(request: HttpRequest) -> HttpResponse:
    """The setup sheets, drafts too; those that are archived where the address asks for them."""
    state, lathe = word_asked(request, "state", (CURRENT, DRAFT, IN_USE, ARCHIVED, ALL)), lathe_asked(request)
    sheets = SetupSheet.objects.select_related("lathe", "made_by").prefetch_related(
        "pieces__tool__size__series", "pieces__tool__mounts_in", "operations__tool", "operations__holder"
    )
    if state != ALL:
        sheets = sheets.filter(put_away_at__isnull=state != ARCHIVED)
    if state in (DRAFT, IN_USE):
        sheets = sheets.filter(frozen_at__isnull=state == DRAFT)
    if number := request.GET.get("number", "").strip():
        sheets = sheets.filter(number__iexact=number)
    if revision := request.GET.get("revision", "").strip():
        sheets = sheets.filter(revision__iexact=revision)
    if lathe is not None:
        sheets = sheets.filter(lathe=lathe)
    return page_of(request, sheets, sheet_json)
