"""Which pieces are kept free for a job, from when on. A reservation lapses by itself: that is judged as it is read."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Exists, F, OuterRef, Q

from inventory.models.setup_operations import SetupRun


class ReservationQuerySet(models.QuerySet["Reservation"]):
    def standing(self, *, at: datetime) -> Self:
        """Neither lifted, nor taken, nor lapsed, of a sheet that is in use; what begins first comes first.

        A job is done, too, once its run was written down after it was to begin. Nothing runs in the background that
        would end one: a shop that is closed for a week finds none of last week's.
        """
        done = SetupRun.objects.filter(sheet=OuterRef("sheet"), written_at__gte=OuterRef("starts_at"))
        standing = self.filter(lifted_at=None, taken_at=None, lapses_at__gt=at, sheet__put_away_at=None)
        return standing.exclude(Exists(done)).order_by("starts_at", "pk")

    def within(self, starts_at: datetime, lapses_at: datetime) -> Self:
        """Those that hold a piece at some moment between these two, of which the second is not among them."""
        return self.filter(starts_at__lt=lapses_at, lapses_at__gt=starts_at)

    def with_names(self) -> Self:
        return self.select_related("sheet__lathe", "reserved_by", "tool__size__series", "tool__location")


class Reservation(models.Model):
    """One piece, kept for the job of a setup sheet. All pieces that were reserved in one tap have its token.

    It ends when somebody lifts it, when the piece is issued for its job, or when it lapses.
    """

    tool = models.ForeignKey("inventory.Tool", on_delete=models.PROTECT, related_name="reservations")
    sheet = models.ForeignKey("inventory.SetupSheet", on_delete=models.PROTECT, related_name="reservations")
    starts_at = models.DateTimeField("from")
    lapses_at = models.DateTimeField("until")
    reserved_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    taken_at = models.DateTimeField(null=True, blank=True)
    """When it was issued for its job."""
    lifted_at = models.DateTimeField(null=True, blank=True)
    lifted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    token = models.UUIDField(default=uuid.uuid4)

    objects = ReservationQuerySet.as_manager()

    class Meta:
        ordering = ["starts_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["token", "tool"], name="inventory_reservation_once_a_tap"),
            # That two do not overlap is judged with the piece locked: SQLite has no constraint for it, and PostgreSQL's
            # wants an extension that only the owner of a server may install.
            models.UniqueConstraint(
                fields=["tool", "starts_at"],
                condition=Q(lifted_at=None, taken_at=None),
                name="inventory_reservation_one_at_a_time",
            ),
            models.CheckConstraint(
                condition=Q(lapses_at__gt=F("starts_at")), name="inventory_reservation_lapses_after_it_starts"
            ),
            models.CheckConstraint(
                condition=Q(lifted_at=None, lifted_by=None) | Q(lifted_at__isnull=False, lifted_by__isnull=False),
                name="inventory_reservation_lifted_by_somebody",
            ),
            models.CheckConstraint(
                condition=Q(lifted_at=None) | Q(taken_at=None), name="inventory_reservation_lifted_or_taken"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.tool} for {self.sheet}"

    def is_of(self, user_id: int | None) -> bool:
        """Whether the job is this person's: they reserved for it, or wrote its sheet."""
        return user_id is not None and user_id in (self.reserved_by_id, self.sheet.made_by_id)
