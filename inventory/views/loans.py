"""Taking a piece out and bringing it back, and what somebody has out."""

from collections.abc import Callable
from typing import Any
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
from inventory.keeping.reservations import jobs_reserved, when_words
from inventory.measures.day_words import shown as day_shown
from inventory.models import Loan, Location, Reservation, Tool, User
from inventory.pieces.telling import size_and_rest, size_of
from inventory.views.reserved import ask_for_reserved
from inventory.web.access import PersonsRequest, takers_only
from inventory.web.redirects import safe_redirect
from inventory.web.tables import Column, word_list

MOST_AT_ONCE = 500


@require_POST
@takers_only
def tool_issue(request: PersonsRequest, tag: str) -> HttpResponse:
    form = IssueForm(request.POST, by=request.user)
    try:
        with transaction.atomic():
            tool = get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())
            messages.success(request, _issue(tool, form))
    except IsReserved as wanted:
        return ask_for_reserved(request, wanted.reservations, back=tool.get_absolute_url())
    except CannotIssue as reason:
        messages.error(request, str(reason))
    return safe_redirect(request, tool)


def _issue(tool: Tool, form: IssueForm) -> str:
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
    """A piece that somebody has out, its size or seat first; `place` is the whole way to its drawer."""

    loan: Loan
    size: str
    rest: str
    place: str
    is_overdue: bool

    @property
    def what_for(self) -> str:
        """The job and the lathe that it is out for."""
        loan = self.loan
        return ", ".join(filter(None, (loan.sheet.called if loan.sheet else "", loan.lathe.name if loan.lathe else "")))

    @property
    def words(self) -> str:
        return f"{self.size} {self.rest} {self.loan.tool.tag} {self.place} {self.what_for}"


_COLUMNS = (
    Column("Size", "size"),
    Column("What", "what"),
    Column("Tag", "tag"),
    Column("Drawer", "drawer"),
    Column("For", "for"),
    Column("Out since", "since"),
    Column("Expected back", "due"),
    Column(""),
)
_BY: dict[str, Callable[[PieceOut], Any]] = {
    "size": lambda piece: size_of(piece.loan.tool),
    "what": lambda piece: piece.rest,
    "tag": lambda piece: piece.loan.tool.tag,
    "drawer": lambda piece: piece.place,
    "for": lambda piece: piece.what_for.lower(),
    "since": lambda piece: piece.loan.issued_at,
    "due": lambda piece: piece.loan.due_on,
}


@require_GET
def my_pieces(request: PersonsRequest) -> HttpResponse:
    """What the one who asks has out, or who a keeper names, with where each belongs; a tap returns one or all."""
    whose, today = _whose(request), timezone.localdate()
    paths = Location.objects.paths()
    loans = (
        Loan.objects.open()
        .filter(borrower=whose)
        .select_related("tool__size__series", "tool__location", "tool__mounts_in", "tool__offers", "lathe", "sheet")
    )
    loans = loans.prefetch_related("calls__by")
    everything = [
        PieceOut(
            loan,
            *size_and_rest(loan.tool),
            place=paths[loan.tool.location_id] if loan.tool.location_id else "",
            is_overdue=bool(loan.due_on and loan.due_on < today),
        )
        for loan in loans[:MOST_AT_ONCE]
    ]
    everything.sort(key=lambda piece: (piece.place, piece.loan.tool.tag))
    now = timezone.now()
    jobs = jobs_reserved(Reservation.objects.standing(at=now).filter(reserved_by=whose).with_names())
    label = "Size, tag, drawer or job"
    context = {
        **word_list(request, everything, _COLUMNS, _BY, label=label, words_of=lambda piece: piece.words),
        "whose": whose,
        "jobs": [(job, when_words(job, now=now)) for job in jobs],
    }
    return render(request, "inventory/my_pieces.html", {"place": "desk", **context})


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
    tokens = []
    for text in texts:
        try:
            tokens.append(UUID(text))
        except ValueError:
            continue
    return tokens
