"""Which tabs there are, by the name that they have in addresses and commands."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct

from inventory.models import CountedItem, CountedStock, Inspection, Lathe, Loan, Want
from inventory.transfer.tabs import counted, inspections, lathes, loans, wants
from inventory.transfer.tabs.cells import headings
from inventory.transfer.tabs.entering import Entering, OwnTab, TabReport


class TabTable(Struct, frozen=True):
    """One tab beside the pieces: its title in a workbook, what it has in it, and what a row of it is."""

    name: str
    title: str
    about: str
    row: type[Struct]
    rows: Callable[[], Iterable[Struct]]
    how_many: Callable[[], int]
    enter: Callable[[OwnTab, Entering, TabReport], None] | None = None
    """None for what an import does not read back."""

    @property
    def headings(self) -> tuple[str, ...]:
        return headings(self.row)


def _count_of_places() -> int:
    return CountedStock.objects.count() + CountedItem.objects.filter(stocks=None).count()


TABLES = (
    TabTable(
        "inspections", "Inspections", "Every reading and finding that stands, of all pieces but retired ones.",
        inspections.InspectionRow, inspections.rows,
        lambda: Inspection.objects.standing().filter(tool__retired_at=None).count(), inspections.enter,
    ),
    TabTable(
        "lathes", "Lathes", "Their seats, reach and speeds.", lathes.LatheLine, lathes.rows, Lathe.objects.count,
        lathes.enter,
    ),
    TabTable(
        "counted", "Counted stock", "What carries no tag: how many there are in each place.",
        counted.CountedRow, counted.rows, _count_of_places, counted.enter,
    ),
    TabTable(
        "wants", "Wants", "The order list, from wanted to received or dropped.",
        wants.WantRow, wants.rows, Want.objects.count, wants.enter,
    ),
    TabTable(
        "loans", "Loans", "Who has or had what. An import does not read them back.",
        loans.LoanRow, loans.rows, Loan.objects.count,
    ),
)  # fmt: skip
"""In the order in which a workbook has them, behind the pieces."""

BY_NAME = {table.name: table for table in TABLES}
