"""What waits for somebody: pieces to look at and why, loans that are late, what is missing or not filled in."""

from datetime import date

from inventory.inspections.due_inspections import LooksDue, Row
from inventory.models import Loan, Tool


def everything(*, today: date) -> dict[str, list[Row]]:
    """All lists, by the names under which other programs know them."""
    return {
        "inspections": inspections(today=today),
        "out": [_out(loan) for loan in loans().open()],
        "overdue": [_overdue(loan) for loan in overdue(today=today)],
        "missing": [_missing(tool) for tool in missing()],
        "details_missing": [
            Row(tool, f"details missing: {'; '.join(tool.missing_details)}")
            for tool in Tool.objects.details_missing().for_list()
        ],
    }


def loans():
    return Loan.objects.select_related("borrower", "tool__size__series", "tool__location")


def overdue(*, today: date):
    return loans().overdue(on=today).order_by("due_on", "tool__tag")


def missing():
    return Tool.objects.in_book().exclude(missing_since=None).for_list().order_by("missing_since", "tag")


def _out(loan: Loan) -> Row:
    back = f", expected back {loan.due_on.isoformat()}" if loan.due_on else ""
    return Row(loan.tool, f"out to {loan.borrower}{back}", loan.issued_at.date())


def _overdue(loan: Loan) -> Row:
    return Row(loan.tool, f"out to {loan.borrower}, was expected back {loan.due_on.isoformat()}", loan.due_on)


def _missing(tool: Tool) -> Row:
    place = f"; its place is {tool.location}" if tool.location else ""
    return Row(tool, f"not in its drawer{place}", tool.missing_since)


def inspections(*, today: date) -> list[Row]:
    """The pieces in service that are due for a look, the most urgent first."""
    return LooksDue(today=today).first()
