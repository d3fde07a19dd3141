"""What is cut on a setup sheet, in order, and by which tool; photos of it, and what a run really took."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.measures.fields import LengthField
from inventory.models.setup_sheets import SetupSheet
from inventory.reference import cutting
from inventory.reference.cutting import Does

DOES_CHOICES = [(does.value, does.called) for does in Does]


class CutterMaterial(models.TextChoices):
    HSS = cutting.HSS, cutting.HSS
    CARBIDE = cutting.CARBIDE, cutting.CARBIDE


class KnurlPattern(models.TextChoices):
    STRAIGHT = "straight", "straight"
    ANGLED = "angled", "angled"
    DIAMOND = "diamond", "diamond"


class KnurlMaking(models.TextChoices):
    FORMED = "formed", "formed, pressed in"
    CUT = "cut", "cut"


class SetupOperation(models.Model):
    """One cut of a setup sheet. The tool is a piece of the crib, or words where it carries no tag."""

    sheet = models.ForeignKey(SetupSheet, on_delete=models.CASCADE, related_name="operations")
    order = models.PositiveSmallIntegerField()
    does = models.CharField("operation", max_length=20, choices=DOES_CHOICES)
    tool = models.ForeignKey("inventory.Tool", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    tool_words = models.CharField("tool without a tag", max_length=120, blank=True, default="")
    holder = models.ForeignKey("inventory.Tool", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    cutter = models.CharField("cuts with", max_length=20, choices=CutterMaterial, blank=True, default="")
    position = models.CharField("position on the post", max_length=20, blank=True, default="")
    height = LengthField("center height", null=True, blank=True)
    """How far above center, or with a minus below it."""
    stick_out = LengthField("stick-out", null=True, blank=True)
    diameter = LengthField("diameter that is cut", null=True, blank=True)
    rpm = models.PositiveIntegerField("speed, rpm", null=True, blank=True)
    feed = LengthField("feed for each turn", null=True, blank=True)
    stop = models.CharField("stop setting", max_length=80, blank=True, default="")
    hole = LengthField("hole it needs first", null=True, blank=True)
    pitch = LengthField(null=True, blank=True)
    """Of a thread, or of the teeth of a knurl."""
    pattern = models.CharField(max_length=10, choices=KnurlPattern, blank=True, default="")
    making = models.CharField("formed or cut", max_length=10, choices=KnurlMaking, blank=True, default="")
    caught_by = models.CharField("what catches the part", max_length=80, blank=True, default="")
    note = models.CharField(max_length=400, blank=True, default="")

    class Meta:
        ordering = ["order", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(does__in=[does.value for does in Does]), name="inventory_setup_operation_known"
            ),
            models.CheckConstraint(
                condition=Q(cutter__in=["", *CutterMaterial.values])
                & Q(pattern__in=["", *KnurlPattern.values])
                & Q(making__in=["", *KnurlMaking.values]),
                name="inventory_setup_operation_words_known",
            ),
            models.CheckConstraint(
                condition=Q(tool=None) | Q(tool_words=""), name="inventory_setup_operation_one_tool"
            ),
            models.CheckConstraint(
                condition=(Q(stick_out=None) | Q(stick_out__gt=0))
                & (Q(diameter=None) | Q(diameter__gt=0))
                & (Q(rpm=None) | Q(rpm__gt=0))
                & (Q(feed=None) | Q(feed__gt=0))
                & (Q(hole=None) | Q(hole__gt=0))
                & (Q(pitch=None) | Q(pitch__gt=0)),
                name="inventory_setup_operation_figures_above_zero",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.does} of {self.sheet_id}"


class SetupPhoto(models.Model):
    """A picture of a sheet or of one of its operations, in a table of its own so that no list reads it."""

    sheet = models.ForeignKey(SetupSheet, on_delete=models.CASCADE, related_name="photos")
    operation = models.OneToOneField(
        SetupOperation, null=True, blank=True, on_delete=models.CASCADE, related_name="photo"
    )
    jpeg = models.BinaryField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["sheet"], condition=Q(operation=None), name="inventory_setup_photo_one_of_the_whole"
            )
        ]

    def __str__(self) -> str:
        return f"photo of {self.sheet_id}"


class SetupRun(models.Model):
    """What one batch really took. It is written down after the run, and the sheet stays as it is."""

    sheet = models.ForeignKey(SetupSheet, on_delete=models.PROTECT, related_name="runs")
    ran_on = models.DateField()
    parts = models.PositiveIntegerField()
    setup_hundredths = models.PositiveIntegerField("set-up", null=True, blank=True)
    part_hundredths = models.PositiveIntegerField("each part", null=True, blank=True)
    """Hundredths of a minute."""
    note = models.CharField(max_length=400, blank=True, default="")
    written_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField(auto_now_add=True)
    token = models.UUIDField(unique=True)

    class Meta:
        ordering = ["-ran_on", "-id"]
        constraints = [
            models.CheckConstraint(condition=Q(parts__gt=0), name="inventory_setup_run_of_some_parts"),
            models.CheckConstraint(
                condition=Q(setup_hundredths__isnull=False) | Q(part_hundredths__isnull=False),
                name="inventory_setup_run_says_some_minutes",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.ran_on}: {self.parts}"
