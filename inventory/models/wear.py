"""Readings and findings: what was seen on a piece, when, and on what; and what a shop lets its pieces read."""

from __future__ import annotations

from datetime import date
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from simple_history.models import HistoricalRecords

from inventory.measures.fields import LengthField
from inventory.measures.length_words import measured


class Condition(models.TextChoices):
    GOOD = "good"
    WORN = "worn"
    DAMAGED = "damaged"
    SCRAPPED = "scrapped"


USABLE_CONDITIONS = (Condition.GOOD, Condition.WORN)


class Finding(models.TextChoices):
    """What is wrong with a piece, in the words of the trade."""

    BELL_MOUTHED = "bell-mouthed", "bell-mouthed"
    CRACKED = "cracked", "cracked"
    SPRUNG = "sprung", "sprung"
    GALLED = "galled", "galled"
    WORN_KEY = "worn key", "worn key"
    THREAD_DAMAGED = "thread damaged", "thread damaged"
    JAWS_BELL_MOUTHED = "jaws bell-mouthed", "jaws bell-mouthed"
    JAWS_CHIPPED = "jaws chipped", "jaws chipped"
    SCROLL_WORN = "scroll worn", "scroll worn"
    POINT_WORN = "point worn", "point worn"
    BEARING_ROUGH = "bearing rough", "bearing rough"
    SEAT_BRUISED = "seat bruised", "seat bruised"
    BENT = "bent", "bent"

    @property
    def takes_out_of_use(self) -> bool:
        """Whether such a piece must not be used, whatever it reads (common practice, no source).

        It can read well on a pin and let go under a cut. What is galled or has a worn key does not: there the verdict
        counts.
        """
        return self in {Finding.BELL_MOUTHED, Finding.JAWS_BELL_MOUTHED, Finding.CRACKED, Finding.SPRUNG}


class InspectionQuerySet(models.QuerySet["Inspection"]):
    def standing(self) -> Self:
        """All that no later row corrects; only these count."""
        return self.filter(corrected_by=None)

    def readings(self) -> Self:
        """Those that stand and have a dated reading: what a trend is made of."""
        return self.standing().filter(Q(tir__isnull=False) | Q(tir_far__isnull=False)).exclude(taken_on=None)

    def for_history(self) -> Self:
        return self.select_related("recorded_by", "in_holder", "on_lathe", "corrected_by", "corrects").prefetch_related(
            models.Prefetch("photos", InspectionPhoto.objects.only("pk", "inspection"))
        )


class Inspection(models.Model):
    """One piece looked at once; never changed, a mistyped one is followed by a new one."""

    tool = models.ForeignKey("inventory.Tool", on_delete=models.CASCADE, related_name="inspections")
    tir = LengthField("TIR at the nose", null=True, blank=True)
    tir_far = LengthField("TIR at a distance", null=True, blank=True)
    far_at = LengthField("distance from the nose", null=True, blank=True)
    taken_on = models.DateField(null=True, blank=True)
    is_bare = models.BooleanField("taken bare, in no holder", null=True, blank=True)
    in_holder = models.ForeignKey("inventory.Tool", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    on_lathe = models.ForeignKey("inventory.Lathe", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    pin = LengthField("pin size", null=True, blank=True)
    was_reseated = models.BooleanField("cleaned and reseated", null=True, blank=True)
    finding = models.CharField(max_length=20, choices=Finding, blank=True)
    verdict = models.CharField(max_length=10, choices=Condition, blank=True)
    note = models.TextField(blank=True)
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    recorded_at = models.DateTimeField(auto_now_add=True)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    token = models.UUIDField(null=True, blank=True, unique=True)

    objects = InspectionQuerySet.as_manager()

    class Meta:
        ordering = ["-recorded_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(tir__gte=0) | Q(tir=None),
                name="inventory_inspection_tir_not_negative",
                violation_error_message="A TIR is never below zero.",
            ),
            models.CheckConstraint(
                condition=Q(tir__isnull=False) | ~Q(finding="") | ~Q(note="") | Q(taken_on__isnull=False),
                name="inventory_inspection_says_something",
            ),
            models.CheckConstraint(
                condition=Q(tir_far=None, far_at=None)
                | Q(tir_far__isnull=False, far_at__isnull=False, tir_far__gte=0, far_at__gt=0),
                name="inventory_inspection_far_with_distance",
                violation_error_message="A reading at a distance says both the TIR and how far from the nose.",
            ),
            models.CheckConstraint(condition=Q(pin=None) | Q(pin__gt=0), name="inventory_inspection_pin_above_zero"),
            models.CheckConstraint(
                condition=~Q(is_bare=True, in_holder__isnull=False) | Q(is_bare=None),
                name="inventory_inspection_bare_in_no_holder",
            ),
            models.CheckConstraint(
                condition=Q(verdict__in=["", *Condition.values]), name="inventory_inspection_verdict_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.tool} {self.taken_on or 'undated'}"

    @property
    def day(self) -> date:
        """The day it counts for; an undated one counts for the day on which it was written down."""
        return self.taken_on or timezone.localdate(self.recorded_at)

    @property
    def how(self) -> str:
        """On what it was taken, what the piece was called, by whom, and the note: `bare on Lathe 1 by keeper`."""
        parts = [
            "bare" if self.is_bare else "",
            f"in {self.in_holder}" if self.in_holder else "",
            f"on {self.on_lathe}" if self.on_lathe else "",
            f"on a pin of {measured(self.pin)}" if self.pin else "",
            "cleaned and reseated" if self.was_reseated else "",
            f"called {self.verdict}" if self.verdict else "",
            f"by {self.recorded_by}" if self.recorded_by else "",
            self.note,
        ]
        return " ".join(part for part in parts if part)

    @property
    def is_corrected(self) -> bool:
        return hasattr(self, "corrected_by")


class InspectionPhoto(models.Model):
    """A picture of what was found, in a table of its own so that no list reads it."""

    inspection = models.ForeignKey(Inspection, on_delete=models.CASCADE, related_name="photos")
    jpeg = models.BinaryField()

    def __str__(self) -> str:
        return f"photo of {self.inspection}"


class WearLimit(models.Model):
    """The shop's own limit and intervals for one series or one kind; what is empty stays as it is built in."""

    series = models.OneToOneField(
        "inventory.Series", null=True, blank=True, on_delete=models.CASCADE, related_name="wear_limit"
    )
    kind = models.CharField(max_length=30, blank=True)
    limit = LengthField("largest TIR", null=True, blank=True)
    every_days = models.PositiveIntegerField("look at it every, days", null=True, blank=True)
    every_uses = models.PositiveIntegerField("look at it after, issues", null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(series__isnull=False, kind="") | Q(series=None) & ~Q(kind=""),
                name="inventory_wear_limit_one_subject",
            ),
            models.UniqueConstraint(fields=["kind"], condition=~Q(kind=""), name="inventory_wear_limit_once_a_kind"),
            models.CheckConstraint(
                condition=(Q(limit=None) | Q(limit__gt=0))
                & (Q(every_days=None) | Q(every_days__gt=0))
                & (Q(every_uses=None) | Q(every_uses__gt=0)),
                name="inventory_wear_limit_figures_above_zero",
                violation_error_message="A limit or interval is above zero; leave it empty to keep the built-in one.",
            ),
        ]

    def __str__(self) -> str:
        return self.kind or str(self.series)
