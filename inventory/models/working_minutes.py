"""The shop's own working minutes: what it measured, in place of common practice."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords


class WorkingMinutes(models.Model):
    """Hundredths of a minute that one working step takes in this shop. What has no row is common practice."""

    step = models.CharField(max_length=60, unique=True)
    hundredths = models.PositiveIntegerField()
    changed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    changed_at = models.DateTimeField(auto_now=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["step"]
        verbose_name_plural = "working minutes"
        constraints = [
            models.CheckConstraint(
                condition=Q(hundredths__gt=0, hundredths__lte=60_000),
                name="inventory_working_minutes_possible",
                violation_error_message="Minutes are above zero, and at most 600.",
            )
        ]

    def __str__(self) -> str:
        return self.step

    @property
    def minutes_text(self) -> str:
        """The minutes to two places: `2.50`."""
        return f"{self.hundredths // 100}.{self.hundredths % 100:02d}"

    @property
    def as_typed(self) -> str:
        """The minutes as somebody writes them: `2.5`, `12`."""
        return self.minutes_text.rstrip("0").rstrip(".")
