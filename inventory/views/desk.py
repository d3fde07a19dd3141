"""The desk: what waits for somebody, and the doors to the rest."""

from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.inspections import waiting
from inventory.inspections.due import inspections_due
from inventory.models import Condition, Count, CountedItem, Lathe, Loan, SheetImport, Tool

SHOWN = 3
"""Of each list; the rest is a tap away."""
ANCHORS = {
    "overdue": ("overdue", "Overdue"),
    "to_inspect": ("due", "To inspect"),
    "out": ("out", "Out"),
    "incomplete": ("details", "Details missing"),
    "missing": ("missing", "Not in its drawer"),
    "damaged": ("damaged", "Damaged"),
    "low": ("low", "Running low"),
    "counts": ("counts", "Open counts"),
}
"""What waits: where it stands on the page, and its name in the row at the top."""


@require_GET
def desk(request):
    in_book, today = Tool.objects.in_book(), timezone.localdate()
    to_inspect = inspections_due(today=today)
    pieces, low = in_book.count(), _first(CountedItem.objects.low().with_places())
    waits = {
        "overdue": _first(waiting.overdue(today=today)),
        "to_inspect": {
            "rows": waiting.to_inspect(to_inspect[:SHOWN]),
            "count": len(to_inspect),
            "shown": SHOWN,
        },
        "out": _first(Loan.objects.open().select_related("borrower", "tool__size__series")),
        "incomplete": _first(Tool.objects.details_missing().for_list()),
        "missing": _first(in_book.exclude(missing_since=None).for_list()),
        "damaged": _first(in_book.filter(condition=Condition.DAMAGED).for_list()),
        "low": low,
        "counts": _first(Count.objects.open().select_related("place", "begun_by")),
    }
    return render(
        request,
        "inventory/desk.html",
        {
            "place": "desk",
            **waits,
            "waiting": [
                (at, name, waits[what]["count"])
                for what, (at, name) in ANCHORS.items()
                if waits[what]["count"] and (what != "counts" or request.user.may_keep)
            ],
            "imports": SheetImport.objects.select_related("made_by").defer("content")[:SHOWN],
            "mine": Loan.objects.open().filter(borrower=request.user).count(),
            "pieces": pieces,
            "is_empty": not pieces and not low["count"],
            "lathes": Lathe.objects.filter(retired_at=None).count(),
        },
    )


def _first(rows) -> dict:
    return {"rows": rows[:SHOWN], "count": rows.count(), "shown": SHOWN}
