"""The steps of one sheet: match its headings, answer what is open, see every row, mend, take."""

from collections.abc import Callable
from datetime import timedelta
from functools import wraps

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from inventory.models import KnownHeading, Location, Seat, SheetImport
from inventory.transfer import headings, mending, questions, undoing
from inventory.transfer import in_progress as steps
from inventory.transfer.errors import SheetError
from inventory.transfer.forms import TOP_ROWS, AnswerForm, HeadingsForm, MatchForm
from inventory.transfer.imports import BookChanged
from inventory.transfer.in_progress import SheetGone, SheetInProgress, outcome_of, texts_of
from inventory.transfer.outcomes import RowGroup, RowVerdict
from inventory.transfer.tabs import taking
from inventory.web.access import keepers_only
from inventory.web.redirects import safe_redirect

ROWS_ON_A_PAGE = 50
AT_WORK = timedelta(seconds=10)
"""So long after its latest rows a sheet is still being entered, as far as anybody can tell."""
MOST_COLUMNS_SHOWN = 6
"""Columns of a sheet that stand side by side at a desk; what else is in a row stands behind them."""


def told_on_the_list(view):
    """What keeps somebody from going on with a sheet, as that it was discarded, is told on the page of all sheets."""

    @wraps(view)
    def asked(request, **named):
        try:
            return view(request, **named)
        except SheetError as error:
            messages.error(request, error.message)
            return redirect("import_sheet")

    return asked


@require_http_methods(["GET", "POST"])
@keepers_only
@told_on_the_list
def import_preview(request, pk):
    """What every row would do; on the way there, whichever step comes next."""
    in_progress = SheetInProgress(get_object_or_404(SheetImport, pk=pk))
    sent = in_progress.sent
    if request.method == "POST":
        _take(in_progress, request)
        return redirect("import_preview", pk)
    if sent.is_half_entered:
        return render(request, "inventory/import_half.html", _half(in_progress))
    if sent.taken_at is not None:
        context = {"place": "desk", "sent": sent, "report": sent.done, "stays": undoing.why_not(sent)}
        return render(request, "inventory/import_done.html", context)
    if sent.workbook_plan is not None:
        return render(request, "inventory/import_workbook.html", _workbook(sent))
    if sent.choices is None:
        return redirect("import_match", pk)
    if in_progress.open:
        return redirect("import_ask", pk)
    if not in_progress.is_read:
        steps.read_on(in_progress)
    if not in_progress.is_read:
        return render(
            request, "inventory/import_reading.html", {"place": "desk", "sent": sent, "in_progress": in_progress}
        )
    return render(request, "inventory/import_preview.html", _preview(in_progress, request.GET))


@require_POST
@keepers_only
@told_on_the_list
def import_headings(request, pk):
    in_progress = SheetInProgress(_waiting(pk))
    form = HeadingsForm(request.POST, rows=_top_rows(in_progress))
    if not form.is_valid():
        messages.error(request, "Choose the row of the headings from the list.")
    else:
        try:
            steps.put_headings(in_progress, form.cleaned_data["line"])
        except SheetGone:
            raise
        except SheetError as error:
            messages.error(request, error.message)
    return redirect("import_match", pk)


@require_http_methods(["GET", "POST"])
@keepers_only
@told_on_the_list
def import_match(request, pk):
    in_progress = SheetInProgress(_waiting(pk))
    texts, contents = in_progress.sheet.headings, in_progress.contents
    choices = in_progress.sent.choices or headings.guessed_choices(
        texts, contents, remembered=KnownHeading.objects.choices()
    )
    data = request.POST if request.method == "POST" else None
    form = MatchForm(data, headings=texts, contents=contents, choices=choices)
    if form.is_valid():
        steps.settle_columns(in_progress, form.chosen(), by=request.user)
        return redirect("import_preview", pk)
    context = {
        "place": "desk",
        "sent": in_progress.sent,
        "form": form,
        "rows": HeadingsForm(rows=_top_rows(in_progress), initial={"line": in_progress.sent.headings_line}),
    }
    return render(request, "inventory/import_match.html", context)


