"""The pieces of a setup sheet reserved for its job in one tap, changed and lifted; and tomorrow's jobs laid out."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from uuid import UUID

from django.contrib import messages
from django.db.models import Q
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from msgspec import Struct

from inventory.keeping.lathe_times import others_on_the_lathe
from inventory.keeping.lay_out import jobs_of_day
from inventory.keeping.lending_forms import TapForm
from inventory.keeping.reservation_forms import ReserveForm
from inventory.keeping.reservations import (
    CannotReserve,
    JobReserved,
    ReservedTogether,
    change,
    first_by_tool,
    jobs_reserved,
    lift,
    of_a_job,
    pieces_of,
    reserve,
    reserved_words,
)
from inventory.measures.day_words import moment_shown
from inventory.measures.days import read_day
from inventory.models import Reservation, SetupSheet, Tool
from inventory.web.access import PersonsRequest, takers_only
from inventory.web.transactions import in_one_transaction


class ReservedLine(Struct, frozen=True):
    """What is reserved for a sheet at one time, and from when until when in words."""

    job: JobReserved
    starts: str
    lapses: str


def reserved_on(sheet: SetupSheet, tools: list[int]) -> dict[str, object]:
    """For the page of a sheet: what is reserved for it, and by the key of each of its `tools` what other jobs wait
    for it."""
    now = timezone.now()
    rows = list(of_a_job(Reservation.objects.standing(at=now).filter(Q(sheet=sheet) | Q(tool__in=tools))))
    jobs = jobs_reserved(row for row in rows if row.sheet_id == sheet.pk)
    first = first_by_tool(row for row in rows if row.tool_id in tools)
    return {
        "reserved": [ReservedLine(job, _words(job.starts_at, now=now), _words(job.lapses_at, now=now)) for job in jobs],
        "others": {key: reserved_words(row, now=now) for key, row in first.items() if row.sheet_id != sheet.pk},
    }


def _words(moment: datetime, *, now: datetime) -> str:
    return moment_shown(timezone.localtime(moment), today=timezone.localdate(now))


@require_http_methods(["GET", "POST"])
@takers_only
@in_one_transaction
def setup_reserve(request: PersonsRequest, pk: int) -> HttpResponse:
    """All pieces of a sheet from a day and time on. With `tap` what was reserved then is changed."""
    sheet = get_object_or_404(SetupSheet, pk=pk)
    if sheet.put_away_at:
        messages.error(request, "An archived sheet has no job that waits. Put it back in the list first.")
        return redirect(sheet)
    standing = _standing(sheet, request.GET.get("tap", ""))
    begins = ReserveForm.begins_with(today=timezone.localdate(), standing=standing)
    token = standing.token if standing else uuid.uuid4()
    form = ReserveForm(request.POST or None, initial={**begins, "token": token})
    tools = pieces_of(sheet)
    if form.is_valid():
        try:
            done = _reserve(request, sheet, tools, form, is_change=standing is not None)
            _tell(request, sheet, done, form, standing)
            return redirect(sheet)
        except CannotReserve as why:
            form.add_error(None, str(why))
    context = {"place": "plan", "sheet": sheet, "form": form, "tools": tools, "is_change": standing is not None}
    return render(request, "inventory/reserve.html", context)


def _standing(sheet: SetupSheet, text: str) -> Reservation | None:
    try:
        token = UUID(text)
    except ValueError:
        return None
    return sheet.reservations.standing(at=timezone.now()).filter(token=token).first()


def _reserve(
    request: PersonsRequest, sheet: SetupSheet, tools: list[Tool], form: ReserveForm, *, is_change: bool
) -> ReservedTogether:
    do = change if is_change else reserve
    return do(
        sheet,
        tools,
        starts_at=form.starts_at,
        lapses_at=form.lapses_at,
        by=request.user,
        at=timezone.now(),
        token=form.cleaned_data["token"],
    )


def _tell(
    request: PersonsRequest,
    sheet: SetupSheet,
    done: ReservedTogether,
    form: ReserveForm,
    standing: Reservation | None,
) -> None:
    when = _words(form.starts_at, now=timezone.now())
    if standing is not None:
        messages.success(request, f"It is reserved from {when} on.")
    if done.reserved:
        messages.success(request, f"Reserved from {when} on: {', '.join(tool.tag for tool in done.reserved)}.")
    for sentence in done.away:
        messages.warning(request, f"{sentence} It is reserved all the same.")
    for sentence in others_on_the_lathe(sheet, form.starts_at, at=timezone.now()):
        messages.warning(request, sentence)
    for sentence in done.refused:
        messages.error(request, sentence)
    if not (done.reserved or done.refused or standing):
        messages.info(request, "Nothing more was reserved.")


@require_POST
@takers_only
def setup_unreserve(request: PersonsRequest, pk: int) -> HttpResponse:
    sheet, tap = get_object_or_404(SetupSheet, pk=pk), TapForm(request.POST)
    lifted = 0
    if tap.is_valid():
        lifted = lift(sheet, token=tap.cleaned_data["token"], by=request.user, at=timezone.now())
    if lifted:
        messages.success(request, f"{lifted} piece{'s are' if lifted > 1 else ' is'} not reserved any more.")
    else:
        messages.info(request, "It was not reserved any more.")
    return redirect(sheet)


@require_GET
def lay_out(request: PersonsRequest) -> HttpResponse:
    """The jobs of a day, each with its pieces by drawer: tomorrow's where no day is named."""
    today = timezone.localdate()
    asked = request.GET.get("day", "")
    day = (read_day(asked, "mdy") if asked else None) or today + timedelta(days=1)
    if asked and read_day(asked, "mdy") is None:
        messages.error(request, f"“{asked[:20]}” is not a day. Write it like 2026-03-18.")
    context = {"place": "desk", "day": day, "is_tomorrow": day == today + timedelta(days=1), "jobs": jobs_of_day(day)}
    return render(request, "inventory/lay_out.html", context)
