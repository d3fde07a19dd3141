"""The places: all of them as a tree, the page of one, to which its label leads, and what may be done to it."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.keeping.places import Branch, PlaceForm, in_depth, tree, why_not_retired
from inventory.labels.wording import WITH_BELONGINGS, belongings
from inventory.models import Location, Tool
from inventory.models.tools import ToolQuerySet
from inventory.pieces.telling import states
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from, edits
from inventory.web.editing import save_row, tell_change
from inventory.web.tables import Column, word_list

SHOWN = 200
"""Pieces; a place with more is a room, and the list of tooling has the rest."""
COUNTS_SHOWN = 5


_COLUMNS = (Column("Place", "name"), Column("Stands in", "in"), Column("Pieces", "pieces", is_figure=True))
_BY: dict[str, Callable[[tuple[Branch, str]], Any]] = {
    "name": lambda row: row[0].place.name.lower(),
    "in": lambda row: row[1].lower(),
    "pieces": lambda row: row[0].pieces,
}


@require_GET
def place_list(request: PersonsRequest) -> HttpResponse:
    retired = Location.objects.exclude(retired_at=None).order_by("name") if request.user.may_keep else ()
    context = word_list(
        request,
        in_depth(tree()),
        _COLUMNS,
        _BY,
        label="Drawer or cabinet",
        words_of=lambda row: f"{row[1]}, {row[0].place.called}",
    )
    return render(request, "inventory/place_list.html", {"place": "tooling", "retired": retired, **context})


@require_GET
def place(request: PersonsRequest, pk: int) -> HttpResponse:
    places = Location.objects.select_related("parent__parent__parent").prefetch_related(*WITH_BELONGINGS)
    place = get_object_or_404(places, pk=pk)
    pieces = pieces_of(place)
    shown = list(pieces[:SHOWN])
    here = [tool for tool in shown if is_here(tool)]
    counts = place.counts.select_related("ended_by")
    context = {
        "here_is": place,
        "belongings": belongings(place) if shown else (),
        "inside": place.inside.in_use().order_by("name"),
        "here": [(tool, states(tool, None)) for tool in here],
        "away": [tool for tool in shown if not is_here(tool)],
        "loans": [tool.loan for tool in shown if tool.loan],
        "count": pieces.count(),
        "shown": SHOWN,
        "can_issue": any(tool.is_in_service for tool in here),
        "stocks": place.stocks.select_related("item").filter(item__retired_at=None),
        "open_count": counts.filter(ended_at=None).first(),
        "counts": counts.exclude(ended_at=None)[:COUNTS_SHOWN],
        "edits": edits(place) if request.user.may_keep else (),
    }
    return render(request, "inventory/place.html", {"place": "tooling", **context})


def pieces_of(place: Location) -> ToolQuerySet:
    return Tool.objects.in_book().filter(location=place).for_list().with_open_loans().along_the_rack()


def is_here(tool: Tool) -> bool:
    return tool.loan is None and tool.mounted_on_id is None and tool.missing_since is None


# In and out of use, name and where it stands --------------------------------------------------------------------------


@require_http_methods(["GET", "POST"])
@keepers_only
def place_add(request: PersonsRequest) -> HttpResponse:
    form = PlaceForm(request.POST or None, stands_in=request.GET.get("in"))
    if request.method == "POST" and save_row(form):
        messages.success(request, f"{form.instance.path} is saved.")
        return redirect("place", form.instance.pk)
    return _form_page(request, form, heading="Add a place")


@require_http_methods(["GET", "POST"])
@keepers_only
def place_edit(request: PersonsRequest, pk: int) -> HttpResponse:
    if request.method == "POST":
        return _save_edit(request, pk)
    place = get_object_or_404(Location, pk=pk)
    heading = f"Rename or move {place.called}"
    return _form_page(request, PlaceForm(instance=place), heading=heading, drawn_from=drawn_from(place))


@transaction.atomic
def _save_edit(request: PersonsRequest, pk: int) -> HttpResponse:
    """All places are locked: whether one would stand in itself hangs on those around it."""
    list(Location.objects.order_by("pk").select_for_update().values_list("pk"))
    place = get_object_or_404(Location, pk=pk)
    heading, form = f"Rename or move {place.called}", PlaceForm(request.POST, instance=place)
    if save_row(form, meanwhile=changed_meanwhile(place, request.POST)):
        tell_change(request, form, f"It is {place.path} now. What is in it came with it.")
        return redirect("place", place.pk)
    return _form_page(request, form, heading=heading, drawn_from=drawn_from(Location.objects.get(pk=pk)))


def _form_page(request: PersonsRequest, form: PlaceForm, **context: Any) -> HttpResponse:
    back = {"back": reverse("place_list"), "back_words": "All places"}
    nothing = {"hint": "", "drawn_from": "", "offers": {}}
    return render(request, "inventory/row_form.html", {"place": "tooling", "form": form, **back, **nothing, **context})


@require_POST
@keepers_only
@transaction.atomic
def place_retire(request: PersonsRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Location.objects.select_for_update(), pk=pk)
    if reason := why_not_retired(place):
        messages.error(request, reason)
    elif place.retired_at is None:
        place.retired_at = timezone.now()
        place.save()
        messages.success(
            request, f"{capfirst(place.called)} is retired. Whoever writes its name on a piece takes it back."
        )
    return redirect("place", place.pk)


@require_POST
@keepers_only
@transaction.atomic
def place_unretire(request: PersonsRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Location.objects.select_for_update(), pk=pk)
    place.take_back()
    messages.success(request, f"{capfirst(place.called)} is in use.")
    return redirect("place", place.pk)
