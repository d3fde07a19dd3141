"""The lathes, and the seats that they offer."""

from __future__ import annotations

from typing import Self

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper
from simple_history.models import HistoricalRecords

from inventory.measures.fields import LengthField
from inventory.models.kinds import Place
from inventory.models.seats import Seat


def _seat(words: str) -> models.ForeignKey:
    return models.ForeignKey(
        "inventory.Seat",
        verbose_name=words,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )


class LatheQuerySet(models.QuerySet["Lathe"]):
    def in_use(self) -> Self:
        return self.filter(retired_at=None)

    def with_seats(self) -> Self:
        return self.select_related("nose", "headstock_taper", "tailstock_taper", "post")


class Lathe(models.Model):
    """One lathe. What is not known is left empty, and the finder says that it could not check it."""

    name = models.CharField(max_length=40)
    nose = _seat("spindle nose")
    headstock_taper = _seat("headstock taper")
    tailstock_taper = _seat("tailstock taper")
    post = _seat("tool post")
    spindle_bore = LengthField(
        null=True, blank=True, help_text="The largest bar that passes the whole spindle, like 1.57."
    )
    spindle_length = LengthField(null=True, blank=True)
    swing_over_bed = LengthField(null=True, blank=True)
    swing_over_slide = LengthField("swing over cross slide", null=True, blank=True)
    gap_swing = LengthField("swing in the gap", null=True, blank=True)
    gap_width = LengthField("width of the gap", null=True, blank=True)
    between_centers = LengthField("distance between centers", null=True, blank=True)
    set_over = LengthField("set-over of the tailstock", null=True, blank=True)
    compound_travel = LengthField("travel of the compound", null=True, blank=True)
    slowest_rpm = models.PositiveIntegerField("slowest speed, rpm", null=True, blank=True)
    fastest_rpm = models.PositiveIntegerField("fastest speed, rpm", null=True, blank=True)
    nose_tir = LengthField("spindle run-out at the nose", null=True, blank=True, help_text="TIR, like 0.0001.")
    retired_at = models.DateTimeField(null=True, blank=True, editable=False)
    history = HistoricalRecords()

    objects = LatheQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                Upper("name"),
                name="inventory_lathe_name_unique",
                violation_error_message="There is a lathe of this name already.",
            ),
            models.CheckConstraint(condition=~Q(name=""), name="inventory_lathe_name_not_empty"),
            models.CheckConstraint(
                condition=Q(nose_tir__gte=0) | Q(nose_tir=None), name="inventory_lathe_nose_tir_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(spindle_bore__gt=0) | Q(spindle_bore=None), name="inventory_lathe_bore_above_zero"
            ),
            models.CheckConstraint(
                condition=(Q(set_over=None) | Q(set_over__gt=0)) & (Q(compound_travel=None) | Q(compound_travel__gt=0)),
                name="inventory_lathe_travels_above_zero",
                violation_error_message="A travel is larger than zero; leave it empty where it is unknown.",
            ),
            models.CheckConstraint(
                condition=Q(fastest_rpm__gte=F("slowest_rpm")) | Q(fastest_rpm=None) | Q(slowest_rpm=None),
                name="inventory_lathe_speeds_not_inverted",
                violation_error_message="The fastest speed must not be below the slowest.",
            ),
            models.CheckConstraint(
                condition=Q(swing_over_bed__gte=F("swing_over_slide"))
                | Q(swing_over_bed=None)
                | Q(swing_over_slide=None),
                name="inventory_lathe_swing_not_inverted",
                violation_error_message="The swing over the bed must not be below that over the cross slide.",
            ),
            models.CheckConstraint(
                condition=(Q(gap_width=None) | Q(gap_width__gt=0))
                & (Q(gap_swing=None) | Q(swing_over_bed=None) | Q(gap_swing__gte=F("swing_over_bed"))),
                name="inventory_lathe_gap_not_inverted",
                violation_error_message="The swing in the gap must not be below that over the bed, and the gap has a "
                "width.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def seats(self) -> dict[Place, Seat | None]:
        """What it offers at each place that has a seat; None where nobody wrote it down."""
        return {
            Place.NOSE: self.nose,
            Place.HEADSTOCK: self.headstock_taper,
            Place.TAILSTOCK: self.tailstock_taper,
            Place.POST: self.post,
        }
