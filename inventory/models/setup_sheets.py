"""Setup sheets: how a job was held, kept so that the next batch is held the same way."""

from __future__ import annotations

import uuid
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from inventory.measures.display import now
from inventory.measures.lengths import Unit


class SetupSheetQuerySet(models.QuerySet["SetupSheet"]):
    def in_use(self) -> Self:
        return self.filter(put_away_at=None)

    def put_away(self) -> Self:
        """Out of the list, the latest first."""
        return self.exclude(put_away_at=None).order_by("-put_away_at")


class SetupSheet(models.Model):
    """One way to hold one job as it stood when it was kept. `question` is the address of its plan."""

    title = models.CharField(max_length=200)
    question = models.CharField(max_length=1000)
    way = models.CharField(max_length=200)
    lathe = models.ForeignKey("inventory.Lathe", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    jaws = models.ForeignKey("inventory.JawSet", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    """What has to go into the chuck first; it carries no tag, so it is fetched and not issued."""
    steps = models.JSONField(default=list)
    numbers = models.JSONField(default=list)
    """Pairs of words and value, in the order of the sheet."""
    cautions = models.JSONField(default=list)
    """Pairs of text and source."""
    missing = models.JSONField(default=list)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    put_away_at = models.DateTimeField(null=True, blank=True)
    token = models.UUIDField(unique=True, default=uuid.uuid4)

    objects = SetupSheetQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-id"]
        constraints = [models.CheckConstraint(condition=~Q(title=""), name="inventory_setup_sheet_title_not_empty")]

    def __str__(self) -> str:
        return f"{self.title}: {self.way}"

    @property
    def address(self) -> str:
        """Of its plan, which stays what it was: one without a unit was asked in inches."""
        is_plain = now().shop_unit is Unit.INCH or "unit=" in self.question
        return self.question if is_plain else f"{self.question}&unit=in"

    def get_absolute_url(self) -> str:
        return reverse("setup_sheet", args=[self.pk])


class SetupPiece(models.Model):
    """A piece of a setup sheet, in its order from the spindle to the work."""

    sheet = models.ForeignKey(SetupSheet, on_delete=models.CASCADE, related_name="pieces")
    tool = models.ForeignKey("inventory.Tool", on_delete=models.PROTECT, related_name="+")
    order = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(fields=["sheet", "tool"], name="inventory_setup_piece_once_on_a_sheet"),
        ]

    def __str__(self) -> str:
        return f"{self.tool} of {self.sheet_id}"
