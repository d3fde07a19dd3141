"""The sets of jaws of a chuck: which there are, what each holds, and which is in the chuck now."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import Any

from django.db import models, transaction
from django.db.models import F, Q
from django.utils import timezone
from simple_history.models import HistoricalRecords

from inventory.measures.fields import LengthField
from inventory.measures.length_words import shown
from inventory.measures.lengths import Length
from inventory.models.tools import Tool
from inventory.models.wear import USABLE_CONDITIONS, Condition, Inspection
from inventory.reference.kinds import JawKind


class JawSet(models.Model):
    """One set of jaws, which belongs to one chuck.

    The chuck's own columns are the ranges and the length of the jaws that are in it: `carry_over` is the one place that
    says so.
    """

    chuck = models.ForeignKey("inventory.Tool", on_delete=models.PROTECT, related_name="jaw_sets")
    kind = models.CharField(max_length=10, choices=[(kind.value, kind.value) for kind in JawKind])
    mark = models.CharField("marked", max_length=30, blank=True)
    outside_smallest = LengthField("holds from, outside", null=True, blank=True)
    outside_largest = LengthField("holds to, outside", null=True, blank=True)
    inside_smallest = LengthField("holds from, inside", null=True, blank=True)
    inside_largest = LengthField("holds to, inside", null=True, blank=True)
    bored_to = LengthField("last bored to", null=True, blank=True)
    jaw_length = LengthField("length that grips", null=True, blank=True)
    condition = models.CharField(max_length=10, choices=Condition, default=Condition.GOOD)
    location = models.ForeignKey(
        "inventory.Location", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    notes = models.TextField(blank=True)
    is_in = models.BooleanField("in the chuck", default=False)
    retired_at = models.DateTimeField(null=True, blank=True)
    token = models.UUIDField(unique=True, default=uuid.uuid4)

    history = HistoricalRecords()

    class Meta:
        ordering = ["kind", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=["outside", "inside", "soft"]), name="inventory_jaw_set_kind_known"
            ),
            models.CheckConstraint(
                condition=Q(condition__in=Condition.values), name="inventory_jaw_set_condition_known"
            ),
            models.CheckConstraint(
                condition=Q(outside_smallest__gt=0, outside_largest__gte=F("outside_smallest"))
                | Q(outside_smallest=None)
                | Q(outside_largest=None),
                name="inventory_jaw_set_outside_not_inverted",
                violation_error_message="The largest size held outside must not be below the smallest.",
            ),
            models.CheckConstraint(
                condition=Q(inside_smallest__gt=0, inside_largest__gte=F("inside_smallest"))
                | Q(inside_smallest=None)
                | Q(inside_largest=None),
                name="inventory_jaw_set_inside_not_inverted",
                violation_error_message="The largest size held inside must not be below the smallest.",
            ),
            models.CheckConstraint(
                condition=Q(bored_to=None) | Q(bored_to__gt=0, kind="soft"),
                name="inventory_jaw_set_only_soft_jaws_are_bored",
                violation_error_message="Only soft jaws are bored to a size.",
            ),
            models.CheckConstraint(
                condition=Q(jaw_length=None) | Q(jaw_length__gt=0),
                name="inventory_jaw_set_length_above_zero",
                violation_error_message="Jaws grip by more than nothing; leave it empty where it is unknown.",
            ),
            models.UniqueConstraint(fields=["chuck"], condition=Q(is_in=True), name="inventory_jaw_set_one_in_a_chuck"),
            models.CheckConstraint(
                condition=Q(is_in=False) | Q(retired_at=None, condition__in=USABLE_CONDITIONS),
                name="inventory_jaw_set_in_only_where_usable",
                violation_error_message="Jaws that are retired or not usable are not in a chuck.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} jaws{f' {self.mark}' if self.mark else ''}"

    @property
    def is_usable(self) -> bool:
        return self.retired_at is None and self.condition in USABLE_CONDITIONS

    @property
    def outside(self) -> tuple[Length | None, Length | None]:
        """What they hold outside, smallest and largest; soft jaws hold the size that they were bored to, no other."""
        if self.kind == JawKind.SOFT:
            return self.bored_to, self.bored_to
        return self.outside_smallest, self.outside_largest

    @property
    def inside(self) -> tuple[Length | None, Length | None]:
        return self.inside_smallest, self.inside_largest

    @property
    def reaches(self) -> list[tuple[str, str]]:
        """What they hold, side by side with its words."""
        if self.kind == JawKind.SOFT and self.bored_to is not None:
            outside = ("bored to", shown(self.bored_to))
        else:
            outside = ("outside", _reach(*self.outside))
        length = ("grips by", shown(self.jaw_length) if self.jaw_length is not None else "")
        return [(words, reach) for words, reach in (outside, ("inside", _reach(*self.inside)), length) if reach]

    @transaction.atomic
    def put_in(self) -> None:
        """These are the jaws of the chuck from now on; the set that was in it is beside it.

        What the chuck was read to run out was read with other jaws: it counts no longer, and its inspections stay.
        """
        for other in self.chuck.jaw_sets.filter(is_in=True).exclude(pk=self.pk):
            other.is_in = False
            other.save()
        if self.is_in:
            self.carry_over()
            return
        self.is_in = True
        self.save()
        self.carry_over(reading=None, tir=None)

    def carry_over(self, **further: Any) -> None:
        """Give the chuck, where the finder reads them, what the jaws in it hold and by how much, and these further
        values."""
        if not self.is_in:
            return
        chuck = Tool.objects.select_for_update().get(pk=self.chuck_id)
        names = ("outside_smallest", "outside_largest", "inside_smallest", "inside_largest")
        now = dict(zip(names, (*self.outside, *self.inside), strict=True)) | {"jaw_length": self.jaw_length} | further
        if all(getattr(chuck, name) == value for name, value in now.items()):
            return
        for name, value in now.items():
            setattr(chuck, name, value)
        chuck.save()

    def were_in_at(self, inspection: Inspection) -> bool:
        """Whether it was inspected since these jaws went in; a correction stands for what it corrects."""
        first = inspection
        while first.corrects is not None:
            first = first.corrects
        since = self._in_since()
        return since is None or (first.recorded_at >= since and inspection.day >= timezone.localdate(since))

    def _in_since(self) -> datetime | None:
        """When they went in, by the history; None where they were in the chuck when they were written down."""
        since = timezone.now()
        for entry in self.history.order_by("-history_id"):
            if not entry.is_in:
                return since
            since = entry.history_date
        return None


def _reach(smallest: Length | None, largest: Length | None) -> str:
    if smallest and largest:
        return f"{shown(smallest)} to {shown(largest)}"
    return f"from {shown(smallest)}" if smallest else f"up to {shown(largest)}" if largest else ""
