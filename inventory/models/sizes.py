"""Series of collets, and the sizes that they come in."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper
from simple_history.models import HistoricalRecords

from inventory.measures.fields import LengthField
from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length, parse
from inventory.reference.clamping import ClampingRange, Figures
from inventory.reference.collets import builtin_series, codes_of_the_series
from inventory.reference.er_runout import class_2_runout

FOLLOWING = ("clamps_from", "clamps_to", "true_from", "true_to", "edge_bottom", "edge_top", "typical_tir")
"""The columns of a size that follow the figures of its series."""


class Shape(models.TextChoices):
    ROUND = "round", "round"
    HEX = "hex", "hex"
    SQUARE = "square", "square"


class SeriesQuerySet(models.QuerySet["Series"]):
    def in_use(self) -> Self:
        """All that was not retired."""
        return self.filter(retired_at=None)


class Series(models.Model):
    """A family of collets that share a seat: 5C, ER32, or one that the shop entered.

    What the outside of a collet measures is told here of the shop's own alone; that of the others is in the tables.
    One that does not hold work, as tapping collets do not, is in the book and never offered.
    """

    class Closing(models.TextChoices):
        OUTSIDE = "outside", "a drawtube or closer, on a thread outside"
        INSIDE = "inside", "a drawbar, in a thread inside"
        NUT = "nut", "a nut over its face"

    code = models.CharField("name", max_length=20, unique=True)
    seat = models.ForeignKey("inventory.Seat", on_delete=models.PROTECT, related_name="series")
    standard = models.CharField(max_length=200, blank=True)
    # The database knows the defaults too: a migration before these columns writes rows that do not name them.
    holds_work = models.BooleanField("holds work", default=True, db_default=True)
    closing = models.CharField("closed by", max_length=10, choices=Closing, blank=True, default="", db_default="")
    body = LengthField("body diameter", null=True, blank=True)
    head = LengthField("largest diameter", null=True, blank=True)
    length = LengthField("length over all", null=True, blank=True)
    thread = models.CharField(max_length=30, blank=True, default="", db_default="")
    half_angle = models.DecimalField("closing angle a side", max_digits=6, decimal_places=3, null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)
    changed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    history = HistoricalRecords()
    objects = SeriesQuerySet.as_manager()

    class Meta:
        ordering = ["code"]
        verbose_name_plural = "series"
        constraints = [
            models.UniqueConstraint(Upper("code"), name="inventory_series_code_unique_in_any_case"),
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def is_own(self) -> bool:
        """Whether the shop entered it: no table has it."""
        return self.code not in codes_of_the_series()

    @property
    def is_er(self) -> bool:
        """Metric collets of ISO 15488, whose run-out is by size."""
        return self.code.startswith("ER") and not self.is_own

    @property
    def is_drawn(self) -> bool:
        """Whether a drawbar closes it in the spindle itself, so that it needs no closer."""
        return self.closing == self.Closing.INSIDE


class SeriesShape(models.Model):
    """The figures of one series in one shape. The shop's own figures replace the built-in ones."""

    series = models.ForeignKey(Series, on_delete=models.PROTECT, related_name="shapes")
    shape = models.CharField(max_length=10, choices=Shape)
    smallest = LengthField("smallest nominal", null=True, blank=True)
    largest = LengthField("largest nominal", null=True, blank=True)
    passes = LengthField("largest round bar that passes", null=True, blank=True)
    passes_with_stop_thread = LengthField("largest that passes a stop thread", null=True, blank=True)
    closes_by = LengthField()
    opens_by = LengthField()
    small_closes_by = LengthField("closes by, at small sizes", null=True, blank=True)
    small_upto = LengthField("small sizes reach up to", null=True, blank=True)
    true_under = LengthField("runs as marked down to, under nominal", null=True, blank=True)
    true_over = LengthField("runs as marked up to, over nominal", null=True, blank=True)
    edge_bottom = LengthField("edge allowance at the bottom")
    edge_top = LengthField("edge allowance at the top")
    ladder_from = LengthField(null=True, blank=True)
    ladder_to = LengthField(null=True, blank=True)
    ladder_step = LengthField(null=True, blank=True)
    ladder_sizes = models.TextField("sizes that it is made in", blank=True, default="", db_default="")
    typical_tir = LengthField("typical TIR", null=True, blank=True)
    source = models.TextField(blank=True)
    basis = models.CharField(max_length=30, blank=True)
    changed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    history = HistoricalRecords()

    class Meta:
        ordering = ["series", "shape"]
        constraints = [
            models.UniqueConstraint(fields=["series", "shape"], name="inventory_series_shape_unique"),
            models.CheckConstraint(
                condition=Q(closes_by__gte=0, opens_by__gte=0, edge_bottom__gte=0, edge_top__gte=0),
                name="inventory_series_shape_figures_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(largest__gte=F("smallest")) | Q(largest=None) | Q(smallest=None),
                name="inventory_series_shape_capacity_not_inverted",
            ),
            models.CheckConstraint(
                condition=Q(true_under=None, true_over=None) | Q(true_under__isnull=False, true_over__isnull=False),
                name="inventory_series_shape_true_zone_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.series.code} {self.shape}"

    @property
    def figures(self) -> Figures:
        return Figures(
            closes_by=self.closes_by,
            opens_by=self.opens_by,
            small_closes_by=self.small_closes_by,
            small_upto=self.small_upto,
            true_under=self.true_under,
            true_over=self.true_over,
        )

    @property
    def runs_out_by_size(self) -> bool:
        """Whether the standard's class by nominal size counts: for ER collets, until the shop has its own TIR."""
        built_in = builtin_series(self.series.code, self.shape)
        return self.series.is_er and built_in is not None and self.typical_tir == built_in.typical_tir

    @property
    def is_own(self) -> bool:
        """Whether the shop entered it: no table has the series in this shape."""
        return builtin_series(self.series.code, self.shape) is None

    @property
    def listed_sizes(self) -> tuple[Length, ...]:
        """The sizes that it is made in, where they follow no one step."""
        return tuple(parse(text) for text in self.ladder_sizes.split(";") if text.strip())

    def takes_nominal(self, size: Length) -> bool:
        """Whether a collet of this size can exist; a capacity that is unknown refuses nothing."""
        return (self.smallest is None or self.smallest <= size) and (self.largest is None or size <= self.largest)

    def smallest_of(self, nominal: Length) -> Length:
        """To what a collet of this nominal closes."""
        return self.figures.clamping_range(nominal).smallest

    def recompute_sizes(self) -> int:
        """Bring all sizes to the figures as they are now; returns how many there are.

        A range that is marked on a piece stays; its allowances and typical TIR follow.
        """
        sizes = list(Size.objects.filter(series=self.series_id, shape=self.shape))
        for size in sizes:
            size.follow(self)
        return Size.objects.bulk_update(sizes, FOLLOWING, batch_size=200)


class SizeQuerySet(models.QuerySet["Size"]):
    def of(self, figures: SeriesShape, size: Length) -> "Size":
        """The row of this nominal, made with the series' figures where there is none yet."""
        fresh = Size(series_id=figures.series_id, shape=figures.shape, nominal=size)
        fresh.follow(figures)
        size_row, _ = self.get_or_create(
            series_id=figures.series_id,
            shape=figures.shape,
            nominal=size,
            is_marked=False,
            defaults={name: getattr(fresh, name) for name in FOLLOWING},
        )
        return size_row

    def bored(self, figures: SeriesShape, bore: Length) -> "Size":
        """The row of a blank that is bored to this size: marked, and holding that size and nothing beside it.

        What a series closes and opens by is figured for a collet ground to size; of a blank bored in the shop nobody
        has promised it.
        """
        size_row, _ = self.get_or_create(
            series_id=figures.series_id,
            shape=figures.shape,
            nominal=bore,
            clamps_from=bore,
            clamps_to=bore,
            is_marked=True,
            defaults={
                "true_from": bore, "true_to": bore, "edge_bottom": Length(0), "edge_top": Length(0),
                "typical_tir": figures.typical_tir,
            },
        )  # fmt: skip
        return size_row


class Size(models.Model):
    """One (series, shape, nominal) with the range it may grip; collets, demand and wants point to it.

    The range is worked out and stored, so that a question is one scan of an index; `recompute_sizes` follows a series.
    A piece whose own range is marked or measured has a row of its own, `is_marked`.
    """

    series = models.ForeignKey(Series, on_delete=models.PROTECT, related_name="sizes")
    shape = models.CharField(max_length=10, choices=Shape)
    nominal = LengthField()
    clamps_from = LengthField()
    clamps_to = LengthField()
    true_from = LengthField(null=True)
    true_to = LengthField(null=True)
    edge_bottom = LengthField()
    edge_top = LengthField()
    typical_tir = LengthField(null=True)
    is_marked = models.BooleanField(default=False)

    objects = SizeQuerySet.as_manager()

    class Meta:
        ordering = ["series", "shape", "nominal"]
        indexes = [
            models.Index(fields=["shape", "clamps_from", "clamps_to"], name="inventory_size_by_range"),
            # From the largest downward: what comes just below a stock, and the largest of all.
            models.Index(fields=["clamps_to", "shape"], name="inventory_size_by_largest"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["series", "shape", "nominal"],
                condition=Q(is_marked=False),
                name="inventory_size_unique",
            ),
            models.UniqueConstraint(
                fields=["series", "shape", "nominal", "clamps_from", "clamps_to"],
                condition=Q(is_marked=True),
                name="inventory_size_marked_unique",
            ),
            models.CheckConstraint(
                condition=Q(clamps_from__gt=0, clamps_to__gte=F("clamps_from")),
                name="inventory_size_range_not_inverted",
                violation_error_message="The largest size that a collet grips must not be below the smallest.",
            ),
            models.CheckConstraint(
                condition=Q(true_from=None, true_to=None)
                | Q(true_from__gte=F("clamps_from"), true_to__gte=F("true_from"), true_to__lte=F("clamps_to")),
                name="inventory_size_true_zone_inside",
            ),
        ]

    def __str__(self) -> str:
        return f"{nominal(self.nominal)} {self.shape} {self.series.code}"

    def follow(self, figures: SeriesShape) -> None:
        """Take the clamping range, true zone, allowances and typical TIR from the series' figures."""
        if not self.is_marked:
            reach = figures.figures.clamping_range(self.nominal)
            # A small collet may close by more than its own size; nothing of no size can be gripped.
            self.clamps_from = max(reach.smallest, Length(1))
            self.clamps_to = reach.largest
        self._follow_zone(figures.figures.true_zone(self.nominal))
        self.edge_bottom, self.edge_top = figures.edge_bottom, figures.edge_top
        self.typical_tir = figures.typical_tir
        if figures.runs_out_by_size:
            runout = class_2_runout(self.nominal)
            self.typical_tir = runout.class_2 if runout else figures.typical_tir

    def _follow_zone(self, zone: ClampingRange | None) -> None:
        """The part of the series' true zone that lies in the range of this size; none where there is none."""
        self.true_from = self.true_to = None
        if zone is None:
            return
        low, high = max(zone.smallest, self.clamps_from), min(zone.largest, self.clamps_to)
        if low <= high:
            self.true_from, self.true_to = low, high
