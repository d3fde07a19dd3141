"""Setup sheets: a way of a plan kept, printed, taken out of the crib in one tap, and used again."""

import uuid
from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from fitfinder.plan.form import TYPED, KeepSheetForm
from fitfinder.plan.question import JobQuestion
from fitfinder.plan.setup_sheets import in_drawer_order, keep_sheet, picks_of
from fitfinder.questions import QuestionError
from fitfinder.setups.drafts import TAKEN_OFF, CannotChange, can_be_a_draft_again, freeze
from fitfinder.setups.drawing import drawing_of_sheet
from fitfinder.setups.library_form import LibraryForm
from fitfinder.setups.page import page_of, sheet_for_page
from fitfinder.setups.runs import run_lines
from fitfinder.setups.today import today
from fitfinder.views.asking import method_called
from inventory.keeping.lending import LoanTerms, give_back, issue_together
from inventory.keeping.lending_forms import TapForm
from inventory.models import Loan, SetupSheet, User
from inventory.views.reservations import reserved_on
from inventory.views.reserved import ask_for_reserved
from inventory.web.access import PersonsRequest, takers_only
from inventory.web.site import site_of
from inventory.web.tables import Column, Head, by_column, heads_of

PER_PAGE = 50
_COLUMNS = (
    Column("Part", "part"),
    Column("Held by"),
    Column("Stock"),
    Column("Lathe", "lathe"),
    Column("Made", "made"),
    Column("State"),
)
_ORDERED_BY = {"part": ("number", "title"), "lathe": ("lathe__name",), "made": ("made_at",)}


@require_GET
def setup_sheets(request: PersonsRequest) -> HttpResponse:
    """The library: found by number, name, stock and lathe."""
    form = LibraryForm(request.GET)
    sheets = form.filtered(SetupSheet.objects.select_related("lathe", "made_by", "frozen_by"))
    in_use = by_column(request, sheets.in_use(), _ORDERED_BY)
    context = {
        "place": "plan",
        "form": form,
        "is_narrowed": form.is_narrowed,
        "page": Paginator(in_use, PER_PAGE).get_page(request.GET.get("page")),
        "heads": heads_of(request, _COLUMNS),
        "plain_heads": [Head(column.words, column.is_figure) for column in _COLUMNS],
        "put_away": sheets.put_away()[:PER_PAGE],
    }
    return render(request, "fitfinder/setup_sheets.html", context)


@require_POST
@takers_only
def setup_keep(request: PersonsRequest, slug: str) -> HttpResponse:
    """Keep one way of the plan that the address asks; the same page sent twice keeps it once."""
    method, question, tap = method_called(slug), JobQuestion.from_texts(request.GET), KeepSheetForm(request.POST)
    try:
        way = question.plan(asker_id=request.user.pk).by(method)
    except QuestionError as error:
        messages.error(request, error.message)
        return redirect("plan")
    if way.why_not:
        messages.error(request, str(way.why_not))
        return redirect("plan")
    if not tap.is_valid():
        messages.error(request, " ".join(str(error) for errors in tap.errors.values() for error in errors))
        return redirect(f"{reverse('plan_way', args=[slug])}?{question.address}")
    made = SetupSheet.objects.filter(token=tap.cleaned_data["token"]).first()
    try:
        return redirect(made or keep_sheet(way, question, by=request.user, **tap.cleaned_data))
    except CannotChange as reason:
        messages.error(request, str(reason))
        typed = urlencode({name: tap.cleaned_data[name] for name in TYPED})
        return redirect(f"{reverse('plan_way', args=[slug])}?{question.address}&{typed}")


