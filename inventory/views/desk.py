"""The desk: what waits for somebody, and the doors to the rest."""

from django.shortcuts import render
from django.views.decorators.http import require_GET

from inventory.models import Condition, CountedItem, Lathe, Loan, Tool

SHOWN = 20
"""Of each list; the rest is a tap away."""


@require_GET
def desk(request):
    in_book = Tool.objects.in_book()
    return render(
        request,
        "inventory/desk.html",
        {
            "place": "desk",
            "incomplete": _first(Tool.objects.details_missing().for_list()),
            "missing": _first(in_book.exclude(missing_since=None).for_list()),
            "damaged": _first(in_book.filter(condition=Condition.DAMAGED).for_list()),
            "out": _first(Loan.objects.open().select_related("borrower", "tool__size__series")),
            "low": _first(CountedItem.objects.low().with_places()),
            "pieces": in_book.count(),
            "lathes": Lathe.objects.filter(retired_at=None).count(),
        },
    )


def _first(rows) -> dict:
    return {"rows": rows[:SHOWN], "count": rows.count(), "shown": SHOWN}
