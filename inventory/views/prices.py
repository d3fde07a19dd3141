"""What collets cost: entered by hand, or what was last paid."""

from django.contrib import messages
from django.db import IntegrityError
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from inventory.models import Price, Series, SetPrice
from inventory.models.prices import last_paid
from inventory.orders.prices import PriceForm, SetPriceForm
from inventory.web.access import buyers_and_keepers

_GIVEN = ("series", "shape", "size", "is_blank")


@require_http_methods(["GET", "POST"])
@buyers_and_keepers
def prices(request):
    given = {name: request.GET[name] for name in _GIVEN if name in request.GET}
    form = PriceForm(request.POST or None, initial=given)
    if request.method == "POST" and form.is_valid() and _save(form, request.user):
        messages.success(request, "The price is saved.")
        return redirect(_next(form))
    rows = Price.objects.select_related("series")
    own = {(row.series.code, row.shape, row.nominal) for row in rows if not row.is_blank}
    paid = [
        (code, shape, size, cents)
        for (code, shape), sizes in sorted(last_paid().items())
        for size, cents in sorted(sizes.items())
        if (code, shape, size) not in own
    ]
    return render(
        request,
        "inventory/prices.html",
        {
            "place": "buying",
            "form": form,
            "prices": rows,
            "sets": SetPrice.objects.select_related("series").prefetch_related("sizes"),
            "paid": paid,
            "series": Series.objects.all(),
        },
    )


def _next(form) -> str:
    """Back to the list, with the series filled in for the next size of it."""
    return f"{reverse('prices')}?series={form.figures.series.code}&shape={form.figures.shape}"


@require_http_methods(["GET", "POST"])
@buyers_and_keepers
def price_set(request):
    form = SetPriceForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and _save(form, request.user):
        messages.success(request, f"The set {form.cleaned_data['name']} is saved.")
        return redirect("prices")
    context = {"place": "buying", "form": form, "series": Series.objects.all()}
    return render(request, "inventory/price_set.html", context)


def _save(form, user) -> bool:
    try:
        form.save(by=user)
    except IntegrityError:
        # Two people entered it at the same moment; the second one looks at what the first one kept.
        form.add_error(None, "Somebody entered the same just now. Look at the list, then keep it again.")
        return False
    return True


@require_POST
@buyers_and_keepers
def price_drop(request, pk):
    return _drop(request, get_object_or_404(Price, pk=pk), "The price is off the list.")


@require_POST
@buyers_and_keepers
def price_set_drop(request, pk):
    set_price = get_object_or_404(SetPrice, pk=pk)
    return _drop(request, set_price, f"The set {set_price} is off the list.")


def _drop(request, row, words):
    row.delete()
    messages.success(request, words)
    return redirect("prices")
