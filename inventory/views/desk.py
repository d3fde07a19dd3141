"""The desk: what waits for somebody, and the doors to the rest."""

from datetime import date

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.inspections import waiting
from inventory.inspections.do_first import first_things
from inventory.inspections.waiting import FirstRows, first_rows
from inventory.models import Condition, Count, CountedItem, Lathe, Loan, SheetImport, Tool
from inventory.web.access import PersonsRequest

SHOWN = 3
"""Of each list; the rest is a tap away."""
ANCHORS = {
    "overdue": ("overdue", "Overdue"),
    "to_inspect": ("due", "To inspect"),
    "out": ("out", "Out"),
    "incomplete": ("details", "Details to fill in"),
    "missing": ("missing", "Not in its drawer"),
    "damaged": ("damaged", "Damaged"),
    "low": ("low", "Low stock"),
    "counts": ("counts", "Open counts"),
}
"""What waits: where it stands on the page, and its name in the row at the top."""


@require_GET
def desk(request: PersonsRequest) -> HttpResponse:
    waits = _waits(today=timezone.localdate())
    pieces = Tool.objects.in_book().count()
    mine = Loan.objects.open().filter(borrower=request.user).count()
    things = first_things(
        due=waits["to_inspect"].rows,
        overdue=waits["overdue"].rows,
        missing=waits["missing"].rows,
        low=waits["low"].rows,
    )
    context = {
        **waits,
        "things": things,
        "first_of": sum(waits[what].count for what in ("to_inspect", "overdue", "missing", "low")),
        "waiting": [
            (anchor, name, waits[what].count)
            for what, (anchor, name) in ANCHORS.items()
            if waits[what].count and (what != "counts" or request.user.may_keep)
        ],
        "imports": SheetImport.objects.for_line()[:SHOWN],
        "mine": mine,
        "doors_counted": {
            "my_pieces": mine,
            "details_missing": waits["incomplete"].count,
            "count_list": waits["counts"].count,
        },
        "pieces": pieces,
        "is_empty": not pieces and not waits["low"].count,
        "lathes": Lathe.objects.in_use().count(),
    }
    return render(request, "inventory/desk.html", {"place": "desk", **context})


def _waits(*, today: date) -> dict[str, FirstRows]:
    in_book = Tool.objects.in_book()
    return {
        "overdue": first_rows(SHOWN, waiting.overdue(today=today).with_calls()),
        "to_inspect": waiting.first_to_inspect(SHOWN, today=today),
        "out": first_rows(SHOWN, waiting.loans().open()),
        "incomplete": first_rows(SHOWN, waiting.lacking_details()),
        "missing": first_rows(SHOWN, in_book.exclude(missing_since=None).for_line("missing_since")),
        "damaged": first_rows(SHOWN, in_book.filter(condition=Condition.DAMAGED).for_line("finding")),
        "low": first_rows(SHOWN, CountedItem.objects.low().with_places()),
        "counts": first_rows(SHOWN, Count.objects.open().for_line()),
    }
