"""The page of a place, to which its label leads: what belongs there, what is there, and who has the rest."""

from django.db.models import Prefetch
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from inventory.labels.wording import WITH_BELONGINGS, belongings
from inventory.models import Loan, Location
from inventory.views.facts import states

SHOWN = 200
"""Pieces; a place with more is a room, and the list of tooling has the rest."""
_OPEN_LOANS = Prefetch("loans", Loan.objects.open().select_related("borrower"), to_attr="open_loans")


@require_GET
def place(request, pk):
    places = Location.objects.select_related("parent__parent__parent").prefetch_related(*WITH_BELONGINGS)
    place = get_object_or_404(places, pk=pk)
    pieces = place.tools.in_book().for_list().prefetch_related(_OPEN_LOANS).order_by("tag")
    shown = list(pieces[:SHOWN])
    for tool in shown:
        tool.loan = tool.open_loans[0] if tool.open_loans else None
        tool.states = [state for state in states(tool, None) if state.word != "missing"]
    here = [tool for tool in shown if _is_here(tool)]
    context = {
        "place": "tooling",
        "here_is": place,
        "belongings": belongings(place) if shown else (),
        "inside": place.inside.order_by("name"),
        "here": here,
        "away": [tool for tool in shown if not _is_here(tool)],
        "count": pieces.count(),
        "shown": SHOWN,
    }
    return render(request, "inventory/place.html", context)


def _is_here(tool) -> bool:
    return tool.loan is None and tool.mounted_on_id is None and tool.missing_since is None
