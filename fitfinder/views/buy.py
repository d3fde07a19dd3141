"""The buy list: worked out for the demand on file, and put on the order list."""

from time import monotonic

from django.contrib import messages
from django.db import transaction
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_POST

from fitfinder.buying.choosing import ALLOWED_SECONDS
from fitfinder.buying.form import BuyForm, ChosenLine
from fitfinder.buying.reader import Purchasing
from fitfinder.buying.telling import for_page
from inventory.models import Size, Want
from inventory.orders.ordering import ask
from inventory.web.access import buyers_and_keepers, buyers_only


@require_GET
@buyers_and_keepers
def what_to_buy(request):
    form = BuyForm(request.GET)
    context = {"place": "buying", "form": form, "buy": None}
    if form.is_valid():
        began = monotonic()
        buy = Purchasing().buy_list(
            budget=form.cleaned_data["budget"],
            with_asks=not form.cleaned_data["kept_only"],
            seconds=ALLOWED_SECONDS,
        )
        context |= {"buy": for_page(buy), "seconds": f"{monotonic() - began:.1f} s"}
    return render(request, "fitfinder/buy.html", context)


@require_POST
@buyers_only
@transaction.atomic
def buy_want(request):
    """All ticked lines or none. Pressed twice it asks for nothing twice: a want of a size stands once."""
    lines = [ChosenLine.of(text) for text in request.POST.getlist("line")]
    wrong = next((error for line in lines if not line.is_valid() for error in line.non_field_errors()), None)
    if not lines or not all(line.is_valid() for line in lines):
        messages.error(request, wrong or "Nothing is on the order list: no line was ticked.")
        return redirect("buy")
    asked = [
        (line, Size.objects.of(line.figures, size), cents, why)
        for line in lines
        for (size, cents), why in zip(line.shares(), line.whys(), strict=True)
    ]
    fresh = [_asked_for(line, size, cents, why, by=request.user) for line, size, cents, why in asked]
    new, stood = fresh.count(True), fresh.count(False)
    messages.success(
        request,
        f"{new} size{'' if new == 1 else 's'} put on the order list"
        + (f"; {stood} stood there already." if stood else "."),
    )
    added = [size for (_, size, _, _), is_new in zip(asked, fresh, strict=True) if is_new]
    keys = Want.objects.open().filter(size__in=added).order_by("pk").values_list("pk", flat=True)
    query = {"tick": ",".join(map(str, keys)), "budget": request.POST.get("budget", "")[:20]}
    return redirect(f"{reverse('orders')}?{urlencode({name: text for name, text in query.items() if text})}")


def _asked_for(line: ChosenLine, size, cents: int, why: str, *, by) -> bool:
    return ask(
        by=by,
        size=size,
        why=why,
        kind=line.cleaned_data["kind"],
        price_cents=cents,
        in_set=line.cleaned_data["in_set"],
    )
