"""Loans out: who has or had what. They are not read back: a loan is what somebody did, not what a sheet says."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from msgspec import Struct

from inventory.models import Loan


class LoanRow(Struct, frozen=True, kw_only=True):
    """One loan; `returned` is empty while the piece is out."""

    tag: str
    borrower: str
    issued: datetime
    expected_back: date | None
    lathe: str
    issued_by: str
    returned: datetime | None
    returned_by: str
    job: str
    """As its setup sheet is called."""


def rows() -> Iterator[LoanRow]:
    loans = Loan.objects.select_related("tool", "borrower", "issued_by", "returned_by", "lathe", "sheet")
    return map(_row, loans.order_by("issued_at", "pk").iterator(chunk_size=2000))


def _row(loan: Loan) -> LoanRow:
    return LoanRow(
        tag=loan.tool.tag,
        borrower=loan.borrower.username,
        issued=loan.issued_at.replace(microsecond=0),
        expected_back=loan.due_on,
        lathe=loan.lathe.name if loan.lathe else "",
        issued_by=loan.issued_by.username if loan.issued_by else "",
        returned=loan.returned_at.replace(microsecond=0) if loan.returned_at else None,
        returned_by=loan.returned_by.username if loan.returned_by else "",
        job=str(loan.sheet) if loan.sheet else "",
    )
