"""Taking a piece out and bringing it back."""

from datetime import timedelta

from django import forms
from django.contrib import messages
from django.db import transaction
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.models import Loan, Tool
from inventory.models.loans import AlreadyOut
from inventory.views.access import takers_only
from inventory.views.facts import why_not_issued
from inventory.views.onward import onward


class TapForm(forms.Form):
    """One press of a button; sent twice it carries the same token."""

    token = forms.UUIDField(widget=forms.HiddenInput)


class IssueForm(TapForm):
    """Issue to me, and by when it is to be back where somebody says so."""

    BACK = (("", "not said"), ("0", "today"), ("3", "in 3 days"), ("7", "in a week"))
    back_in = forms.ChoiceField(required=False, label="Expected back", choices=BACK, widget=forms.RadioSelect)

    def due_on(self, today):
        days = self.cleaned_data["back_in"]
        return today + timedelta(days=int(days)) if days else None


@require_POST
@takers_only
def tool_issue(request, tag):
    tap = IssueForm(request.POST)
    with transaction.atomic():
        tool = get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())
        if "back_in" in tap.errors:
            messages.error(request, f"{tool} was not issued. Expected back: choose today, in 3 days or in a week.")
        elif not tap.is_valid():
            messages.error(request, f"{tool} was not issued: this page is too old. Press Issue to me again.")
        elif reason := why_not_issued(tool):
            messages.error(request, reason)
        else:
            _issue(request, tool, tap.cleaned_data["token"], due_on=tap.due_on(timezone.localdate()))
    return onward(request, tool)


def _issue(request, tool, token, *, due_on):
    try:
        loan = Loan.objects.issue(tool=tool, to=request.user, at=timezone.now(), token=token, due_on=due_on)
    except AlreadyOut as out:
        whom = "you" if out.loan.borrower == request.user else out.loan.borrower
        messages.error(request, f"{tool} is out to {whom} already, since {out.loan.issued_at:%Y-%m-%d}.")
        return
    if loan.tool_id != tool.pk or loan.borrower_id != request.user.pk or loan.returned_at:
        messages.error(request, f"{tool} was not issued: this page was used before. Press Issue to me again.")
        return
    back = f" Expected back {loan.due_on:%Y-%m-%d}." if loan.due_on else ""
    messages.success(request, f"{tool} is issued to you.{back}")


@require_POST
@takers_only
def tool_return(request, tag):
    """Ends the loan whose token the page had: pressed late, it leaves a newer loan of the piece alone."""
    tool = get_object_or_404(Tool, tag=tag.upper())
    tap = TapForm(request.POST)
    standing = tool.loans.open()
    ended = tap.is_valid() and standing.filter(token=tap.cleaned_data["token"]).update(returned_at=timezone.now())
    if ended:
        messages.success(request, f"{tool} is returned{_where(tool)}.")
    elif loan := standing.select_related("borrower").first():
        messages.error(request, f"{tool} was not returned: it is out to {loan.borrower}. Press Return again.")
    else:
        messages.info(request, f"{tool} is not out: it was returned already.")
    return onward(request, tool)


def _where(tool):
    return f"; its place is {tool.location.path}" if tool.location else ""
