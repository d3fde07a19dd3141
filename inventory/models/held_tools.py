"""Which tool sits in which holder, on a lathe or in its drawer."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords


class HeldTool(models.Model):
    """A tool that is clamped in a holder. Each holds one, and one is held by one."""

    tool = models.OneToOneField("inventory.Tool", on_delete=models.CASCADE, related_name="held_in")
    holder = models.OneToOneField("inventory.Tool", on_delete=models.CASCADE, related_name="holding")
    history = HistoricalRecords()

    class Meta:
        ordering = ["holder__tag"]
        constraints = [
            models.CheckConstraint(condition=~Q(tool=F("holder")), name="inventory_held_tool_not_in_itself"),
        ]

    def __str__(self) -> str:
        return f"{self.tool} in {self.holder}"
