"""Who has what. The database itself refuses to issue a piece twice."""

from __future__ import annotations

import uuid
from datetime import date, datetime
from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import IntegrityError, models, transaction
from django.db.models import F, Q, Value
from django.db.models.functions import Greatest

if TYPE_CHECKING:
    from inventory.models.lathes import Lathe
    from inventory.models.setup_sheets import SetupSheet
    from inventory.models.tools import Tool
    from inventory.models.users import User


class AlreadyOut(Exception):
    """The piece is out; `loan` says to whom."""

    def __init__(self, loan: Loan) -> None:
        super().__init__(f"{loan.tool} is out to {loan.borrower}.")
        self.loan = loan


class LoanQuerySet(models.QuerySet["Loan"]):
    def open(self) -> Self:
        return self.filter(returned_at=None)

    def overdue(self, *, on: date) -> Self:
        """Out, and expected back before the day `on`."""
        return self.open().filter(due_on__lt=on)

    def with_calls(self) -> Self:
        """With whoever said that they need the piece, as `needed_by` tells it."""
        return self.prefetch_related("calls__by")

    def issue(
        self,
        *,
        tool: Tool,
        to: User,
        at: datetime,
        token: uuid.UUID,
        due_on: date | None = None,
        by: User | None = None,
        lathe: Lathe | None = None,
        sheet: SetupSheet | None = None,
    ) -> Loan:
        """Issue a piece. The same token again changes nothing; a piece that is out raises AlreadyOut.

        `by` is who handed it out, where that is not who takes it; `lathe` is what it is taken for, and `sheet` the job.
        """
        resent = self.filter(token=token).first()
        if resent:
            return resent
        try:
            with transaction.atomic():
                return self.create(
                    tool=tool,
                    borrower=to,
                    issued_at=at,
                    token=token,
                    due_on=due_on,
                    issued_by=by or to,
                    lathe=lathe,
                    sheet=sheet,
                )
        except IntegrityError:
            standing = self.open().filter(tool=tool).select_related("borrower", "tool").first()
            if standing is None:
                raise
            if standing.token == token:
                return standing
            raise AlreadyOut(standing) from None

    def end(self, *, by: User, at: datetime) -> int:
        """End these loans that are open; how many that were. Sent again, it ends nothing."""
        # Never before it was issued: the clock may have been set back since.
        return self.open().update(returned_at=Greatest(Value(at), F("issued_at")), returned_by=by)


class Loan(models.Model):
    """A piece out to one person; open until it is returned."""

    tool = models.ForeignKey("inventory.Tool", on_delete=models.PROTECT, related_name="loans")
    borrower = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="loans")
    issued_at = models.DateTimeField()
    due_on = models.DateField("expected back", null=True, blank=True)
    issued_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    lathe = models.ForeignKey(
        "inventory.Lathe", null=True, blank=True, on_delete=models.PROTECT, related_name="+", verbose_name="for"
    )
    sheet = models.ForeignKey(
        "inventory.SetupSheet",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="loans",
        verbose_name="job",
    )
    returned_at = models.DateTimeField(null=True, blank=True)
    returned_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    token = models.UUIDField(unique=True, default=uuid.uuid4)

    objects = LoanQuerySet.as_manager()

    class Meta:
        ordering = ["-issued_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["tool"], condition=Q(returned_at=None), name="inventory_loan_one_open_each_piece"
            ),
            models.CheckConstraint(
                condition=Q(returned_at=None) | Q(returned_at__gte=F("issued_at")),
                name="inventory_loan_returned_after_issue",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.tool} to {self.borrower}"

    @property
    def needed_by(self) -> str:
        """Who else said that they need it, with commas."""
        return ", ".join(str(call.by) for call in self.calls.all())
