"""Readings and findings: what was seen on a piece, when, and on what."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.fields import LengthField


class Finding(models.TextChoices):
    """What is wrong with a piece, in the words of the trade."""

    BELL_MOUTHED = "bell-mouthed", "bell-mouthed"
    CRACKED = "cracked", "cracked"
    SPRUNG = "sprung", "sprung"
    GALLED = "galled", "galled"
    WORN_KEY = "worn key", "worn key"
    POINT_WORN = "point worn", "point worn"
    BEARING_ROUGH = "bearing rough", "bearing rough"

    @property
    def takes_out_of_use(self) -> bool:
        """Whether such a piece must not be used, whatever it reads (common practice, no source)."""
        return self in {Finding.BELL_MOUTHED, Finding.CRACKED, Finding.SPRUNG}


class Inspection(models.Model):
    """One look at one piece; never changed, a mistyped one is followed by a new one."""

    tool = models.ForeignKey("inventory.Tool", on_delete=models.CASCADE, related_name="inspections")
    tir = LengthField("TIR", null=True, blank=True)
    taken_on = models.DateField(null=True, blank=True)
    in_holder = models.ForeignKey("inventory.Tool", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    on_lathe = models.ForeignKey("inventory.Lathe", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    finding = models.CharField(max_length=20, choices=Finding, blank=True)
    note = models.TextField(blank=True)
    recorded_at = models.DateTimeField(auto_now_add=True)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

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
        ]

    def __str__(self) -> str:
        return f"{self.tool} {self.taken_on or 'undated'}"