@require_http_methods(["GET", "POST"])
@keepers_only
@told_on_the_list
def import_ask(request, pk):
    in_progress = SheetInProgress(_waiting(pk))
    if in_progress.sent.choices is None:
        return redirect("import_match", pk)
    form = AnswerForm(request.POST if request.method == "POST" else None, in_progress=in_progress)
    if form.is_valid():
        steps.answer(in_progress.sent, unit=form.cleaned_data["unit"], dates=form.cleaned_data.get("dates", ""))
        return redirect("import_preview", pk)
    return render(request, "inventory/import_ask.html", {"place": "desk", "sent": in_progress.sent, "form": form})


@require_POST
@keepers_only
@told_on_the_list
def import_answer(request, pk):
    """Answer questions of the preview, all that are filled in at once; or take an answer back."""
    in_progress = SheetInProgress(_waiting(pk))
    if in_progress.sent.choices is None or not in_progress.is_read:
        return redirect("import_preview", pk)
    if "take_back" in request.POST:
        done = questions.take_back(in_progress, request.POST["take_back"])
        messages.info(request, "The answer is taken back." if done else "That answer was taken back already.")
    else:
        _answer(request, in_progress)
    return redirect("import_preview", pk)


def _answer(request, in_progress: SheetInProgress) -> None:
    given = {name.removeprefix("answer-"): text for name, text in request.POST.items() if name.startswith("answer-")}
    left_out = {name.removeprefix("out-") for name in request.POST if name.startswith("out-")}
    count = questions.answer(in_progress, given, left_out)
    if count:
        messages.success(request, f"{count} question{'' if count == 1 else 's'} answered.")
    else:
        messages.info(request, "No question was answered: choose or write an answer first.")


@require_http_methods(["GET", "POST"])
@keepers_only
@told_on_the_list
def import_row(request, pk, line):
    """All cells of one row, or what somebody wrote into some of them."""
    in_progress = SheetInProgress(_waiting(pk))
    row = in_progress.sent.rows.filter(line=line).exclude(outcome="").first()
    if in_progress.sent.choices is None or row is None:
        raise Http404
    if request.method == "POST":
        return _mend(request, in_progress, row)
    outcome = outcome_of(row)
    context = {
        "place": "desk",
        "sent": in_progress.sent,
        "row": outcome,
        "is_left_out": row.is_left_out,
        "here": request.GET.get("here", "")[:200],
        "form": mending.shown_form(row, outcome, in_progress.columns, all_cells=True),
    }
    return render(request, "inventory/import_row.html", context)


def _mend(request, in_progress: SheetInProgress, row):
    form = mending.posted_form(request.POST, row, in_progress.columns)
    if not form.is_valid():
        messages.error(request, f"Row {row.line} was not saved: {' '.join(map(str, next(iter(form.errors.values()))))}")
        return safe_redirect(request, "import_preview", in_progress.sent.pk)
    if request.POST.get("do") == "leave out":
        mending.mend(in_progress.sent, row.line, {}, is_left_out=True)
        messages.success(request, f"Row {row.line} is left out.")
    else:
        outcome = mending.mend(in_progress.sent, row.line, form.cleaned_data)
        if address := _next_refused(request, in_progress.sent, outcome):
            return redirect(address)
        messages.success(request, _sentence(outcome))
    return safe_redirect(request, "import_preview", in_progress.sent.pk)


def _next_refused(request, sent: SheetImport, mended) -> str:
    """Where the list goes on after a row was put right, which says there what became of it; empty at its end."""
    here = request.POST.get("here", "")
    waiting = sent.rows.filter(group=RowGroup.REFUSED, line__gt=mended.line).order_by("line").first()
    if not here or mended.verdict is RowVerdict.REFUSED or waiting is None:
        return ""
    shown = QueryDict(here, mutable=True)
    shown["after"] = str(mended.line)
    return f"{reverse('import_preview', args=[sent.pk])}?{shown.urlencode()}#row-{waiting.line}"


