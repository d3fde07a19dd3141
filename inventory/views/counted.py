"""What carries no tag and is counted: the list, the page of one thing, entering and retiring it."""

import uuid
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from msgspec import Struct

from inventory.keeping.counted import CountedFilter, CountedItemForm, CountTapForm, NewCountedItemForm, RecountForm
from inventory.measures import display_words
from inventory.measures.inputs import say_plainly
from inventory.models import CountedItem, CountedMovement, CountedStock, Location
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from, edits
from inventory.web.editing import save_row, tell_change
from inventory.web.tables import Column, by_column, heads_of

PER_PAGE = 50
_COLUMNS = (
    Column("What", "what"),
    Column("Sort", "sort"),
    Column("Left", "left", is_figure=True),
    Column("Where"),
    Column("State"),
    Column(""),
)
_ORDERED_BY = {"what": ("name",), "sort": ("group", "name"), "left": ("total", "name")}
MOVEMENTS_SHOWN = 50
What = CountedMovement.What
_TYPED = {
    What.TAKEN: ("Take more from", "How many, up to {}.", ""),
    What.TOPPED_UP: ("Top up", "How many came.", "1"),
}
"""The two moves that are typed at a place: the label of the field, its hint, and what stands in it first."""


class StockTaps(Struct, frozen=True):
    """What lies in one place, and the forms that change how many."""

    stock: CountedStock
    take: CountTapForm
    top_up: CountTapForm


@require_GET
def counted_list(request: PersonsRequest) -> HttpResponse:
    narrowed = CountedFilter(request.GET, CountedItem.objects.all())
    form = narrowed.form
    say_plainly(form.fields)
    form.fields["location"].widget.attrs["list"] = "places"
    items = by_column(request, narrowed.qs, _ORDERED_BY) if form.is_valid() else CountedItem.objects.none()
    page = Paginator(items, PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page": page,
        "heads": heads_of(request, _COLUMNS),
        "new_token": uuid.uuid4,
        "is_narrowed": bool(form.errors) or any(value not in (None, "") for value in form.cleaned_data.values()),
        "places": Location.objects.names(),
    }
    return render(request, "inventory/counted_list.html", {"place": "tooling", **context})


@require_GET
def counted_item(request: PersonsRequest, pk: int) -> HttpResponse:
    return item_page(request, pk)


def item_page(request: PersonsRequest, pk: int, refused: CountTapForm | None = None) -> HttpResponse:
    """`refused` is the form that was sent and cannot be followed: it stands where it stood, with what was typed."""
    item = get_object_or_404(CountedItem.objects.with_total().with_places(), pk=pk)
    movements = CountedMovement.objects.filter(stock__item=item).select_related("stock__location", "by")
    context = {
        "item": item,
        "taps_of_places": [_taps(stock, refused) for stock in item.stocks.all()],
        "movements": movements[:MOVEMENTS_SHOWN],
        "edits": edits(item),
        "places": Location.objects.names() if request.user.may_keep else (),
        "count_form": _as_sent(recount_form(), refused),
        "refused": refused,
        "new_token": uuid.uuid4,
    }
    return render(request, "inventory/counted_item.html", {"place": "tooling", **context})


def _taps(stock: CountedStock, refused: CountTapForm | None) -> StockTaps:
    take, top_up = (_as_sent(tap_form(stock, what), refused) for what in (What.TAKEN, What.TOPPED_UP))
    return StockTaps(stock, take, top_up)


def tap_form(stock: CountedStock, what: What, data: Any = None) -> CountTapForm:
    label, hint, first = _TYPED[what]
    return CountTapForm(
        data,
        auto_id=f"{what.name.lower()}_{stock.pk}_%s",
        initial={"token": uuid.uuid4(), "how_many": first},
        label=f"{label} {stock.location.called}",
        help_text=hint.format(stock.count),
    )


def recount_form(data: Any = None) -> RecountForm:
    return RecountForm(data, auto_id="count_%s", initial={"token": uuid.uuid4()}, label="How many are there")


def _as_sent(form: CountTapForm, refused: CountTapForm | None) -> CountTapForm:
    return refused if refused is not None and refused.auto_id == form.auto_id else form


@require_http_methods(["GET", "POST"])
@keepers_only
def counted_add(request: PersonsRequest) -> HttpResponse:
    form = NewCountedItemForm(request.POST or None, by=request.user, now=timezone.now())
    if request.method == "POST" and save_row(form):
        messages.success(request, f"{form.instance} is in Gripbook.")
        return redirect("counted_item", form.instance.pk)
    return _form_page(request, form, heading="Enter what is counted", back=reverse("counted_list"))


@require_http_methods(["GET", "POST"])
@keepers_only
def counted_edit(request: PersonsRequest, pk: int) -> HttpResponse:
    if request.method == "POST":
        return _save_edit(request, pk)
    item = get_object_or_404(CountedItem, pk=pk)
    return _edit_page(request, item, CountedItemForm(instance=item), f"Edit {item}")


@transaction.atomic
def _save_edit(request: PersonsRequest, pk: int) -> HttpResponse:
    """Locked from the look at its history on: what somebody else changed is not overwritten unseen."""
    item = get_object_or_404(CountedItem.objects.select_for_update(), pk=pk)
    heading, form = f"Edit {item}", CountedItemForm(request.POST, instance=item)
    if save_row(form, meanwhile=changed_meanwhile(item, request.POST)):
        tell_change(request, form, f"{item} is changed.")
        return redirect("counted_item", item.pk)
    return _edit_page(request, item, form, heading)


def _edit_page(request: PersonsRequest, item: CountedItem, form: CountedItemForm, heading: str) -> HttpResponse:
    back = reverse("counted_item", args=[item.pk])
    return _form_page(request, form, heading=heading, drawn_from=drawn_from(item), back=back)


def _form_page(request: PersonsRequest, form: CountedItemForm, **context: Any) -> HttpResponse:
    groups = CountedItem.objects.exclude(group="").order_by("group").values_list("group", flat=True).distinct()
    context = {
        "form": form,
        "hint": f"Leave empty what you do not know. {display_words.bare()}",
        "drawn_from": "",
        "offers": {"groups": groups, "places": Location.objects.names()},
        "back_words": "Back, without a change",
        **context,
    }
    return render(request, "inventory/row_form.html", {"place": "tooling", **context})


@require_POST
@keepers_only
def counted_retire(request: PersonsRequest, pk: int) -> HttpResponse:
    item = get_object_or_404(CountedItem, pk=pk)
    if item.retired_at is None:
        item.retired_at = timezone.now()
        item.save()
        messages.success(request, f"{item} is retired. Its history stays, and it is no longer low.")
    return redirect("counted_item", pk)


@require_POST
@keepers_only
def counted_unretire(request: PersonsRequest, pk: int) -> HttpResponse:
    item = get_object_or_404(CountedItem, pk=pk)
    if item.retired_at is not None:
        item.retired_at = None
        item.save()
        messages.success(request, f"{item} is back in Gripbook.")
    return redirect("counted_item", pk)
