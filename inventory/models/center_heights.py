"""For which lathes the center height of a tool-post holder is set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import models
from simple_history.models import HistoricalRecords

if TYPE_CHECKING:
    from inventory.models.tools import Tool


class CenterHeightQuerySet(models.QuerySet["CenterHeight"]):
    def set_for(self, tool: Tool, lathes: set[int]) -> bool:
        """Let the height of this holder be set for these lathes, by their keys, and no others; whether any changed."""
        standing = {height.lathe_id: height for height in tool.center_heights.all()}
        fresh = lathes - standing.keys()
        for lathe in fresh:
            self.create(tool=tool, lathe_id=lathe)
        ended = standing.keys() - lathes
        for lathe in ended:
            standing[lathe].delete()
        return bool(fresh or ended)


class CenterHeight(models.Model):
    """A tool-post holder whose center height is set for this lathe."""

    tool = models.ForeignKey("inventory.Tool", on_delete=models.CASCADE, related_name="center_heights")
    lathe = models.ForeignKey("inventory.Lathe", on_delete=models.PROTECT, related_name="center_heights")
    history = HistoricalRecords()

    objects = CenterHeightQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["tool", "lathe"], name="inventory_center_height_set_once")]

    def __str__(self) -> str:
        return f"{self.tool} on {self.lathe}"
