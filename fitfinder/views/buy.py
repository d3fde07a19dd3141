"""The buy list: worked out for the demand on file, and put on the order list."""

from time import monotonic

from django.contrib import messages
from django.db import transaction
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from fitfinder import buy_words
from fitfinder.buy_form import BuyForm, ChosenLine
from fitfinder.buying import Line
from fitfinder.purchases import to_buy
from inventory.models import Kind, Size
from inventory.ordering import ask
from inventory.views.access import buyers_and_keepers, buyers_only

LONGEST_WHY = 200


@require_GET
@buyers_and_keepers
def buy(request):
    form = BuyForm(request.GET)
    if not form.is_valid():
        return render(request, "fitfinder/buy.html", {"place": "missing", "form": form, "found": None})
    began = monotonic()
    found = to_buy(budget=form.cleaned_data["budget"], with_asks=not form.cleaned_data["kept_only"])
    return render(
        request,
        "fitfinder/buy.html",
        {
            "place": "missing",
            "form": form,
            "found": found,
            "headline": buy_words.headline(found),
            "proof": buy_words.proof(found),
            "lines": [(line, buy_words.reason(line), _as_box(line), _sizes(line)) for line in found.lines],
            "seconds": f"{monotonic() - began:.2f}",
        },
    )


def _sizes(line: Line) -> str:
    return buy_words.sizes_in_words(line) if line.offer.kind == "set" else ""


def _as_box(line: Line) -> str:
    """What the page sends back where this line is ticked."""
    figures, offer = line.offer.series.figures, line.offer
    sizes = ",".join(str(size.nm) for size in offer.sizes)
    what = {"set": f"in the set {offer.name}: ", "blank": "a blank, to be bored to it: "}.get(offer.kind, "")
    why = f"{what}holds {'; '.join(demand.name for demand in line.covers)}"
    kind = Kind.MACHINABLE_COLLET.value if offer.kind == "blank" else ""
    cents = "" if offer.kind == "set" else str(line.cents)
    return "|".join([figures.code, figures.shape, sizes, kind, cents, why[:LONGEST_WHY]])


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
    fresh = [
        ask(
            by=request.user,
            size=Size.objects.of(line.figures, size),
            why=line.cleaned_data["why"],
            kind=line.cleaned_data["kind"],
            price_cents=line.cleaned_data["cents"],
        )
        for line in lines
        for size in line.lengths
    ]
    new, stood = fresh.count(True), fresh.count(False)
    messages.success(
        request,
        f"{new} size{'' if new == 1 else 's'} put on the order list"
        + (f"; {stood} stood there already." if stood else "."),
    )
    return redirect("orders")
