"""What collets cost: for a size, for all other sizes of a series, for a set that is sold as one, for a blank."""

from collections import defaultdict

from django.conf import settings
from django.db import models
from django.db.models import Max, Q
from django.db.models.functions import Upper

from inventory.measures.fields import LengthField
from inventory.measures.lengths import Length
from inventory.models.kinds import Kind
from inventory.models.sizes import Series, Shape, Size
from inventory.models.tools import Tool
from inventory.models.wants import Want


class Price(models.Model):
    """The price of one piece. Without a nominal it counts for all sizes that have no price of their own.

    For a machinable blank `nominal` is its pilot hole; without one any bore can be cut.
    """

    series = models.ForeignKey(Series, on_delete=models.PROTECT, related_name="prices")
    shape = models.CharField(max_length=10, choices=Shape, default=Shape.ROUND)
    nominal = LengthField(null=True, blank=True)
    is_blank = models.BooleanField(default=False)
    cents = models.PositiveIntegerField()
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["series__code", "shape", "is_blank", "nominal"]
        constraints = [
            models.UniqueConstraint(
                fields=["series", "shape", "nominal", "is_blank"],
                condition=Q(nominal__isnull=False),
                name="inventory_price_of_size_once",
            ),
            models.UniqueConstraint(
                fields=["series", "shape", "is_blank"],
                condition=Q(nominal=None),
                name="inventory_price_of_rest_once",
            ),
            models.CheckConstraint(condition=Q(cents__gt=0), name="inventory_price_above_zero"),
            models.CheckConstraint(
                condition=Q(nominal=None) | Q(nominal__gt=0), name="inventory_price_size_above_zero"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.series.code} {self.shape}"


class SetPrice(models.Model):
    """Several sizes of a series that are sold as one, at one price."""

    name = models.CharField(max_length=60)
    series = models.ForeignKey(Series, on_delete=models.PROTECT, related_name="sets")
    sizes = models.ManyToManyField(Size, related_name="+")
    cents = models.PositiveIntegerField()
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["series__code", "name"]
        constraints = [
            models.UniqueConstraint(
                Upper("name"),
                name="inventory_setprice_name_unique",
                violation_error_message="There is a set of this name already.",
            ),
            models.CheckConstraint(condition=~Q(name=""), name="inventory_setprice_name_not_empty"),
            models.CheckConstraint(condition=Q(cents__gt=0), name="inventory_setprice_above_zero"),
        ]

    def __str__(self) -> str:
        return self.name


def last_paid() -> dict[tuple[str, str], dict[Length, int]]:
    """By series and shape, for each size the cents that its piece entered last was bought for.

    What came in a set has a share of the set's price, for which the size cannot be had singly.
    """
    shares = Want.objects.in_sets().filter(pieces__isnull=False).values("pieces")
    singly = Tool.objects.filter(cost_cents__gt=0, kind=Kind.COLLET).exclude(pk__in=shares)
    newest = singly.values("size").annotate(newest=Max("pk"))
    rows = Tool.objects.filter(pk__in=newest.values("newest")).order_by("pk")
    paid: dict[tuple[str, str], dict[Length, int]] = defaultdict(dict)
    columns = ("size__series__code", "size__shape", "size__nominal", "cost_cents")
    for code, shape, size, cents in rows.values_list(*columns):
        paid[code, shape][size] = cents
    return paid


class PriceBook:
    """What one piece of a size costs: as the price list says, else what was last paid, else any size of its series."""

    def __init__(self) -> None:
        rows = Price.objects.filter(is_blank=False).values_list("series__code", "shape", "nominal", "cents")
        self._listed = {(code, shape, nominal): cents for code, shape, nominal, cents in rows}
        self._paid = last_paid()

    def of(self, size: Size) -> int | None:
        """The cents, None where no price is on file."""
        code, shape = size.series.code, size.shape
        prices = (
            self._listed.get((code, shape, size.nominal)),
            self._paid[code, shape].get(size.nominal),
            self._listed.get((code, shape, None)),
        )
        return next((price for price in prices if price is not None), None)
