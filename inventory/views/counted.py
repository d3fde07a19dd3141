"""What carries no tag and is counted: the list, the page of one thing, and the taps that change its count."""

import uuid
from itertools import groupby
from operator import attrgetter

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.db import IntegrityError, transaction
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.keeping.counted import CountedFilter, CountedItemForm, MoveForm, RecountForm
from inventory.keeping.places import place_named
from inventory.measures.inputs import say_plainly
from inventory.models import CountedItem, CountedMovement, CountedStock, Location
from inventory.models.counted import CountRefused
from inventory.web.access import keepers_only, takers_only
from inventory.web.changes import changed_meanwhile, drawn_from, edits
from inventory.web.redirects import safe_redirect

PER_PAGE = 50
MOVEMENTS_SHOWN = 50
What = CountedMovement.What
_TYPED = {
    What.TAKEN: ("Take more from", "How many, up to {}.", ""),
    What.TOPPED_UP: ("Top up", "How many came.", "1"),
}
"""The two moves that are typed at a place: the label of the field, its hint, and what stands in it first."""


@require_GET
def counted_list(request):
    narrowed = CountedFilter(request.GET, CountedItem.objects.all())
    say_plainly(narrowed.form.fields)
    narrowed.form.fields["location"].widget.attrs["list"] = "places"
    all_items = narrowed.qs if narrowed.form.is_valid() else CountedItem.objects.none()
    page = Paginator(all_items, PER_PAGE).get_page(request.GET.get("page"))
    items = [_with_tokens(item) for item in page]
    used = any(value not in (None, "") for value in narrowed.form.cleaned_data.values())
    return render(
        request,
        "inventory/counted_list.html",
        {
            "place": "tooling",
            "form": narrowed.form,
            "page": page,
            "items": items,
            "groups": [(group, list(alike)) for group, alike in groupby(items, key=attrgetter("group"))],
            "is_narrowed": bool(used or narrowed.form.errors),
            "places": Location.objects.in_use(),
        },
    )


@require_GET
def counted_item(request, pk):
    return _item_page(request, pk)


def _item_page(request, pk, refused=None):
    """`refused` is the form that was sent and cannot be followed: it stands where it stood, with what was typed."""
    item = _with_tokens(get_object_or_404(CountedItem.objects.with_total().with_places(), pk=pk))
    for stock in item.stocks.all():
        stock.take_form, stock.top_up_form = (_as_sent(_move_form(stock, what), refused) for what in _TYPED)
    moves = CountedMovement.objects.filter(stock__item=item).select_related("stock__location", "by")
    return render(
        request,
        "inventory/counted_item.html",
        {
            "place": "tooling",
            "item": item,
            "movements": moves[:MOVEMENTS_SHOWN],
            "edits": edits(item),
            "places": Location.objects.in_use() if request.user.may_keep else (),
            "count_form": _as_sent(_recount_form(), refused),
            "refused": refused,
        },
    )


def _move_form(stock, what, data=None):
    label, hint, first = _TYPED[what]
    return MoveForm(
        data,
        auto_id=f"{what.name.lower()}_{stock.pk}_%s",
        initial={"token": uuid.uuid4(), "how_many": first},
        label=f"{label} {stock.location}",
        help_text=hint.format(stock.count),
    )


def _recount_form(data=None):
    return RecountForm(data, auto_id="count_%s", initial={"token": uuid.uuid4()}, label="How many are there")


def _as_sent(form, refused):
    return refused if refused is not None and refused.auto_id == form.auto_id else form


def _with_tokens(item):
    """A token for the button of each place: a button that is pressed again is not taken for another one."""
    for stock in item.stocks.all():
        stock.token = uuid.uuid4()
    return item


@require_http_methods(["GET", "POST"])
@keepers_only
def counted_add(request):
    form = CountedItemForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and (item := _kept(request, form)):
        messages.success(request, f"{item} is in the book.")
        return redirect("counted_item", item.pk)
    return _form_page(request, form, heading="Enter what is counted", back=reverse("counted_list"))


@require_http_methods(["GET", "POST"])
@keepers_only
def counted_edit(request, pk):
    if request.method == "POST":
        return _edited(request, pk)
    item = get_object_or_404(CountedItem, pk=pk)
    return _edit_page(request, item, CountedItemForm(instance=item), f"Edit {item}")


@transaction.atomic
def _edited(request, pk):
    """Locked from the look at its history on: what somebody else changed is not overwritten unseen."""
    item = get_object_or_404(CountedItem.objects.select_for_update(), pk=pk)
    heading, form = f"Edit {item}", CountedItemForm(request.POST, instance=item)
    meanwhile = changed_meanwhile(item, request.POST)
    if meanwhile and not form.is_valid():
        form.add_error(None, meanwhile)
    if form.is_valid() and (kept := _kept(request, form, meanwhile)):
        if form.has_changed_item:
            messages.success(request, f"{kept} is changed.")
        else:
            messages.info(request, "Nothing was changed.")
        return redirect("counted_item", kept.pk)
    return _edit_page(request, item, form, heading)


