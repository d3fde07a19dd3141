"""Taking a piece out and bringing it back, and what somebody has out."""

from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST
from msgspec import Struct

from inventory.keeping.lending import CannotIssue, IsReserved, came_back_damaged, give_back, issue
from inventory.keeping.lending_forms import IssueForm, ReturnForm
from inventory.measures.day_words import shown as day_shown
from inventory.models import Loan, Location, Tool, User
from inventory.views.reserved import ask_for_reserved
from inventory.web.access import PersonsRequest, takers_only
from inventory.web.redirects import safe_redirect

MOST_AT_ONCE = 500


@require_POST
@takers_only
def tool_issue(request: PersonsRequest, tag: str) -> HttpResponse:
    form = IssueForm(request.POST, by=request.user)
    try:
        with transaction.atomic():
            tool = get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())
            messages.success(request, _issued(tool, form))
    except IsReserved as wanted:
        return ask_for_reserved(request, wanted.reservations, back=tool.get_absolute_url())
    except CannotIssue as reason:
        messages.error(request, str(reason))
    return safe_redirect(request, tool)


def _issued(tool: Tool, form: IssueForm) -> str:
    """Issue it, and say so. Raises CannotIssue."""
    if form.trouble:
        raise CannotIssue(f"{tool} was not issued. {form.trouble}")
    loan = issue(
        tool,
        to=form.borrower,
        by=form.by,
        at=timezone.now(),
        token=form.cleaned_data["token"],
        due_on=form.due_on(timezone.localdate()),
        lathe=form.cleaned_data["lathe"],
        sheet=form.cleaned_data["sheet"],
        agreed=form.agreed,
    )
    whom = "you" if form.borrower == form.by else form.borrower
    whom = f"{whom} for {loan.sheet.called}" if loan.sheet else whom
    lathe = f", and is on {loan.lathe}" if loan.lathe else ""
    back = f" Expected back {day_shown(loan.due_on)}." if loan.due_on else ""
    return f"{tool} is issued to {whom}{lathe}.{back}"


@require_POST
@takers_only
def tool_return(request: PersonsRequest, tag: str) -> HttpResponse:
    """Ends the loan whose token the page had: pressed late, it leaves a newer loan of the piece alone."""
    form = ReturnForm(request.POST)
    with transaction.atomic():
        tool = get_object_or_404(Tool.objects.for_list().select_for_update(of=("self",)), tag=tag.upper())
        loans = tool.loans.filter(token=form.cleaned_data["token"]) if form.is_valid() else Loan.objects.none()
        ended = give_back(loans, by=request.user, at=timezone.now())
        tool.refresh_from_db()
        if ended and form.is_damaged:
            came_back_damaged(tool, by=request.user, today=timezone.localdate())
    if ended:
        place = f"; its place is {tool.location.path}" if tool.location else ""
        messages.success(request, f"{tool} is returned{place}.")
    elif loan := tool.loans.open().select_related("borrower").first():
        messages.error(request, f"{tool} was not returned: it is out to {loan.borrower}. Press Bring back again.")
    else:
        messages.info(request, f"{tool} is not out: it was returned already.")
    if ended and form.is_damaged:
        messages.warning(request, f"{tool} is damaged and is not issued. Say here what is wrong with it.")
        return redirect("inspect", tool.tag)
    return safe_redirect(request, tool)


@require_POST
@takers_only
def tool_need(request: PersonsRequest, tag: str) -> HttpResponse:
    """Tells whoever has the piece that somebody needs it; a second tap changes nothing."""
    tool = get_object_or_404(Tool, tag=tag.upper())
    loan = tool.loans.open().select_related("borrower").first()
    if loan is None:
        messages.info(request, f"{tool} is not out: take it from its place.")
    elif loan.borrower_id == request.user.pk:
        messages.info(request, f"{tool} is out to you.")
    else:
        loan.calls.get_or_create(by=request.user)
        messages.success(request, f"{loan.borrower} sees that you need {tool}: it stands with their pieces.")
    return safe_redirect(request, tool)


class PieceOut(Struct, frozen=True):
    """A piece that somebody has out, with what there is to say of it."""

    loan: Loan
    place: str
    is_overdue: bool

    @property
    def facts(self) -> list[str]:
        loan = self.loan
        facts = [f"goes back to {self.place}" if self.place else "no place is written down"]
        facts.append(
            f"out since {day_shown(timezone.localtime(loan.issued_at))} {timezone.localtime(loan.issued_at):%H:%M}"
        )
        if loan.due_on:
            facts.append(f"expected back {day_shown(loan.due_on)}")
        if loan.sheet:
            facts.append(f"for {loan.sheet.called}")
        if loan.lathe:
            facts.append(f"for {loan.lathe}")
        if loan.needed_by:
            facts.append(f"needed by {loan.needed_by}")
        return facts


@require_GET
def my_pieces(request: PersonsRequest) -> HttpResponse:
    """What the one who asks has out, or who a keeper names, with where each belongs; a tap returns one or all."""
    whose, today = _whose(request), timezone.localdate()
    paths = Location.objects.paths()
    loans = Loan.objects.open().filter(borrower=whose).select_related("tool__size__series", "lathe", "sheet")
    loans = loans.prefetch_related("calls__by")
    pieces = [
        PieceOut(
            loan,
            place=paths[loan.tool.location_id] if loan.tool.location_id else "",
            is_overdue=bool(loan.due_on and loan.due_on < today),
        )
        for loan in loans[:MOST_AT_ONCE]
    ]
    pieces.sort(key=lambda piece: (piece.place, piece.loan.tool.tag))
    return render(request, "inventory/my_pieces.html", {"place": "desk", "pieces": pieces, "whose": whose})


def _whose(request: PersonsRequest) -> User:
    """Whose pieces are asked for: a keeper may look at anybody's."""
    of = request.GET.get("of", "")
    if not of or not request.user.may_keep:
        return request.user
    return get_object_or_404(User, username=of)


@require_POST
@takers_only
def my_return(request: PersonsRequest) -> HttpResponse:
    """Ends those loans whose tokens the page had, mine or for a keeper anybody's; what was taken since stays out."""
    loans = Loan.objects.filter(token__in=_tokens(request.POST.getlist("loan")[:MOST_AT_ONCE]))
    if not request.user.may_keep:
        loans = loans.filter(borrower=request.user)
    ended = give_back(loans, by=request.user, at=timezone.now())
    if ended:
        tags = ", ".join(sorted(loan.tool.tag for loan in ended))
        messages.success(request, f"Returned: {tags}. Put {'them' if len(ended) > 1 else 'it'} back in place.")
    else:
        messages.info(request, "Nothing was returned: it was returned already.")
    return safe_redirect(request, "my_pieces")


def _tokens(texts: list[str]) -> list[UUID]:
    """What was sent as tokens; what is none is left out."""
    found = []
    for text in texts:
        try:
            found.append(UUID(text))
        except ValueError:
            continue
    return found
