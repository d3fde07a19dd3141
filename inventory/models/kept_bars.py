"""The bar that the shop keeps in stock: what its collets should be able to hold."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.models.sizes import Shape

LARGEST_WEIGHT = 100


class KeptBarQuerySet(models.QuerySet["KeptBar"]):
    def standing(self) -> Self:
        return self.filter(retired_at=None)


class KeptBar(models.Model):
    """A size of bar, as it was typed. Its band is read anew each time, so that a corrected table counts at once."""

    size = models.CharField(max_length=80)
    shape = models.CharField(max_length=10, choices=Shape, default=Shape.ROUND)
    grade = models.CharField(max_length=30, blank=True)
    weight = models.PositiveSmallIntegerField(default=1)
    note = models.CharField(max_length=200, blank=True)
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(auto_now_add=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = KeptBarQuerySet.as_manager()

    class Meta:
        ordering = ["-weight", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["size", "shape", "grade"],
                condition=Q(retired_at=None),
                name="inventory_keptbar_stands_once",
                violation_error_message="This bar is on the list already.",
            ),
            models.CheckConstraint(condition=~Q(size=""), name="inventory_keptbar_size_not_empty"),
            models.CheckConstraint(
                condition=Q(weight__gte=1, weight__lte=LARGEST_WEIGHT), name="inventory_keptbar_weight_in_range"
            ),
        ]

    def __str__(self) -> str:
        return " ".join(part for part in (self.size, self.shape, self.grade) if part)
