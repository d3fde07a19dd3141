"""Which tabs there are, by the name that they have in addresses and commands."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct

from inventory.models import (
    CountedItem,
    CountedStock,
    HeldTool,
    Inspection,
    Lathe,
    Loan,
    SetupOperation,
    SetupRun,
    SetupSheet,
    Want,
)
from inventory.transfer.tabs import counted, inspections, lathes, loans, setups, wants
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
    together: str = ""
    """The heading under which rows that have to be entered at once say the same."""

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
        together="tag",
    ),
    TabTable(
        "lathes", "Lathes", "Their seats, reach and speeds.", lathes.LatheLine, lathes.rows, Lathe.objects.count,
        lathes.enter, together="name",
    ),
    TabTable(
        "counted", "Counted stock", "What carries no tag: how many there are in each place.",
        counted.CountedRow, counted.rows, _count_of_places, counted.enter,
        together="name",
    ),
    TabTable(
        "wants", "Wants", "The order list, from wanted to received or dropped.",
        wants.WantRow, wants.rows, Want.objects.count, wants.enter, together="asked",
    ),
    TabTable(
        "loans", "Loans", "Who has or had what. An import does not read them back.",
        loans.LoanRow, loans.rows, Loan.objects.count,
    ),
    TabTable(
        "setup-sheets", "Setup sheets", "How parts are held. An import does not read them back.",
        setups.SetupSheetRow, setups.sheet_rows, SetupSheet.objects.count,
    ),
    TabTable(
        "operations", "Operations", "What is cut on setup sheets, with which tool. An import does not read them back.",
        setups.SetupOperationRow, setups.operation_rows, SetupOperation.objects.count,
    ),
    TabTable(
        "runs", "Runs", "What runs of setup sheets took. An import does not read them back.",
        setups.SetupRunRow, setups.run_rows, SetupRun.objects.count,
    ),
    TabTable(
        "holders", "Tools in holders", "Which tool is in which holder. An import does not read them back.",
        setups.HeldToolRow, setups.held_rows, HeldTool.objects.count,
    ),
)  # fmt: skip
"""In the order in which a workbook has them, behind the pieces."""

BY_NAME = {table.name: table for table in TABLES}
