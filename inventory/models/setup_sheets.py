"""Setup sheets: how a part is held and cut, so that the next batch is made the same way."""

from __future__ import annotations

import uuid
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper
from django.urls import reverse

from inventory.measures.display import now
from inventory.measures.fields import LengthField
from inventory.measures.lengths import Length, Unit
from inventory.models.lathes import Lathe


class SetupSheetQuerySet(models.QuerySet["SetupSheet"]):
    def in_use(self) -> Self:
        return self.filter(put_away_at=None)

    def put_away(self) -> Self:
        """Out of the list, the latest first."""
        return self.exclude(put_away_at=None).order_by("-put_away_at")

    def with_words(self, text: str) -> Self:
        """Those whose number, revision, name or stock has each of these words."""
        sheets = self
        for word in text.split():
            sheets = sheets.filter(
                Q(number__icontains=word)
                | Q(revision__iexact=word)
                | Q(title__icontains=word)
                | Q(stock__icontains=word)
                | Q(material__icontains=word)
            )
        return sheets

    def from_stock(self, size: Length) -> Self:
        """Those that are made from stock of this size."""
        return self.filter(stock_smallest__lte=size, stock_largest__gte=size)

    def twins_of(self, *, number: str, revision: str, setup: int, lathe: Lathe | None) -> Self:
        """The sheets that a machinist could take for this one; a sheet that names no lathe is for any of them."""
        twins = self.filter(number__iexact=number, revision__iexact=revision, setup=setup).exclude(number="")
        return twins if lathe is None else twins.filter(Q(lathe=lathe) | Q(lathe=None))

    def for_page(self) -> Self:
        return self.select_related(
            "lathe__tailstock_taper", "made_by", "frozen_by", "made_from", "jaws__location", "jaws__chuck"
        )


class SetupSheet(models.Model):
    """How one part is held and cut in one set-up: a draft that is edited, until it is used and frozen.

    `question` is the address of its plan, empty for a sheet that was written by hand. A frozen sheet is never changed:
    another revision is made from it.
    """

    number = models.CharField("part number", max_length=60, blank=True, default="", db_default="")
    revision = models.CharField(max_length=20, blank=True, default="", db_default="")
    setup = models.PositiveSmallIntegerField("set-up", default=1, db_default=1)
    title = models.CharField(max_length=200)
    question = models.CharField(max_length=1000, blank=True, default="")
    way = models.CharField(max_length=200, blank=True, default="")
    method = models.CharField(max_length=40, blank=True, default="", db_default="")
    """The way to hold by its word, so that the plan can be asked again."""
    speed_limit = models.PositiveIntegerField(null=True, blank=True)
    speed_limit_why = models.CharField(max_length=200, blank=True, default="", db_default="")
    """The lowest speed in turns in a minute that the plan found nothing may turn faster than, and why."""
    is_hollow = models.BooleanField("bored through", default=False, db_default=False)
    is_unbalanced = models.BooleanField("out of balance", default=False, db_default=False)
    stock = models.CharField(max_length=200, blank=True, default="", db_default="")
    stock_smallest = LengthField(null=True, blank=True)
    stock_largest = LengthField(null=True, blank=True)
    material = models.CharField(max_length=60, blank=True, default="", db_default="")
    """As the table of surface speeds calls it."""
    parts = models.PositiveIntegerField("parts in the lot", null=True, blank=True)
    note = models.TextField(blank=True, default="", db_default="")
    setup_hundredths = models.PositiveIntegerField("planned for the set-up", null=True, blank=True)
    part_hundredths = models.PositiveIntegerField("planned for each part", null=True, blank=True)
    """Hundredths of a minute."""
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
    made_from = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="later")
    frozen_at = models.DateTimeField(null=True, blank=True)
    frozen_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    edits = models.PositiveIntegerField(default=0, db_default=0)
    """How often the draft was changed: an edit says of which it was drawn."""
    token = models.UUIDField(unique=True, default=uuid.uuid4)

    objects = SetupSheetQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-id"]
        constraints = [
            models.CheckConstraint(condition=~Q(title=""), name="inventory_setup_sheet_title_not_empty"),
            models.CheckConstraint(
                condition=Q(frozen_at=None, frozen_by=None) | Q(frozen_at__isnull=False, frozen_by__isnull=False),
                name="inventory_setup_sheet_frozen_by_somebody",
            ),
            models.CheckConstraint(
                condition=Q(stock_smallest=None, stock_largest=None)
                | Q(stock_smallest__gt=0, stock_largest__gte=F("stock_smallest")),
                name="inventory_setup_sheet_stock_not_inverted",
            ),
            models.CheckConstraint(
                condition=Q(speed_limit=None) | Q(speed_limit__gt=0), name="inventory_setup_sheet_speed_above_zero"
            ),
            models.CheckConstraint(condition=Q(setup__gte=1), name="inventory_setup_sheet_setup_above_zero"),
            models.UniqueConstraint(
                Upper("number"),
                Upper("revision"),
                "setup",
                "lathe",
                condition=~Q(number=""),
                name="inventory_setup_sheet_one_of_a_revision",
                violation_error_message="There is a sheet of this number, revision, set-up and lathe already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.called}: {self.way}" if self.way else self.called

    @property
    def called(self) -> str:
        """`MW-4471 rev. C, Idler shaft`, or its name alone."""
        revision = f" rev. {self.revision}" if self.revision else ""
        return f"{self.number}{revision}, {self.title}" if self.number else self.title

    @property
    def is_frozen(self) -> bool:
        return self.frozen_at is not None

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
