"""Setup sheets: a way of a plan kept, printed, taken out of the crib in one tap, and used again."""

import uuid
from itertools import chain

from django import forms
from django.contrib import messages
from django.db import transaction
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from fitfinder.plan import sheet
from fitfinder.plan.job import Job
from fitfinder.plan.question import JobQuestion
from fitfinder.plan.way import Way
from fitfinder.questions import QuestionError
from fitfinder.views.plan import method_called
from inventory.keeping.lending import give_back, issue_together
from inventory.keeping.lending_forms import TapForm
from inventory.measures.inputs import say_plainly
from inventory.measures.lengths import named
from inventory.models import Loan, SetupPiece, SetupSheet, Tool
from inventory.web.access import takers_only

PER_PAGE = 50


class KeepForm(TapForm):
    """What the shop calls the job, where it has a name; else the stock names the sheet."""

    name = forms.CharField(required=False, max_length=120, label="Job or part, if it has a name")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)


@require_GET
def setup_sheets(request):
    kept = SetupSheet.objects.select_related("lathe", "made_by")
    in_use = kept.filter(put_away_at=None)[:PER_PAGE]
    put_away = kept.exclude(put_away_at=None).order_by("-put_away_at")[:PER_PAGE]
    context = {"place": "plan", "sheets": in_use, "put_away": put_away}
    return render(request, "fitfinder/setup_sheets.html", context)


@require_POST
@takers_only
def setup_keep(request, slug):
    """Keep one way of the plan that the address asks; the same page sent twice keeps it once."""
    method, question, tap = method_called(slug), JobQuestion.from_texts(request.GET), KeepForm(request.POST)
    try:
        reply = question.plan(asker_id=request.user.pk)
    except QuestionError as error:
        messages.error(request, error.message)
        return redirect("plan")
    way = reply.by(method)
    if way.why_not:
        messages.error(request, str(way.why_not))
        return redirect("plan")
    if not tap.is_valid():
        messages.error(request, " ".join(chain.from_iterable(tap.errors.values())))
        return redirect(f"{reverse('plan_way', args=[slug])}?{question.address}")
    kept = SetupSheet.objects.filter(token=tap.cleaned_data["token"]).first()
    return redirect(kept or keep(way, question, by=request.user, **tap.cleaned_data))


@transaction.atomic
def keep(way: Way, question: JobQuestion, *, by, token, name) -> SetupSheet:
    """Keep a way of a plan, under the name that the shop gives the job or else its stock."""
    kept = SetupSheet.objects.create(
        title=(name or _title(way.job))[:200],
        question=question.address[:1000],
        way=way.name[:200],
        lathe_id=way.lathe.id if way.lathe else None,
        jaws_id=way.jaws_to_put_in.id if way.jaws_to_put_in else None,
        steps=[step.do for step in sheet.steps(way)],
        numbers=[*sheet.numbers(way), *(("But", str(reason)) for reason in way.but)],
        cautions=[(caution.text, caution.source) for caution in way.cautions],
        missing=[str(item) for item in (*way.missing, *way.doubts)],
        made_by=by,
        token=token,
    )
    SetupPiece.objects.bulk_create(
        SetupPiece(sheet=kept, tool_id=piece.id, order=order) for order, piece in enumerate(way.pieces)
    )
    return kept


def _title(job: Job) -> str:
    """What tells two sheets apart that nobody gave a name."""
    return job.read_as if job.length is None else f"{job.read_as}, {named(job.length)} in long"


@require_GET
def setup_sheet(request, pk):
    kept = get_object_or_404(
        SetupSheet.objects.select_related("lathe", "made_by", "jaws__location", "jaws__chuck"), pk=pk
    )
    pieces = _pieces(kept)
    to_take = [piece for piece in pieces if piece.is_takeable]
    return render(
        request,
        "fitfinder/setup_sheet.html",
        {
            "place": "plan",
            "sheet": kept,
            "picks": sorted(pieces, key=lambda piece: (piece.is_on_lathe, piece.place, piece.tag)),
            "to_take": to_take,
            "mine": [piece for piece in pieces if piece.open_loan and piece.open_loan.borrower_id == request.user.pk],
            "token": uuid.uuid4(),
        },
    )


def _pieces(kept: SetupSheet) -> list[Tool]:
    """The pieces from the spindle to the work, each with its place in words, its loan, and whether it can be taken."""
    tools = list(Tool.objects.for_list().filter(pk__in=kept.pieces.values("tool")))
    order = dict(kept.pieces.values_list("tool", "order"))
    loans = {loan.tool_id: loan for loan in Loan.objects.open().filter(tool__in=tools).select_related("borrower")}
    for tool in tools:
        tool.open_loan = loans.get(tool.pk)
        tool.is_on_lathe = kept.lathe_id is not None and tool.mounted_on_id == kept.lathe_id
        tool.place = str(tool.location) if tool.location else ""
        tool.is_takeable = tool.is_in_service and tool.open_loan is None and not tool.is_on_lathe
    return sorted(tools, key=lambda tool: order[tool.pk])


@require_POST
@takers_only
def setup_issue(request, pk):
    kept, tap = get_object_or_404(SetupSheet, pk=pk), TapForm(request.POST)
    if not tap.is_valid():
        messages.error(request, "Nothing was issued: this page is too old. Press the button again.")
        return redirect(kept)
    wanted = [piece for piece in _pieces(kept) if not piece.is_on_lathe]
    done = issue_together(wanted, to=request.user, by=request.user, at=timezone.now(), token=tap.cleaned_data["token"])
    if done.issued:
        messages.success(request, f"Issued to you: {', '.join(map(str, done.issued))}.")
    for sentence in done.refused:
        messages.error(request, sentence)
    if not done.issued and not done.refused:
        messages.info(request, "You have all of it already.")
    return redirect(kept)


@require_POST
@takers_only
def setup_return(request, pk):
    """Ends the loans of this sheet's pieces to the one who asks."""
    kept = get_object_or_404(SetupSheet, pk=pk)
    mine = Loan.objects.filter(tool__in=kept.pieces.values("tool"), borrower=request.user)
    count = len(give_back(mine, by=request.user, at=timezone.now()))
    words = f"{count} piece{'s are' if count > 1 else ' is'} returned." if count else "You have none of it."
    messages.success(request, words)
    return redirect(kept)


@require_POST
@takers_only
def setup_put_away(request, pk):
    """Out of the list, and back with `undo`; nothing is deleted."""
    kept = get_object_or_404(SetupSheet, pk=pk)
    kept.put_away_at = None if "undo" in request.POST else timezone.now()
    kept.save(update_fields=["put_away_at"])
    messages.success(
        request,
        "It is in the list again." if "undo" in request.POST else f"It is put away.{_still(kept, request.user)}",
    )
    return redirect(kept)


def _still(kept: SetupSheet, user) -> str:
    """What of it the one who puts it away still has: a sheet that is gone from the list brings nothing back."""
    loans = Loan.objects.open().filter(tool__in=kept.pieces.values("tool"), borrower=user).select_related("tool")
    tags = ", ".join(sorted(loan.tool.tag for loan in loans))
    return f" You still have {tags}: return it here." if tags else ""
