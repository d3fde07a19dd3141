"""Taking a piece out and bringing it back, and what somebody has out."""

from datetime import timedelta

from django import forms
from django.contrib import messages
from django.db import transaction
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.keeping.lending import borrowers, came_back_damaged, give_back, issue
from inventory.keeping.mounting import CannotMount
from inventory.measures.inputs import TokenInput
from inventory.models import Lathe, Loan, Location, Tool, User
from inventory.models.loans import AlreadyOut
from inventory.views.facts import why_not_issued
from inventory.web.access import takers_only
from inventory.web.redirects import safe_redirect

MOST_AT_ONCE = 500


class TapForm(forms.Form):
    """One press of a button; sent twice it carries the same token."""

    token = TokenInput()


class IssueForm(TapForm):
    """Issue to me, or by a keeper to somebody else, and by when it is to be back where somebody says so."""

    BACK = (("", "not said"), ("0", "today"), ("3", "in 3 days"), ("7", "in a week"))
    back_in = forms.ChoiceField(required=False, label="Expected back", choices=BACK, widget=forms.RadioSelect)
    to = forms.ModelChoiceField(None, required=False, label="To", empty_label="me")
    lathe = forms.ModelChoiceField(
        None, required=False, label="For", empty_label="no lathe", help_text="It is mounted there."
    )

    def __init__(self, *args, by, **kwargs):
        super().__init__(*args, **kwargs)
        self.by = by
        self.fields["lathe"].queryset = Lathe.objects.filter(retired_at=None)
        self.fields["to"].queryset = borrowers() if by.may_keep else borrowers().filter(pk=by.pk)

    def due_on(self, today):
        days = self.cleaned_data["back_in"]
        return today + timedelta(days=int(days)) if days else None

    @property
    def borrower(self):
        return self.cleaned_data["to"] or self.by

    @property
    def trouble(self) -> str:
        """Why nothing can be issued as it was sent; empty where it can."""
        if self.is_valid():
            return ""
        if "back_in" in self.errors:
            return "Expected back: choose today, in 3 days or in a week."
        if "to" in self.errors and not self.by.may_keep:
            return "Only crib keepers issue to others. Press Issue to me."
        if "to" in self.errors:
            return "To: choose somebody who may take pieces out."
        if "lathe" in self.errors:
            return "For: choose one of the lathes, or none."
        return "This page is too old. Press Issue again."


@require_POST
@takers_only
def tool_issue(request, tag):
    form = IssueForm(request.POST, by=request.user)
    try:
        with transaction.atomic():
            tool = get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())
            if form.trouble:
                messages.error(request, f"{tool} was not issued. {form.trouble}")
            elif reason := why_not_issued(tool):
                messages.error(request, reason)
            else:
                _issue(request, tool, form)
    except CannotMount as reason:
        messages.error(request, f"{tool} was not issued: {reason}")
    return safe_redirect(request, tool)


def _issue(request, tool, form):
    asked, to = form.cleaned_data, form.borrower
    due_on = form.due_on(timezone.localdate())
    try:
        loan = issue(tool, to=to, by=request.user, token=asked["token"], due_on=due_on, lathe=asked["lathe"])
    except AlreadyOut as out:
        whom = "you" if out.loan.borrower == request.user else out.loan.borrower
        messages.error(request, f"{tool} is out to {whom} already, since {out.loan.issued_at:%Y-%m-%d}.")
        return
    if loan.tool_id != tool.pk or loan.borrower_id != to.pk or loan.returned_at:
        messages.error(request, f"{tool} was not issued: this page was used before. Press Issue again.")
        return
    back = f" Expected back {loan.due_on:%Y-%m-%d}." if loan.due_on else ""
    lathe = f", and is on {loan.lathe}" if loan.lathe else ""
    messages.success(request, f"{tool} is issued to {'you' if to == request.user else to}{lathe}.{back}")


class ReturnForm(TapForm):
    """A return, and in what state it comes back."""

    came_back = forms.ChoiceField(required=False, choices=(("", "as it went"), ("damaged", "damaged")))


@require_POST
@takers_only
def tool_return(request, tag):
    """Ends the loan whose token the page had: pressed late, it leaves a newer loan of the piece alone."""
    form = ReturnForm(request.POST)
    is_damaged = form.is_valid() and form.cleaned_data["came_back"] == "damaged"
    with transaction.atomic():
        tool = get_object_or_404(Tool.objects.for_list().select_for_update(of=("self",)), tag=tag.upper())
        loans = tool.loans.filter(token=form.cleaned_data["token"]) if form.is_valid() else Loan.objects.none()
        ended = give_back(loans, by=request.user)
        tool.refresh_from_db()
        if ended and is_damaged:
            came_back_damaged(tool, by=request.user)
    if ended:
        messages.success(request, f"{tool} is returned{_where(tool)}.")
        if is_damaged:
            messages.warning(request, f"{tool} is damaged and is not issued. Say here what is wrong with it.")
            return redirect("inspect", tool.tag)
    elif loan := tool.loans.open().select_related("borrower").first():
        messages.error(request, f"{tool} was not returned: it is out to {loan.borrower}. Press Return again.")
    else:
        messages.info(request, f"{tool} is not out: it was returned already.")
    return safe_redirect(request, tool)


def _where(tool):
    return f"; its place is {tool.location.path}" if tool.location else ""


@require_GET
def my_pieces(request):
    """What the one who asks has out, or who a keeper names, with where each belongs; a tap returns one or all."""
    whose = _whose(request)
    paths = Location.objects.paths()
    today = timezone.localdate()
    mine = Loan.objects.open().filter(borrower=whose).select_related("tool__size__series", "lathe")
    loans = sorted(mine[:MOST_AT_ONCE], key=lambda loan: (paths.get(loan.tool.location_id, ""), loan.tool.tag))
    for loan in loans:
        loan.place, loan.is_overdue = paths.get(loan.tool.location_id, ""), bool(loan.due_on and loan.due_on < today)
    return render(request, "inventory/my_pieces.html", {"place": "desk", "loans": loans, "whose": whose})


def _whose(request):
    """Whose pieces are asked for: a keeper may look at anybody's."""
    of = request.GET.get("of", "").replace("\x00", "")
    if not of or not request.user.may_keep:
        return request.user
    return get_object_or_404(User, username=of)


@require_POST
@takers_only
def my_return(request):
    """Ends those loans whose tokens the page had, mine or for a keeper anybody's; what was taken since stays out."""
    tokens = [text for text in request.POST.getlist("loan")[:MOST_AT_ONCE] if _is_token(text)]
    loans = Loan.objects.filter(token__in=tokens)
    ended = give_back(loans if request.user.may_keep else loans.filter(borrower=request.user), by=request.user)
    if ended:
        tags = ", ".join(sorted(loan.tool.tag for loan in ended))
        messages.success(request, f"Returned: {tags}. Put {'them' if len(ended) > 1 else 'it'} back in place.")
    else:
        messages.info(request, "Nothing was returned: it was returned already.")
    return safe_redirect(request, "my_pieces")


def _is_token(text: str) -> bool:
    try:
        forms.UUIDField().clean(text)
    except forms.ValidationError:
        return False
    return True
