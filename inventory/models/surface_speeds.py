"""The shop's own surface speeds: what it cuts with, in place of the handbook's."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from inventory.measures.fields import LengthField


class SurfaceSpeed(models.Model):
    """How fast the skin of a material passes a turning tool in this shop. What has no row is the handbook's."""

    material = models.CharField(max_length=60)
    cutter = models.CharField(max_length=20)
    per_minute = LengthField("length in a minute")
    changed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    changed_at = models.DateTimeField(auto_now=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["material", "cutter"]
        constraints = [
            models.UniqueConstraint(fields=["material", "cutter"], name="inventory_surface_speed_once"),
            models.CheckConstraint(condition=Q(per_minute__gt=0), name="inventory_surface_speed_above_zero"),
        ]

    def __str__(self) -> str:
        return f"{self.material}, {self.cutter}"