def _edit_page(request, item, form, heading):
    back = reverse("counted_item", args=[item.pk])
    return _form_page(request, form, heading=heading, drawn_from=drawn_from(item), back=back)


def _kept(request, form, meanwhile=""):
    """The item, with its first count where one was given; None where only the database saw what is wrong."""
    name = form.cleaned_data["name"]
    try:
        with transaction.atomic():
            item = form.save()
            if meanwhile and form.has_changed_item:
                raise ValidationError(meanwhile)
            _count_first(request, item, form.cleaned_data)
            return item
    except ValidationError as error:
        form.add_error(None, error.messages)
    except IntegrityError:
        if not CountedItem.objects.filter(name__iexact=name).exists():
            raise
        form.add_error("name", "There is something of this name already.")
    return None


def _count_first(request, item, cleaned):
    if not cleaned.get("location"):
        return
    stock = CountedStock.objects.create(item=item, location=place_named(cleaned["location"]))
    if cleaned["count"] is not None:
        CountedStock.objects.move(
            stock, What.COUNTED, cleaned["count"], by=request.user, at=timezone.now(), token=uuid.uuid4()
        )


def _form_page(request, form, **context):
    groups = CountedItem.objects.exclude(group="").order_by("group").values_list("group", flat=True).distinct()
    return render(
        request,
        "inventory/counted_form.html",
        {
            "place": "tooling",
            "form": form,
            "groups": groups,
            "places": Location.objects.in_use(),
            "drawn_from": "",
            **context,
        },
    )


@require_POST
@keepers_only
def counted_retire(request, pk):
    item = get_object_or_404(CountedItem, pk=pk)
    if item.retired_at is None:
        item.retired_at = timezone.now()
        item.save()
        messages.success(request, f"{item} is retired. Its history stays, and it is no longer low.")
    return redirect("counted_item", pk)


@require_POST
@keepers_only
def counted_unretire(request, pk):
    item = get_object_or_404(CountedItem, pk=pk)
    if item.retired_at is not None:
        item.retired_at = None
        item.save()
        messages.success(request, f"{item} is back in the book.")
    return redirect("counted_item", pk)


@require_POST
@takers_only
def counted_take(request, pk):
    return _moved(request, pk, What.TAKEN)


@require_POST
@keepers_only
def counted_top_up(request, pk):
    return _moved(request, pk, What.TOPPED_UP)


@require_POST
@keepers_only
def counted_count(request, pk):
    """Counted anew, in a place where it lies already or in one that is new to it."""
    item = get_object_or_404(CountedItem, pk=pk)
    form = _recount_form(request.POST)
    if item.retired_at:
        messages.error(request, f"{item} is retired: nothing was changed.")
        return redirect("counted_item", pk)
    if form.is_valid():
        with transaction.atomic():
            location = place_named(form.cleaned_data["location"])
            stock, _ = CountedStock.objects.get_or_create(item=item, location=location)
            _move(request, stock, What.COUNTED, form)
    return _asked_again(request, item, form) if form.errors else redirect("counted_item", pk)


def _moved(request, pk, what):
    """`pk` is that of the thing in one place."""
    stock = get_object_or_404(CountedStock.objects.select_related("item", "location"), pk=pk)
    form = _move_form(stock, what, request.POST)
    if stock.item.retired_at:
        messages.error(request, f"{stock.item} is retired: nothing was changed.")
    elif form.is_valid():
        _move(request, stock, what, form)
    if not form.errors:
        return safe_redirect(request, "counted_item", stock.item_id)
    if "next" not in request.POST:
        return _asked_again(request, stock.item, form)
    # One tap, in which nothing was typed.
    messages.error(request, f"{stock.item}: nothing was changed. {' '.join(sum(form.errors.values(), []))}")
    return safe_redirect(request, "counted_item", stock.item_id)


def _asked_again(request, item, form):
    if "token" in form.errors:
        form.data = form.data.copy()
        form.data["token"] = str(uuid.uuid4())
    return _item_page(request, item.pk, refused=form)


def _move(request, stock, what, form):
    """What cannot be done becomes an error of the form."""
    cleaned = form.cleaned_data
    try:
        moved = CountedStock.objects.move(
            stock, what, cleaned["how_many"], by=request.user, at=timezone.now(), token=cleaned["token"]
        )
    except CountRefused as refusal:
        form.add_error("how_many", str(refusal))
        return
    asked = (stock.pk, request.user.pk, what, cleaned["how_many"])
    if (moved.stock_id, moved.by_id, moved.what, moved.how_many) != asked:
        messages.error(request, f"{stock.item}: nothing was changed, because this page was used before. Press again.")
    elif moved.is_resent:
        messages.info(request, f"{stock.item}: that press was kept already and is not counted twice.")
    else:
        messages.success(request, f"{stock.item}: {_said(moved)}")


def _said(moved) -> str:
    place = moved.stock.location
    if moved.what == What.TAKEN:
        return f"{moved.how_many} taken from {place}; {moved.left} left there."
    if moved.what == What.TOPPED_UP:
        return f"{moved.how_many} more in {place}; {moved.left} there now."
    return f"counted as {moved.how_many} in {place}."
