"""Figures of the whole shop that are no table's: how far a measurement here may be out."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from inventory.measures.fields import LengthField

THE_ONE = 1


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
        ]

    def __str__(self) -> str:
        return "the shop"