@require_GET
def setup_sheet(request: PersonsRequest, pk: int) -> HttpResponse:
    sheet = sheet_for_page(pk)
    picks = picks_of(sheet)
    return render(
        request,
        "fitfinder/setup_sheet.html",
        {
            "place": "plan",
            "sheet": sheet,
            "page": page_of(sheet, address=f"{site_of(request)}{sheet.get_absolute_url()}"),
            "today": today(sheet, in_drawer_order(picks), asker_id=request.user.pk),
            "drawing": drawing_of_sheet(sheet, picks),
            "runs": run_lines(sheet),
            "to_take": [pick.tool for pick in picks if pick.can_be_taken],
            "mine": [pick.tool for pick in picks if pick.loan and pick.loan.borrower_id == request.user.pk],
            "later": sheet.later.all(),
            "taken_off": _taken_off(request, sheet),
            "can_be_a_draft_again": can_be_a_draft_again(sheet),
            "token": uuid.uuid4(),
            **reserved_on(sheet, [pick.tool.pk for pick in picks]),
        },
    )


def _taken_off(request: PersonsRequest, sheet: SetupSheet) -> dict[str, str | int] | None:
    """The operation that this person took off the draft last, which can be put back."""
    taken_off = request.session.get(TAKEN_OFF)
    return taken_off if taken_off and taken_off["sheet"] == sheet.pk and not sheet.is_frozen else None


@require_POST
@takers_only
def setup_issue(request: PersonsRequest, pk: int) -> HttpResponse:
    sheet, tap = get_object_or_404(SetupSheet, pk=pk), TapForm(request.POST)
    if not tap.is_valid():
        messages.error(request, "Nothing was issued: this page is too old. Press the button again.")
        return redirect(sheet)
    wanted = [pick.tool for pick in picks_of(sheet) if not pick.is_on_lathe]
    terms = LoanTerms(
        to=request.user,
        by=request.user,
        at=timezone.now(),
        token=tap.cleaned_data["token"],
        sheet=sheet,
        agreed=tap.agreed,
    )
    done = issue_together(wanted, terms)
    if done.issued:
        # Only what was really taken puts a draft in use: a question or a refusal does not.
        freeze(sheet, by=request.user, at=timezone.now())
        messages.success(request, f"Issued to you: {', '.join(map(str, done.issued))}.")
    for sentence in done.refused:
        messages.error(request, sentence)
    if done.asked:
        return ask_for_reserved(request, done.asked, back=sheet.get_absolute_url())
    if not done.issued and not done.refused:
        messages.info(request, "You have all of it already.")
    return redirect(sheet)


@require_POST
@takers_only
def setup_return(request: PersonsRequest, pk: int) -> HttpResponse:
    """Ends the loans of this sheet's pieces to the one who asks."""
    sheet = get_object_or_404(SetupSheet, pk=pk)
    mine = Loan.objects.filter(tool__in=sheet.pieces.values("tool"), borrower=request.user)
    count = len(give_back(mine, by=request.user, at=timezone.now()))
    words = f"{count} piece{'s are' if count > 1 else ' is'} returned." if count else "You have none of it."
    messages.success(request, words)
    return redirect(sheet)


@require_POST
@takers_only
def setup_put_away(request: PersonsRequest, pk: int) -> HttpResponse:
    """Out of the list, and back with `undo`; nothing is deleted."""
    sheet, is_undone = get_object_or_404(SetupSheet, pk=pk), "undo" in request.POST
    sheet.put_away_at = None if is_undone else timezone.now()
    sheet.save(update_fields=["put_away_at"])
    words = "It is in the list again." if is_undone else f"It is archived.{_still_out(sheet, request.user)}"
    messages.success(request, words)
    return redirect(sheet)


def _still_out(sheet: SetupSheet, user: User) -> str:
    """What of it the one who puts it away still has: a sheet that is gone from the list brings nothing back."""
    loans = Loan.objects.open().filter(tool__in=sheet.pieces.values("tool"), borrower=user).select_related("tool")
    tags = ", ".join(sorted(loan.tool.tag for loan in loans))
    return f" You still have {tags}: return it here." if tags else ""
