"""What carries no tag and is counted instead: how many there are in each place, and each tap that changed it.

A count is changed by one conditional update and never from a number that was read before, so that two people who
tap at the same moment cannot both take the last one.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import IntegrityError, models, transaction
from django.db.models import F, Q, Sum
from django.db.models.functions import Coalesce, Upper
from django.utils.text import capfirst
from simple_history.models import HistoricalRecords

from inventory.measures.fields import LengthField

if TYPE_CHECKING:
    from inventory.models.users import User

MOST = 1_000_000
"""Of one thing in one place: more is a slip of the thumb, and far below what a column holds."""


class CountRefused(Exception):
    """The count cannot be changed like this; the message is the sentence for whoever tapped."""


class CountedItemQuerySet(models.QuerySet["CountedItem"]):
    def in_book(self) -> Self:
        return self.filter(retired_at=None)

    def with_total(self) -> Self:
        """`total`: how many there are in all places together; none where it has no place yet."""
        # Adding up drops the order that the model has.
        return self.annotate(total=Coalesce(Sum("stocks__count"), 0)).order_by("group", "name")

    def low(self) -> Self:
        """In the book and down to the low mark, or below; what has no mark is never low."""
        return self.in_book().with_total().filter(total__lte=F("low_mark"))

    def with_places(self) -> Self:
        return self.prefetch_related(_places())


class CountedItem(models.Model):
    """One thing that is counted: center drills No. 3, way oil, an insert."""

    name = models.CharField(max_length=80, help_text="As people ask for it: Center drill No. 3.")
    group = models.CharField(
        max_length=40, blank=True, help_text="A word that puts like things together: center drills, oil."
    )
    unit = models.CharField(
        "counted in", max_length=20, default="pieces", help_text="What one of them is: pieces, boxes, quarts."
    )
    low_mark = models.PositiveIntegerField(
        null=True, blank=True, help_text="With so many left, or fewer, it is low. Empty: it never is."
    )
    size = LengthField(null=True, blank=True, help_text="Where it has one: 1/8, 6 mm.")
    cost_cents = models.PositiveIntegerField("cost each", null=True, blank=True)
    notes = models.TextField(blank=True)
    retired_at = models.DateTimeField(null=True, blank=True, editable=False)
    history = HistoricalRecords()

    objects = CountedItemQuerySet.as_manager()

    total: int
    """How many there are in all places, for rows fetched `with_total`."""

    class Meta:
        ordering = ["group", "name"]
        constraints = [
            models.UniqueConstraint(
                Upper("name"),
                name="inventory_counted_item_name_unique",
                violation_error_message="There is something of this name already, perhaps among the retired.",
            ),
            models.CheckConstraint(condition=~Q(name=""), name="inventory_counted_item_name_not_empty"),
            models.CheckConstraint(condition=~Q(unit=""), name="inventory_counted_item_unit_not_empty"),
            models.CheckConstraint(
                condition=Q(size__gt=0) | Q(size=None), name="inventory_counted_item_size_above_zero"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_low(self) -> bool:
        """As `CountedItemQuerySet.low` has it; for rows that have their `total`."""
        return self.retired_at is None and self.low_mark is not None and self.total <= self.low_mark

    @property
    def where(self) -> str:
        """How many are left and where: `3 left in drawer E4, 2 left in Floor rack`. For rows fetched `with_places`."""
        stocks = self.stocks.all()
        if not stocks:
            return "no place is written down"
        left = [f"{stock.count} left in {stock.location.called}" for stock in stocks if stock.count]
        return ", ".join(left) or "none left"


def fetch_places(items: Sequence[CountedItem]) -> None:
    """What `with_places` gives, for rows that are at hand already."""
    models.prefetch_related_objects(items, _places())


def _places() -> models.Prefetch:
    return models.Prefetch("stocks", CountedStock.objects.select_related("location").order_by("location__name"))


class CountedStockQuerySet(models.QuerySet["CountedStock"]):
    def move(
        self,
        stock: CountedStock,
        what: CountedMovement.What,
        how_many: int,
        *,
        by: User,
        at: datetime,
        token: uuid.UUID,
    ) -> CountedMovement:
        """Change the count of a place and keep the row of it, or neither: `what` is one of CountedMovement.What.

        The same token again changes nothing, and gives the row of the first time with `is_resent`. Raises
        CountRefused where fewer are left than are taken, or more would be put there than is counted in a place.
        """
        try:
            with transaction.atomic():
                # First, so that a tap which is sent again after the last one was taken is no refusal.
                if resent := _sent_before(token):
                    return resent
                left = self._change_stock(stock, what, how_many)
                return CountedMovement.objects.create(
                    stock=stock, what=what, how_many=how_many, left=left, by=by, at=at, token=token
                )
        except IntegrityError:
            # The same tap came twice at one moment: this second one is rolled back, its count too.
            resent = _sent_before(token)
            if resent is None:
                raise
            return resent

    def _change_stock(self, stock: CountedStock, what: CountedMovement.What, how_many: int) -> int:
        """One update whose condition is on the row itself: PostgreSQL looks at it anew after waiting for a lock,
        which it would not do for a condition in a joined or nested query."""
        row = self.filter(pk=stock.pk)
        if what == CountedMovement.What.TAKEN:
            changed = row.filter(count__gte=how_many).update(count=F("count") - how_many)
        elif what == CountedMovement.What.TOPPED_UP:
            changed = row.filter(count__lte=MOST - how_many).update(count=F("count") + how_many)
        else:
            changed = row.update(count=how_many)
        left = row.values_list("count", flat=True).get()
        if not changed:
            raise CountRefused(_refusal(stock, what, left))
        return left


def _sent_before(token: uuid.UUID) -> CountedMovement | None:
    standing = CountedMovement.objects.filter(token=token).first()
    if standing is not None:
        standing.is_resent = True
    return standing


def _refusal(stock: CountedStock, what: CountedMovement.What, left: int) -> str:
    if what == CountedMovement.What.TOPPED_UP:
        place = capfirst(stock.location.called)
        return f"{place} holds {left} already; {MOST:,} is the most that is counted in one place."
    if left == 0:
        return f"None are left in {stock.location.called}."
    return f"Only {left} {'is' if left == 1 else 'are'} left in {stock.location.called}."


class CountedStock(models.Model):
    """How many of one thing there are in one place."""

    item = models.ForeignKey(CountedItem, on_delete=models.PROTECT, related_name="stocks")
    location = models.ForeignKey("inventory.Location", on_delete=models.PROTECT, related_name="stocks")
    count = models.IntegerField(default=0)

    objects = CountedStockQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["item", "location"], name="inventory_counted_stock_once_a_place"),
            models.CheckConstraint(condition=Q(count__gte=0), name="inventory_counted_stock_not_below_zero"),
        ]

    def __str__(self) -> str:
        return f"{self.item} in {self.location.called}"


class CountedMovement(models.Model):
    """One tap that changed a count: what, how many, and how many were there after it. Never changed itself."""

    class What(models.TextChoices):
        TAKEN = "taken", "taken"
        TOPPED_UP = "topped up", "topped up"
        COUNTED = "counted as", "counted as"

    stock = models.ForeignKey(CountedStock, on_delete=models.PROTECT, related_name="movements")
    what = models.CharField(max_length=10, choices=What)
    how_many = models.PositiveIntegerField()
    left = models.PositiveIntegerField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    token = models.UUIDField(unique=True, default=uuid.uuid4)

    is_resent = False
    """Whether a tap found this row already there, and changed nothing."""

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(what__in=["taken", "topped up", "counted as"]),
                name="inventory_counted_movement_known",
            ),
            models.CheckConstraint(
                condition=Q(how_many__gt=0) | Q(what="counted as"), name="inventory_counted_movement_moves_something"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stock}: {self.what} {self.how_many}"
