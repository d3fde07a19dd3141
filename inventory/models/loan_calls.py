"""Who needs a piece that somebody else has. It ends with the loan."""

from django.conf import settings
from django.db import models


class LoanCall(models.Model):
    """One person's word that they need a piece which is out to another."""

    loan = models.ForeignKey("inventory.Loan", on_delete=models.CASCADE, related_name="calls")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["at"]
        constraints = [
            models.UniqueConstraint(fields=["loan", "by"], name="inventory_loan_called_once_by_each"),
        ]

    def __str__(self) -> str:
        return f"{self.loan.tool} is needed by {self.by}"