def _just_mended(in_progress: SheetInProgress, asked) -> dict | None:
    """What became of the row that was put right before this page, and the refused row above which to say so."""
    line = asked.get("after", "")[:6]
    row = in_progress.sent.rows.filter(line=int(line)).exclude(outcome="").first() if line.isdecimal() else None
    if row is None:
        return None
    waiting = in_progress.sent.rows.filter(group=RowGroup.REFUSED, line__gt=row.line).order_by("line").first()
    return {"words": _sentence(outcome_of(row)), "above": waiting.line} if waiting else None


def _sentence(outcome) -> str:
    if outcome.verdict is RowVerdict.REFUSED:
        return f"Row {outcome.line} still cannot be read: {outcome.troubles[0].label}: {outcome.troubles[0].message}"
    return f"Row {outcome.line}, {outcome.tag}: {outcome.group.words.lower()}."


def _workbook(sent: SheetImport) -> dict:
    plan = sent.workbook_plan or {}
    parts = [{"tab": "Pieces", "left": [], "not_read": 0, **plan, "refused": []}, *plan["tabs"]]
    return {
        "place": "desk",
        "sent": sent,
        "parts": parts,
        "refused": plan["refused"],
        "unread": plan["unread"],
        "to_enter": sum(part["added"] + part["updated"] for part in parts),
        "digest": taking.digest_of(plan),
    }


def _enter_workbook(sent: SheetImport, request) -> None:
    shown = request.POST.get("shown", "")
    _tell_entered(sent, request, lambda: steps.enter_workbook(sent, by=request.user, shown=shown))


def _tell_entered(sent: SheetImport, request, enter: Callable[[], dict | None]) -> None:
    try:
        done = enter()
    except SheetGone:
        raise
    except SheetError as error:
        messages.error(request, error.message)
    else:
        _tell_taken(sent.pk, done, request)


def _half(in_progress: SheetInProgress) -> dict:
    """A sheet of which a part is in the book, as somebody is entering it or that was cut off."""
    sent = in_progress.sent
    written = sent.recorded_at or sent.entry_began_at or sent.made_at
    return {
        "place": "desk",
        "sent": sent,
        "in_progress": in_progress,
        "is_at_work": sent.undone is None and timezone.now() - written < AT_WORK,
        "can_go_on": _can_go_on(in_progress),
        "taken_back": len(sent.undone["removed"]) + len(sent.undone["put_back"]) if sent.undone else 0,
    }


def _can_go_on(in_progress: SheetInProgress) -> bool:
    """One that was brought in by the command is not at hand any more."""
    sent = in_progress.sent
    return sent.undone is None and (in_progress.row_count > 0 or sent.workbook_plan is not None)


def _go_on(in_progress: SheetInProgress, request) -> None:
    sent = in_progress.sent
    if not _can_go_on(in_progress):
        messages.info(request, f"{sent.name} cannot be entered any further here.")
    elif sent.workbook_plan is None:
        _tell_taken(sent.pk, steps.go_on(in_progress, by=request.user), request)
    else:
        _tell_entered(sent, request, lambda: steps.go_on_with_workbook(sent, by=request.user))


def _take(in_progress: SheetInProgress, request) -> None:
    if in_progress.sent.is_half_entered:
        _go_on(in_progress, request)
        return
    if in_progress.sent.workbook_plan is not None:
        _enter_workbook(in_progress.sent, request)
        return
    if in_progress.sent.taken_at is not None or in_progress.sent.choices is None:
        messages.info(
            request, "This sheet was taken already." if in_progress.sent.taken_at else "Match its headings first."
        )
        return
    try:
        done = steps.take(in_progress, by=request.user, shown=request.POST.get("shown", ""))
    except BookChanged as error:
        steps.start_over(in_progress.sent)
        messages.error(request, error.message)
    except SheetError as error:
        messages.error(request, error.message)
    else:
        _tell_taken(in_progress.sent.pk, done, request)


