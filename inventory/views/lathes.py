"""The lathes: what they have, and what is mounted on them."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.db.models import Prefetch
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.keeping.lathe_spots import lathe_spots, place_of
from inventory.keeping.lathes import SEATS, LatheForm, facts
from inventory.keeping.mounting import pieces_on
from inventory.measures import display_words
from inventory.measures.lengths import Length
from inventory.models import Lathe, Seat, Tool
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from
from inventory.web.editing import save_row, tell_change
from inventory.web.news import tell_new_seats
from inventory.web.tables import Column, heads_of, in_order

_COLUMNS = (
    Column("Lathe", "name"),
    Column("Nose", "nose"),
    Column("Bore", "bore", is_figure=True),
    Column("Swing", "swing", is_figure=True),
    Column("On it now", "mounted"),
)
_BY: dict[str, Callable[[Lathe], Any]] = {
    "name": lambda lathe: lathe.name.lower(),
    "nose": lambda lathe: str(lathe.nose or ""),
    "bore": lambda lathe: lathe.spindle_bore,
    "swing": lambda lathe: lathe.swing_over_bed,
    "mounted": lambda lathe: len(lathe.mounted.all()),
}


@require_GET
def lathe_list(request: PersonsRequest) -> HttpResponse:
    mounted = Prefetch("mounted", queryset=Tool.objects.in_book().for_list().order_by("tag"))
    lathes = Lathe.objects.with_seats().prefetch_related(mounted).order_by("retired_at", "name")
    context = {"lathes": in_order(request, lathes, _BY), "heads": heads_of(request, _COLUMNS)}
    return render(request, "inventory/lathe_list.html", {"place": "tooling", **context})


@require_GET
def lathe(request: PersonsRequest, pk: int) -> HttpResponse:
    lathe = get_object_or_404(Lathe.objects.with_seats(), pk=pk)
    known = [(words, value) for words, value in facts(lathe) if value is not None]
    mounted = pieces_on(lathe)
    context = {
        "lathe": lathe,
        "facts": [(words.capitalize(), _in_words(value)) for words, value in known],
        "unknown": [words for words, value in facts(lathe) if value is None],
        "spots": lathe_spots(lathe, mounted),
        "elsewhere": [tool for tool in mounted if not place_of(tool, mounted)],
        "belongings": lathe.belongings.in_book().for_list(),
    }
    return render(request, "inventory/lathe.html", {"place": "desk", **context})


def _in_words(value: Seat | Length | int) -> str:
    return value.in_words if isinstance(value, Seat) else str(value)


@require_http_methods(["GET", "POST"])
@keepers_only
def lathe_add(request: PersonsRequest) -> HttpResponse:
    form = LatheForm(request.POST or None)
    if request.method == "POST" and save_row(form):
        messages.success(request, f"{form.instance} is saved.")
        tell_new_seats(request, form.own_seats)
        return redirect("lathe", form.instance.pk)
    return _form_page(request, form, heading="Enter a lathe")


@require_http_methods(["GET", "POST"])
@keepers_only
def lathe_edit(request: PersonsRequest, pk: int) -> HttpResponse:
    if request.method == "POST":
        return _save_edit(request, pk)
    lathe = get_object_or_404(Lathe, pk=pk)
    return _form_page(request, LatheForm(instance=lathe), heading=f"Edit {lathe}", drawn_from=drawn_from(lathe))


@transaction.atomic
def _save_edit(request: PersonsRequest, pk: int) -> HttpResponse:
    """Locked from the look at its history on: what somebody else changed is not overwritten unseen."""
    lathe = get_object_or_404(Lathe.objects.select_for_update(), pk=pk)
    heading, form = f"Edit {lathe}", LatheForm(request.POST, instance=lathe)
    if save_row(form, meanwhile=changed_meanwhile(lathe, request.POST)):
        tell_change(request, form, f"{lathe} is changed.")
        tell_new_seats(request, form.own_seats)
        return redirect("lathe", lathe.pk)
    return _form_page(request, form, heading=heading, drawn_from=drawn_from(lathe))


@require_POST
@keepers_only
def lathe_retire(request: PersonsRequest, pk: int) -> HttpResponse:
    lathe = get_object_or_404(Lathe, pk=pk)
    if lathe.retired_at is None:
        lathe.retired_at = timezone.now()
        lathe.save()
        messages.success(request, f"{lathe} is retired, and is no longer offered.")
    return redirect("lathe", lathe.pk)


@require_POST
@keepers_only
def lathe_unretire(request: PersonsRequest, pk: int) -> HttpResponse:
    lathe = get_object_or_404(Lathe, pk=pk)
    if lathe.retired_at is not None:
        lathe.retired_at = None
        lathe.save()
        messages.success(request, f"{lathe} is back in use.")
    return redirect("lathe", lathe.pk)


def _form_page(request: PersonsRequest, form: LatheForm, **context: Any) -> HttpResponse:
    for name in SEATS:
        form.fields[name].widget.attrs["list"] = "seats"
    context = {
        "form": form,
        "hint": f"Leave empty what you do not know. {display_words.bare()}",
        "drawn_from": "",
        "offers": {"seats": Seat.objects.values_list("code", flat=True)},
        "back": reverse("lathe_list"),
        "back_words": "All lathes",
        **context,
    }
    return render(request, "inventory/row_form.html", {"place": "desk", **context})
