"""Buy lists that took longer than a moment to work out: how far each is, and what came of it."""

from datetime import timedelta

from django.db import models
from django.db.models import Q

KEPT_FOR = timedelta(days=30)


class BuySumQuerySet(models.QuerySet):
    def forgotten(self, *, now):
        return self.filter(begun_at__lt=now - KEPT_FOR)

    def free(self, *, now):
        """Not found yet, and nobody is at it; whoever was said until when at most."""
        return self.filter(found__isnull=True).filter(Q(busy_until=None) | Q(busy_until__lt=now))

    def like(self, other: "BuySum"):
        """Those of the same kind of question that were found, the newest first."""
        same_kind = self.filter(with_asks=other.with_asks, budget_cents__isnull=other.budget_cents is None)
        return same_kind.filter(found__isnull=False).order_by("-begun_at")


class BuySum(models.Model):
    """One question for a buy list to one state of the book, as `key` says; `state` is that of the book alone.

    `solved` is what the solver came to, part by part, `next_part` what it is asked next, `found` the list as its page
    tells it, null until it is found. Nobody has to wait for it: each look at the page works on it for a while.
    """

    key = models.CharField(max_length=64, unique=True)
    state = models.CharField(max_length=64)
    budget_cents = models.PositiveIntegerField(null=True, blank=True)
    with_asks = models.BooleanField(default=True)
    solved = models.JSONField(default=list, blank=True)
    next_part = models.CharField(max_length=10, blank=True)
    worked_ms = models.PositiveIntegerField(default=0)
    busy_until = models.DateTimeField(null=True, blank=True)
    found = models.JSONField(null=True, blank=True)
    begun_at = models.DateTimeField(auto_now_add=True)

    objects = BuySumQuerySet.as_manager()

    class Meta:
        ordering = ["-begun_at"]

    def __str__(self) -> str:
        return f"buy list {self.pk}"

    @property
    def seconds(self) -> str:
        """How long it was worked on."""
        return f"{self.worked_ms / 1000:.1f} s"
