"""A drawer that is counted: who said of which piece that it is there, and what came of it."""

from __future__ import annotations

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q


class CountQuerySet(models.QuerySet["Count"]):
    def open(self) -> Self:
        return self.filter(ended_at=None)

    def for_line(self) -> Self:
        """Only what a line says of a count: its place, and who began it when."""
        return self.select_related("place", "begun_by").only("begun_at", "place__name", "begun_by__username")


class Count(models.Model):
    """One count of one place. It is open until somebody closes it, and then its differences are put right, or drops it.

    It can be gone on with by another person on another device: all that was said is kept in its lines.
    """

    place = models.ForeignKey("inventory.Location", on_delete=models.PROTECT, related_name="counts")
    begun_at = models.DateTimeField()
    begun_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    is_dropped = models.BooleanField(default=False)

    objects = CountQuerySet.as_manager()

    class Meta:
        ordering = ["-begun_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["place"], condition=Q(ended_at=None), name="inventory_count_one_open_each_place"
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, ended_by=None, is_dropped=False)
                | Q(ended_at__isnull=False, ended_by__isnull=False),
                name="inventory_count_ended_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return f"count of {self.place.called}"

    @property
    def is_open(self) -> bool:
        return self.ended_at is None


class CountAnswer(models.TextChoices):
    """What was said of one piece."""

    HERE = "here", "here"
    NOT_HERE = "not here", "not here"
    MOVE_IN = "move in", "here, and moved here"
    GOES_BACK = "goes back", "here, and goes back"


class CountLine(models.Model):
    """What was last said of one piece in one count; `outcome` is what closing the count made of it, in words."""

    count = models.ForeignKey(Count, on_delete=models.CASCADE, related_name="lines")
    tool = models.ForeignKey("inventory.Tool", on_delete=models.CASCADE, related_name="count_lines")
    answer = models.CharField(max_length=10, choices=CountAnswer)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    outcome = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["tool__tag"]
        constraints = [
            models.UniqueConstraint(fields=["count", "tool"], name="inventory_count_line_once_a_piece"),
            models.CheckConstraint(
                condition=Q(answer__in=CountAnswer.values), name="inventory_count_line_answer_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.tool} {self.answer}"
