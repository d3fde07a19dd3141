"""A piece that got another place: from where to where, when, and who said so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

if TYPE_CHECKING:
    from inventory.models.users import User


class MoveQuerySet(models.QuerySet["Move"]):
    def keep(self, moves: list[Move], *, by: User | None) -> None:
        """Keep these moves of pieces that are saved by now; a retired place that one comes to is in use again."""
        now = timezone.now()
        for move in moves:
            move.at, move.by = now, by
        Move.objects.bulk_create(moves)
        for move in moves:
            if move.tool.location is not None:
                move.tool.location.take_back()


class Move(models.Model):
    """One change of the place where a piece belongs; never changed afterwards. `None` is no place."""

    tool = models.ForeignKey("inventory.Tool", on_delete=models.CASCADE, related_name="moves")
    from_place = models.ForeignKey(
        "inventory.Location", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    to_place = models.ForeignKey(
        "inventory.Location", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    objects = MoveQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=(Q(from_place__isnull=False) | Q(to_place__isnull=False))
                & (Q(from_place=None) | Q(to_place=None) | ~Q(from_place=F("to_place"))),
                name="inventory_move_somewhere_else",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.tool}: {self.from_place or 'no place'} → {self.to_place or 'no place'}"
