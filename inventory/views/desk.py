"""The desk: what waits for somebody, and the doors to the rest."""

from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory import due
from inventory.looks_due import LooksDue
from inventory.models import Condition, Count, CountedItem, Lathe, Loan, SheetImport, Tool

SHOWN = 5
"""Of each list; the rest is a tap away."""


@require_GET
def desk(request):
    in_book, today = Tool.objects.in_book(), timezone.localdate()
    looks = LooksDue(today=today)
    return render(
        request,
        "inventory/desk.html",
        {
            "place": "desk",
            "to_inspect": {"rows": looks.first(SHOWN), "count": looks.count, "shown": SHOWN},
            "overdue": _first(due.overdue(today=today)),
            "incomplete": _first(Tool.objects.details_missing().for_list()),
            "missing": _first(in_book.exclude(missing_since=None).for_list()),
            "damaged": _first(in_book.filter(condition=Condition.DAMAGED).for_list()),
            "out": _first(Loan.objects.open().select_related("borrower", "tool__size__series")),
            "low": _first(CountedItem.objects.low().with_places()),
            "counts": _first(Count.objects.open().select_related("place", "begun_by")),
            "imports": SheetImport.objects.select_related("made_by").defer("content")[:SHOWN],
            "mine": Loan.objects.open().filter(borrower=request.user).count(),
            "pieces": in_book.count(),
            "lathes": Lathe.objects.filter(retired_at=None).count(),
        },
    )


def _first(rows) -> dict:
    return {"rows": rows[:SHOWN], "count": rows.count(), "shown": SHOWN}
