"""The taps that change a count: some are taken, more came, or a place is counted anew."""

import uuid

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.keeping.counted import CountTapForm
from inventory.keeping.places import place_named
from inventory.models import CountedItem, CountedMovement, CountedStock
from inventory.models.counted import CountRefused
from inventory.views.counted import What, item_page, recount_form, tap_form
from inventory.web.access import PersonsRequest, keepers_only, takers_only
from inventory.web.redirects import safe_redirect


@require_POST
@takers_only
def counted_take(request: PersonsRequest, pk: int) -> HttpResponse:
    return _tap(request, pk, What.TAKEN)


@require_POST
@keepers_only
def counted_top_up(request: PersonsRequest, pk: int) -> HttpResponse:
    return _tap(request, pk, What.TOPPED_UP)


@require_POST
@keepers_only
def counted_count(request: PersonsRequest, pk: int) -> HttpResponse:
    """Counted anew, in a place where it lies already or in one that is new to it."""
    item = get_object_or_404(CountedItem, pk=pk)
    form = recount_form(request.POST)
    if item.retired_at:
        messages.error(request, f"{item} is retired: nothing was changed.")
        return redirect("counted_item", pk)
    if form.is_valid():
        with transaction.atomic():
            location = place_named(form.cleaned_data["location"])
            stock, _ = CountedStock.objects.get_or_create(item=item, location=location)
            _move(request, stock, What.COUNTED, form)
    return _ask_again(request, item, form) if form.errors else redirect("counted_item", pk)


def _tap(request: PersonsRequest, pk: int, what: What) -> HttpResponse:
    """`pk` is that of the thing in one place."""
    stock = get_object_or_404(CountedStock.objects.select_related("item", "location"), pk=pk)
    form = tap_form(stock, what, request.POST)
    if stock.item.retired_at:
        messages.error(request, f"{stock.item} is retired: nothing was changed.")
    elif form.is_valid():
        _move(request, stock, what, form)
    if not form.errors:
        return safe_redirect(request, "counted_item", stock.item_id)
    if "next" not in request.POST:
        return _ask_again(request, stock.item, form)
    # One tap, in which nothing was typed.
    reasons = " ".join(str(error) for errors in form.errors.values() for error in errors)
    messages.error(request, f"{stock.item}: nothing was changed. {reasons}")
    return safe_redirect(request, "counted_item", stock.item_id)


def _ask_again(request: PersonsRequest, item: CountedItem, form: CountTapForm) -> HttpResponse:
    if "token" in form.errors:
        typed = request.POST.copy()
        typed["token"] = str(uuid.uuid4())
        form.data = typed
    return item_page(request, item.pk, refused=form)


def _move(request: PersonsRequest, stock: CountedStock, what: What, form: CountTapForm) -> None:
    """What cannot be done becomes an error of the form."""
    token, how_many = form.cleaned_data["token"], form.cleaned_data["how_many"]
    try:
        moved = CountedStock.objects.move(stock, what, how_many, by=request.user, at=timezone.now(), token=token)
    except CountRefused as refusal:
        form.add_error("how_many", str(refusal))
        return
    asked = (stock.pk, request.user.pk, what, how_many)
    if (moved.stock_id, moved.by_id, moved.what, moved.how_many) != asked:
        messages.error(request, f"{stock.item}: nothing was changed, because this page was used before. Press again.")
    elif moved.is_resent:
        messages.info(request, f"{stock.item}: that press was counted already and is not counted twice.")
    else:
        messages.success(request, f"{stock.item}: {_in_words(moved)}")


def _in_words(moved: CountedMovement) -> str:
    place = moved.stock.location.called
    if moved.what == What.TAKEN:
        return f"{moved.how_many} taken from {place}; {moved.left} left there."
    if moved.what == What.TOPPED_UP:
        return f"{moved.how_many} more in {place}; {moved.left} there now."
    return f"counted as {moved.how_many} in {place}."
