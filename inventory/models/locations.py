"""Where a piece lives: crib, cabinet, drawer, slot, to any depth."""

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper


class Location(models.Model):
    """One place; its name is what stands on the drawer."""

    name = models.CharField(max_length=60)
    parent = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="inside")

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(Upper("name"), name="inventory_location_name_unique"),
            models.CheckConstraint(condition=~Q(name=""), name="inventory_location_name_not_empty"),
            models.CheckConstraint(
                condition=Q(parent=None) | ~Q(parent=F("id")), name="inventory_location_not_in_itself"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def path(self) -> str:
        """The place in words, from the outside in: `Crib, cabinet A, A2`."""
        names, place = [self.name], self.parent
        while place is not None and len(names) < 20:
            names.append(place.name)
            place = place.parent
        return ", ".join(reversed(names))

    @property
    def path_outside(self) -> str:
        """What it stands in, from the outside in; empty for a place that stands by itself."""
        return self.parent.path if self.parent_id else ""
