"""Sheets that were sent to the import page, kept until somebody takes their rows."""

from datetime import timedelta

from django.conf import settings
from django.db import models


class SheetImportQuerySet(models.QuerySet):
    def forgotten(self, *, now):
        """Never taken, and older than a month."""
        return self.filter(taken_at=None, made_at__lt=now - timedelta(days=30))


class SheetImport(models.Model):
    """One uploaded sheet; `done` is the report of what was taken."""

    name = models.CharField(max_length=200)
    content = models.BinaryField()
    unit = models.CharField(max_length=2, default="in")
    dates = models.CharField(max_length=3, blank=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    taken_at = models.DateTimeField(null=True, blank=True)
    done = models.JSONField(null=True, blank=True)

    objects = SheetImportQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return self.name
