"""What is one for the whole shop: how it measures and writes, and how far a measurement here may be out."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from inventory.measures.display import DayOrder
from inventory.measures.fields import LengthField
from inventory.measures.lengths import RunoutUnit, Unit

THE_ONE = 1
CURRENCY_PLACES = (0, 2, 3)


class ShopFiguresQuerySet(models.QuerySet["ShopFigures"]):
    def now(self) -> "ShopFigures":
        """The shop's row; a fresh one, not saved, where nothing was set yet."""
        return self.filter(pk=THE_ONE).first() or ShopFigures()

    def the_row(self) -> "ShopFigures":
        """The shop's row, made where there is none, and locked until the transaction ends."""
        self.get_or_create(pk=THE_ONE)
        return self.select_for_update().get(pk=THE_ONE)


class ShopFigures(models.Model):
    """One row for the shop. What it never set is empty; a size then counts as it was measured."""

    id = models.PositiveSmallIntegerField(primary_key=True, default=THE_ONE, editable=False)
    measuring_allowance = LengthField(null=True, blank=True)
    lead_days = models.PositiveSmallIntegerField("days from order to delivery", null=True, blank=True)
    time_zone = models.CharField(max_length=64, blank=True, default="", db_default="")
    unit = models.CharField(max_length=2, blank=True, default="", db_default="")
    """Of lengths, and of a bare number; empty until somebody says it, which counts as the inch."""
    runout_unit = models.CharField(max_length=4, blank=True, default="", db_default="")
    """Empty: it goes with the unit of lengths."""
    currency = models.CharField(max_length=8, default="$", db_default="$")
    currency_places = models.PositiveSmallIntegerField(default=2, db_default=2)
    currency_is_after = models.BooleanField(default=False, db_default=False)
    has_decimal_comma = models.BooleanField(default=False, db_default=False)
    day_order = models.CharField(max_length=5, blank=True, default="", db_default="")
    """Empty: ISO, and a date that could be two is asked back."""
    changed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    history = HistoricalRecords()
    objects = ShopFiguresQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "shop figures"
        constraints = [
            models.CheckConstraint(condition=Q(id=THE_ONE), name="inventory_shop_figures_one_row"),
            models.CheckConstraint(
                condition=Q(measuring_allowance=None) | Q(measuring_allowance__gte=0),
                name="inventory_shop_figures_allowance_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(lead_days=None) | Q(lead_days__gte=1, lead_days__lte=365),
                name="inventory_shop_figures_lead_days_in_range",
            ),
            models.CheckConstraint(condition=Q(unit__in=["", *Unit]), name="inventory_shop_figures_unit_known"),
            models.CheckConstraint(
                condition=Q(runout_unit__in=["", *RunoutUnit]), name="inventory_shop_figures_runout_unit_known"
            ),
            models.CheckConstraint(
                condition=Q(currency_places__in=CURRENCY_PLACES), name="inventory_shop_figures_currency_places_known"
            ),
            models.CheckConstraint(
                condition=Q(day_order__in=["", *DayOrder]), name="inventory_shop_figures_day_order_known"
            ),
        ]

    def __str__(self) -> str:
        return "the shop"