def _tell_taken(pk: int, done: dict | None, request) -> None:
    if done is None:
        is_taken = SheetImport.objects.filter(pk=pk).exclude(taken_at=None).exists()
        words = (
            "This sheet was taken already." if is_taken else "Somebody else is entering this sheet, or takes it back."
        )
        messages.info(request, words)
    else:
        parts = [done, *done.get("tabs", ())]
        added, updated = (sum(part[name] for part in parts) for name in ("added", "updated"))
        messages.success(request, f"{added} added, {updated} updated.")


def _preview(in_progress: SheetInProgress, asked) -> dict:
    count, groups = in_progress.tally()
    group = next((group for group in RowGroup if group.key == asked.get("show")), None)
    rows = in_progress.sent.rows.exclude(outcome="").order_by("group", "line")
    page = Paginator(rows if group is None else rows.filter(group=group), ROWS_ON_A_PAGE).get_page(asked.get("page"))
    address = reverse("import_preview", args=[in_progress.sent.pk])
    narrowed = "" if group is None else f"show={group.key}&"
    columns = [column for column in in_progress.columns if column.field is not None][:MOST_COLUMNS_SHOWN]
    open_questions = questions.questions_of(in_progress)
    offered = {one.offered for one in open_questions}
    return {
        "place": "desk",
        "sent": in_progress.sent,
        "in_progress": in_progress,
        "digest": in_progress.digest(),
        "count": {verdict.name: number for verdict, number in count.items()},
        "good": count[RowVerdict.NEW] + count[RowVerdict.CHANGED],
        "lacking": groups[RowGroup.DETAILS_MISSING],
        "groups": [(member, number) for member, number in groups.items() if number],
        "shown": group,
        "total": sum(groups.values()),
        "page": page,
        "columns": columns,
        "rows": [_row_in_list(row, columns) for row in page],
        "questions": open_questions[: questions.MOST_SHOWN],
        "further_questions": len(open_questions[questions.MOST_SHOWN :]),
        "waiting": len({line for one in open_questions if not one.can_wait for line in one.lines}),
        "mends": questions.mends_of(in_progress),
        "seats": Seat.objects.values_list("code", flat=True) if "seats" in offered else (),
        "places": Location.objects.names() if "places" in offered else (),
        "narrowed": narrowed,
        "here": f"{address}?{narrowed}page={page.number}",
        "here_as_query": f"{narrowed}page={page.number}",
        "just_mended": _just_mended(in_progress, asked),
        "seconds": in_progress.taking_seconds(),
    }


def _row_in_list(row, columns) -> dict:
    """A row as it came, cell by cell and in one line, and what becomes of it."""
    outcome = outcome_of(row)
    texts = [text.strip() for text in outcome.texts]
    shown = {column.place for column in columns}
    return {
        "outcome": outcome,
        "state": _STATES.get(outcome.verdict, "skipped"),
        "is_mended": bool(row.mended),
        "cells": " · ".join(filter(None, texts)),
        "by_column": [texts[column.place] if column.place < len(texts) else "" for column in columns],
        "further": " · ".join(text for place, text in enumerate(texts) if text and place not in shown),
    }


_STATES = {
    RowVerdict.NEW: "ready",
    RowVerdict.CHANGED: "ready",
    RowVerdict.ASKED: "to-answer",
    RowVerdict.REFUSED: "bad",
}
"""By the form of its edge: what comes in, what waits for an answer, what cannot be read, and all else."""


def _waiting(pk) -> SheetImport:
    """A sheet that was not taken yet: nothing can be said of one that was, nor of a workbook of our own."""
    return get_object_or_404(SheetImport.objects.waiting(), pk=pk, workbook_plan__isnull=True)


def _top_rows(in_progress: SheetInProgress) -> list[list[str]]:
    return [texts_of(row) for row in in_progress.rows[:TOP_ROWS]]
