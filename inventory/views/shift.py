"""Shift to shift: one page of what the next has to know, with the notes that the last wrote; and all notes by day."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.keeping.lending_forms import TapForm
from inventory.keeping.shift import shift_report, since_when
from inventory.measures.days import read_day
from inventory.models import ShiftNote
from inventory.models.shift_notes import LONGEST
from inventory.web.access import PersonsRequest, takers_only

HOURS = ("8", "12", "24", "72")
NOTES_PER_PAGE = 50


class NoteForm(TapForm):
    text = forms.CharField(
        label="A note for the next shift",
        max_length=LONGEST,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Write what the next shift has to know."},
    )


@require_GET
def shift(request: PersonsRequest) -> HttpResponse:
    return _page(request, NoteForm(initial={"token": uuid.uuid4()}))


def _page(request: PersonsRequest, form: NoteForm, status: int = 200) -> HttpResponse:
    now = timezone.now()
    since, hours = _since(request, now)
    context = {"place": "desk", "report": shift_report(since=since, at=now), "hours": hours, "choices": HOURS}
    return render(request, "inventory/shift.html", {**context, "form": form, "now": now}, status=status)


def _since(request: PersonsRequest, now: datetime) -> tuple[datetime, str]:
    """From when on is told, and the choice of hours, empty where none was made."""
    hours = request.GET.get("hours", "")
    if hours in HOURS:
        return now - timedelta(hours=int(hours)), hours
    return since_when(at=now), ""


@require_POST
@takers_only
def shift_note(request: PersonsRequest) -> HttpResponse:
    """A note is added and never changed; the same tap sent again adds none."""
    form = NoteForm(request.POST)
    if not form.is_valid():
        if "token" in form.errors:
            messages.error(request, "This page is too old. Write the note again.")
            return redirect("shift")
        return _page(request, form)
    ShiftNote.objects.get_or_create(
        token=form.cleaned_data["token"],
        defaults={"text": form.cleaned_data["text"], "written_by": request.user, "written_at": timezone.now()},
    )
    messages.success(request, "The note is written down.")
    return redirect("shift")


@require_GET
def shift_notes(request: PersonsRequest) -> HttpResponse:
    """All notes, the newest first; of one day in the order in which they were written; those with certain words."""
    asked, words = request.GET.get("day", "").strip(), request.GET.get("words", "").strip()[:100]
    day = read_day(asked, "mdy") if asked else None
    if asked and day is None:
        messages.error(request, f"“{asked[:20]}” is not a day. Write it like 2026-03-18.")
    notes = ShiftNote.objects.select_related("written_by")
    notes = notes.of_day(day) if day else notes
    for word in words.split():
        notes = notes.filter(text__icontains=word)
    page = Paginator(notes, NOTES_PER_PAGE).get_page(request.GET.get("page"))
    context = {"place": "desk", "page": page, "day": day, "words": words}
    return render(request, "inventory/shift_notes.html", context)
