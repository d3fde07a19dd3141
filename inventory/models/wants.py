"""Lines of the order list, from wanted on: a size, something that is counted, or a thing in words."""

from datetime import date
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import OuterRef, Q, Subquery
from django.db.models.functions import Upper
from simple_history.models import HistoricalRecords

from inventory.models.kinds import KIND_CHOICES, Kind

MOST_OF_ONE = 10_000


class WantQuerySet(models.QuerySet["Want"]):
    def open(self) -> Self:
        """Neither received nor dropped."""
        return self.filter(state__in=OPEN)

    def coming(self) -> Self:
        """Approved or ordered: purchasing counts on it."""
        return self.filter(state__in=COMING)

    def in_sets(self) -> Self:
        """Bought in a set of several sizes."""
        return self.exclude(in_set="")

    def late(self, *, on: date) -> Self:
        """On order, and expected before the day `on`."""
        return self.filter(state=Want.State.ORDERED, expected_on__lt=on)

    def with_names(self) -> Self:
        return self.select_related("size__series", "item", "asked_by")

    def for_line(self) -> Self:
        """Only what a line says of a want: what it is, how many, for whom and why, and how far it is."""
        own = ("what", "kind", "quantity", "state", "why", "supplier", "order_number", "expected_on", "asked_at")
        names = ("size__shape", "size__nominal", "size__series__code", "item__name", "asked_by__username")
        return self.with_names().only(*own, *names)

    def with_newest_entry(self) -> Self:
        """`entry`: the key of the newest entry of its history, by which a page knows what it was drawn from."""
        entries = Want.history.filter(id=OuterRef("pk")).order_by("-history_id")
        return self.annotate(entry=Subquery(entries.values("history_id")[:1]))


class Want(models.Model):
    """Something that purchasing was asked for. It stands once until it is received or dropped.

    `what` is empty where it is a size or something counted. `kind` is the kind of the pieces that it becomes, empty
    for a collet and for what gets no tag; a size whose kind is a machinable collet is a blank to be bored to it.
    `mount` and `takes` are the seats of a link that was found missing. `price_cents` is of one. `in_set` names the set
    that the size is bought in: its price is then a share of the set's, which says nothing of the size by itself.
    Who took each step, and when, is in its history.
    """

    class State(models.TextChoices):
        WANTED = "wanted", "to order"
        APPROVED = "approved", "approved"
        ORDERED = "ordered", "on order"
        RECEIVED = "received", "received"
        DROPPED = "dropped", "dropped"

    size = models.ForeignKey("inventory.Size", null=True, blank=True, on_delete=models.PROTECT, related_name="wants")
    item = models.ForeignKey(
        "inventory.CountedItem", null=True, blank=True, on_delete=models.PROTECT, related_name="wants"
    )
    what = models.CharField(max_length=80, blank=True)
    kind = models.CharField(max_length=30, choices=KIND_CHOICES, blank=True)
    mount = models.CharField("mounts on", max_length=40, blank=True)
    takes = models.CharField(max_length=40, blank=True)
    quantity = models.PositiveIntegerField("how many", default=1)
    state = models.CharField(max_length=10, choices=State, default=State.WANTED)
    why = models.CharField(max_length=200, blank=True)
    supplier = models.CharField(max_length=80, blank=True)
    order_number = models.CharField(max_length=40, blank=True)
    price_cents = models.PositiveIntegerField("price each", null=True, blank=True)
    # The database knows the default too: a migration before this column writes rows that do not name it.
    in_set = models.CharField("in the set", max_length=60, blank=True, default="", db_default="")
    expected_on = models.DateField("expected on", null=True, blank=True)
    received_at = models.DateTimeField("received", null=True, blank=True)
    pieces = models.ManyToManyField("inventory.Tool", related_name="+", blank=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="wants")
    asked_at = models.DateTimeField(auto_now_add=True)
    history = HistoricalRecords()

    usual_cents: int | None = None
    """What such a size usually costs, where the order list looked it up."""

    objects = WantQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["size"],
                condition=Q(state__in=["wanted", "approved", "ordered"]),
                name="inventory_want_stands_once",
            ),
            models.UniqueConstraint(
                fields=["item"],
                condition=Q(state__in=["wanted", "approved", "ordered"]),
                name="inventory_want_of_item_stands_once",
            ),
            models.UniqueConstraint(
                Upper("what"),
                condition=Q(state__in=["wanted", "approved", "ordered"]) & ~Q(what=""),
                name="inventory_want_in_words_stands_once",
            ),
            models.CheckConstraint(
                condition=Q(size__isnull=False, item=None, what="")
                | Q(size=None, item__isnull=False, what="")
                | (Q(size=None, item=None) & ~Q(what="")),
                name="inventory_want_of_one_thing",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gte=1, quantity__lte=MOST_OF_ONE), name="inventory_want_quantity_in_range"
            ),
            models.CheckConstraint(
                condition=Q(received_at=None) | Q(state="received"), name="inventory_want_received_when_it_was"
            ),
            models.CheckConstraint(
                condition=Q(state__in=["wanted", "approved", "ordered", "received", "dropped"]),
                name="inventory_want_state_known",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.get_state_display()}"

    @property
    def name(self) -> str:
        """What it is, in words: `3/4 round 5C`, `Center drill No. 3`, `MT5 to MT2 sleeve`."""
        if self.size is not None:
            is_blank = self.kind == Kind.MACHINABLE_COLLET
            return f"{self.size.series} machinable blank, for {self.size}" if is_blank else str(self.size)
        return str(self.item) if self.item_id else self.what

    @property
    def is_open(self) -> bool:
        return self.state in OPEN

    @property
    def cents(self) -> int | None:
        """What all of it costs; None where no price is known."""
        return None if self.price_cents is None else self.price_cents * self.quantity

    def is_late(self, *, on) -> bool:
        return self.state == Want.State.ORDERED and self.expected_on is not None and self.expected_on < on


OPEN = (Want.State.WANTED, Want.State.APPROVED, Want.State.ORDERED)
COMING = (Want.State.APPROVED, Want.State.ORDERED)
