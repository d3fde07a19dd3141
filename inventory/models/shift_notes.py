"""What one shift writes down for the next. A note is never edited: what was wrong in it stands in a later one."""

from __future__ import annotations

import uuid
from datetime import date
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q

LONGEST = 2000


class ShiftNoteQuerySet(models.QuerySet["ShiftNote"]):
    def of_day(self, day: date) -> Self:
        """Those of one day of the shop, in the order in which they were written."""
        return self.filter(written_at__date=day).order_by("written_at", "pk")


class ShiftNote(models.Model):
    text = models.TextField(max_length=LONGEST)
    written_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField()
    token = models.UUIDField(unique=True, default=uuid.uuid4)

    objects = ShiftNoteQuerySet.as_manager()

    class Meta:
        ordering = ["-written_at", "-pk"]
        constraints = [models.CheckConstraint(condition=~Q(text=""), name="inventory_shift_note_not_empty")]

    def __str__(self) -> str:
        return f"{self.written_by}: {self.text}"
