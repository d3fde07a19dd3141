"""The steps of one sheet: match its headings, answer what is open, see every row, mend, take."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from inventory.models import KnownHeading, SheetImport
from inventory.transfer import begun as steps
from inventory.transfer import headings, mending
from inventory.transfer.begun import Begun, outcome_of, texts_of
from inventory.transfer.errors import SheetError
from inventory.transfer.forms import TOP_ROWS, AnswerForm, HeadingsForm, MatchForm
from inventory.transfer.imports import BookChanged
from inventory.transfer.outcomes import Group, Verdict
from inventory.web.access import keepers_only
from inventory.web.redirects import safe_redirect

ROWS_ON_A_PAGE = 50


@require_http_methods(["GET", "POST"])
@keepers_only
def import_preview(request, pk):
    """What every row would do; on the way there, whichever step comes next."""
    begun = Begun(get_object_or_404(SheetImport, pk=pk))
    sent = begun.sent
    if request.method == "POST":
        _take(begun, request)
        return redirect("import_preview", pk)
    if sent.taken_at is not None:
        return render(request, "inventory/import_done.html", {"place": "desk", "sent": sent, "report": sent.done})
    if sent.choices is None:
        return redirect("import_match", pk)
    if begun.open:
        return redirect("import_ask", pk)
    if not begun.is_read:
        steps.read_on(begun)
    if not begun.is_read:
        return render(request, "inventory/import_reading.html", {"place": "desk", "sent": sent, "begun": begun})
    return render(request, "inventory/import_preview.html", _preview(begun, request.GET))


@require_POST
@keepers_only
def import_headings(request, pk):
    begun = Begun(_waiting(pk))
    form = HeadingsForm(request.POST, rows=_top_rows(begun))
    if not form.is_valid():
        messages.error(request, "Choose the row of the headings from the list.")
    else:
        try:
            steps.put_headings(begun, form.cleaned_data["line"])
        except SheetError as error:
            messages.error(request, error.message)
    return redirect("import_match", pk)


@require_http_methods(["GET", "POST"])
@keepers_only
def import_match(request, pk):
    begun = Begun(_waiting(pk))
    texts, contents = begun.sheet.headings, begun.contents
    choices = begun.sent.choices or headings.guessed(texts, contents, remembered=KnownHeading.objects.choices())
    data = request.POST if request.method == "POST" else None
    form = MatchForm(data, headings=texts, contents=contents, choices=choices)
    if form.is_valid():
        steps.match(begun, form.chosen(), by=request.user)
        return redirect("import_preview", pk)
    context = {
        "place": "desk",
        "sent": begun.sent,
        "form": form,
        "rows": HeadingsForm(rows=_top_rows(begun), initial={"line": begun.sent.headings_line}),
    }
    return render(request, "inventory/import_match.html", context)


@require_http_methods(["GET", "POST"])
@keepers_only
def import_ask(request, pk):
    begun = Begun(_waiting(pk))
    if begun.sent.choices is None:
        return redirect("import_match", pk)
    form = AnswerForm(request.POST if request.method == "POST" else None, begun=begun)
    if form.is_valid():
        steps.answer(begun.sent, unit=form.cleaned_data["unit"], dates=form.cleaned_data.get("dates", ""))
        return redirect("import_preview", pk)
    return render(request, "inventory/import_ask.html", {"place": "desk", "sent": begun.sent, "form": form})


@require_http_methods(["GET", "POST"])
@keepers_only
def import_row(request, pk, line):
    """All cells of one row, or what somebody wrote into some of them."""
    begun = Begun(_waiting(pk))
    row = begun.sent.rows.filter(line=line).exclude(outcome="").first()
    if begun.sent.choices is None or row is None:
        raise Http404
    if request.method == "POST":
        return _mended(request, begun, row)
    outcome = outcome_of(row)
    context = {
        "place": "desk",
        "sent": begun.sent,
        "row": outcome,
        "is_left_out": row.is_left_out,
        "form": mending.shown_form(row, outcome, begun.columns, whole=True),
    }
    return render(request, "inventory/import_row.html", context)


def _mended(request, begun: Begun, row):
    form = mending.posted_form(request.POST, row, begun.columns)
    if not form.is_valid():
        messages.error(request, f"Row {row.line} was not kept: {' '.join(next(iter(form.errors.values())))}")
        return safe_redirect(request, "import_preview", begun.sent.pk)
    try:
        if request.POST.get("do") == "leave out":
            mending.mend(begun.sent, row.line, {}, is_left_out=True)
            messages.success(request, f"Row {row.line} is left out.")
        else:
            outcome = mending.mend(begun.sent, row.line, form.cleaned_data)
            if address := _next_refused(request, begun.sent, outcome):
                return redirect(address)
            messages.success(request, _said(outcome))
    except SheetError as error:
        messages.error(request, error.message)
        return redirect("import_sheet")
    return safe_redirect(request, "import_preview", begun.sent.pk)


def _next_refused(request, sent: SheetImport, mended) -> str:
    """Where the list goes on after a row was put right, which says there what became of it; empty at its end."""
    here = request.POST.get("here", "")
    waiting = sent.rows.filter(group=Group.REFUSED, line__gt=mended.line).order_by("line").first()
    if not here or mended.verdict is Verdict.REFUSED or waiting is None:
        return ""
    shown = QueryDict(here, mutable=True)
    shown["after"] = str(mended.line)
    return f"{reverse('import_preview', args=[sent.pk])}?{shown.urlencode()}#row-{waiting.line}"


def _just_mended(begun: Begun, asked) -> dict | None:
    """What became of the row that was put right before this page, and the refused row above which to say so."""
    line = asked.get("after", "")[:6]
    row = begun.sent.rows.filter(line=int(line)).exclude(outcome="").first() if line.isdecimal() else None
    waiting = row and begun.sent.rows.filter(group=Group.REFUSED, line__gt=row.line).order_by("line").first()
    return {"words": _said(outcome_of(row)), "above": waiting.line} if waiting else None


def _said(outcome) -> str:
    if outcome.verdict is Verdict.REFUSED:
        return f"Row {outcome.line} is still refused: {outcome.troubles[0].label}: {outcome.troubles[0].message}"
    return f"Row {outcome.line}, {outcome.tag}: {outcome.group.words.lower()}."


def _take(begun: Begun, request) -> None:
    if begun.sent.taken_at is not None or begun.sent.choices is None:
        messages.info(request, "This sheet was taken already." if begun.sent.taken_at else "Match its headings first.")
        return
    try:
        done = steps.take(begun, by=request.user, shown=request.POST.get("shown", ""))
    except BookChanged as error:
        steps.start_over(begun.sent)
        messages.error(request, error.message)
    except SheetError as error:
        messages.error(request, error.message)
    else:
        _tell_taken(done, request)


def _tell_taken(done: dict | None, request) -> None:
    if done is None:
        messages.info(request, "This sheet was taken already.")
    else:
        messages.success(request, f"{done['added']} added, {done['updated']} updated.")


def _preview(begun: Begun, asked) -> dict:
    count, groups = begun.counts(), begun.groups()
    group = next((group for group in Group if group.key == asked.get("show")), None)
    rows = begun.sent.rows.exclude(outcome="").order_by("group", "line")
    page = Paginator(rows.filter(group=group) if group else rows, ROWS_ON_A_PAGE).get_page(asked.get("page"))
    address = reverse("import_preview", args=[begun.sent.pk])
    narrowed = f"show={group.key}&" if group else ""
    return {
        "place": "desk",
        "sent": begun.sent,
        "begun": begun,
        "digest": begun.digest(),
        "count": {verdict.name: number for verdict, number in count.items()},
        "good": count[Verdict.NEW] + count[Verdict.CHANGED],
        "lacking": groups[Group.DETAILS_MISSING],
        "groups": [(member, number) for member, number in groups.items() if number],
        "shown": group,
        "total": sum(groups.values()),
        "page": page,
        "rows": [_listed(row, begun) for row in page],
        "narrowed": narrowed,
        "here": f"{address}?{narrowed}page={page.number}",
        "here_as_query": f"{narrowed}page={page.number}",
        "just_mended": _just_mended(begun, asked),
        "seconds": begun.taking_seconds(),
    }


def _listed(row, begun: Begun) -> dict:
    outcome = outcome_of(row)
    is_refused = outcome.verdict is Verdict.REFUSED
    form = mending.shown_form(row, outcome, begun.columns, whole=False) if is_refused else None
    cells = " · ".join(text.strip() for text in outcome.texts if text.strip())
    return {"outcome": outcome, "form": form, "is_mended": bool(row.mended), "cells": cells}


def _waiting(pk) -> SheetImport:
    """A sheet that was not taken yet: nothing can be said of one that was."""
    return get_object_or_404(SheetImport, pk=pk, taken_at=None)


def _top_rows(begun: Begun) -> list[list[str]]:
    return [texts_of(row) for row in begun.rows[:TOP_ROWS]]
