"""Where a piece lives: crib, cabinet, drawer, slot, to any depth."""

from __future__ import annotations

from typing import Self

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper
from simple_history.models import HistoricalRecords

from inventory.reference.place_words import place_words


class LocationQuerySet(models.QuerySet["Location"]):
    def in_use(self) -> Self:
        return self.filter(retired_at=None)

    def names(self) -> models.QuerySet[Location, str]:
        """The names of those in use, to choose from."""
        return self.in_use().values_list("name", flat=True)

    def paths(self) -> dict[int, str]:
        """Every place in words, from the outside in, by its key; in one query, however deep they are nested."""
        every = self.model.objects.values_list("pk", "name", "parent")
        rows = {pk: (place_words(name), parent) for pk, name, parent in every}
        in_words: dict[int, str] = {}

        def path(pk: int, below: tuple[int, ...] = ()) -> str:
            name, parent = rows[pk]
            if pk not in in_words:
                in_words[pk] = name if parent is None or parent in below else f"{path(parent, (*below, pk))}, {name}"
            return in_words[pk]

        return {pk: path(pk) for pk in rows}


class Location(models.Model):
    """One place; its name is what stands on the drawer."""

    name = models.CharField(max_length=60)
    parent = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="inside", verbose_name="stands in"
    )
    retired_at = models.DateTimeField(null=True, blank=True, editable=False)
    history = HistoricalRecords()

    objects = LocationQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                Upper("name"),
                name="inventory_location_name_unique",
                violation_error_message="There is a place with this name already, perhaps among the retired.",
            ),
            models.CheckConstraint(condition=~Q(name=""), name="inventory_location_name_not_empty"),
            models.CheckConstraint(
                condition=Q(parent=None) | ~Q(parent=F("id")), name="inventory_location_not_in_itself"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def called(self) -> str:
        """The place within a sentence: `drawer E2`, `Floor rack`."""
        return place_words(self.name)

    @property
    def path(self) -> str:
        """The place in words, from the outside in: `Crib, cabinet E, drawer E2`."""
        return ", ".join([place.called for place in reversed(self.outside())] + [self.called])

    @property
    def path_outside(self) -> str:
        """What it stands in, from the outside in; empty for a place that stands by itself."""
        return self.parent.path if self.parent else ""

    def outside(self) -> list[Location]:
        """What it stands in, the nearest first."""
        outside, place = [], self.parent
        while place is not None and place not in outside:
            outside.append(place)
            place = place.parent
        return outside

    def take_back(self) -> None:
        """Whoever puts something into a retired place uses it again."""
        if self.retired_at is not None:
            self.retired_at = None
            self.save()
