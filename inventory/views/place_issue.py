"""All that is in a rack or a drawer, issued together."""

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inventory.keeping.lending import LoanTerms, issue_together
from inventory.keeping.lending_forms import IssueForm
from inventory.models import Location, Reservation, Tool
from inventory.views.places import SHOWN, is_here, pieces_of
from inventory.views.reserved import ask_for_reserved
from inventory.web.access import PersonsRequest, takers_only


@require_http_methods(["GET", "POST"])
@takers_only
def place_issue(request: PersonsRequest, pk: int) -> HttpResponse:
    """A rack or a drawer as a kit: all that is here is ticked."""
    place = get_object_or_404(Location, pk=pk)
    pieces = list(pieces_of(place)[:SHOWN])
    form = IssueForm(request.POST or None, by=request.user, initial={"token": uuid.uuid4()})
    del form.fields["lathe"]
    to_take = [tool for tool in pieces if is_here(tool) and tool.is_in_service]
    ticked = {str(tool.pk) for tool in to_take}
    if request.method == "POST":
        ticked = set(request.POST.getlist("piece"))
        if form.is_valid():
            asked = _issue_ticked(request, form, [tool for tool in pieces if str(tool.pk) in ticked])
            if asked:
                return ask_for_reserved(request, asked, back=reverse("place", args=[place.pk]))
            return redirect("place", place.pk)
    context = {"here_is": place, "pieces": [(tool, str(tool.pk) in ticked) for tool in to_take], "form": form}
    return render(request, "inventory/place_issue.html", {"place": "tooling", **context})


def _issue_ticked(request: PersonsRequest, form: IssueForm, tools: list[Tool]) -> list[Reservation]:
    """Issue them and say so; what other jobs want, which is to be asked about first."""
    whom = "you" if form.borrower == request.user else str(form.borrower)
    done = issue_together(
        tools,
        LoanTerms(
            to=form.borrower,
            by=request.user,
            at=timezone.now(),
            token=form.cleaned_data["token"],
            due_on=form.due_on(timezone.localdate()),
            sheet=form.cleaned_data["sheet"],
            agreed=form.agreed,
        ),
    )
    if done.issued:
        messages.success(request, f"Issued to {whom}: {', '.join(map(str, done.issued))}.")
    for sentence in done.refused:
        messages.error(request, sentence)
    if done.had:
        messages.info(request, f"Out to {whom} already: {', '.join(map(str, done.had))}.")
    if not tools:
        messages.error(request, "Nothing was ticked, and nothing was issued.")
    return done.asked
