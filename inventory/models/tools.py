"""One table of physical pieces, and a proxy for each group of kinds."""

from functools import reduce
from operator import or_

from django.db import models
from django.db.models import Exists, F, OuterRef, Q
from django.db.models.functions import Upper
from django.urls import reverse
from simple_history.models import HistoricalRecords

from inventory.fields import LengthField
from inventory.lengths import Length
from inventory.models.loans import Loan
from inventory.models.sizes import Size
from inventory.models.wear import Condition, Finding, Inspection


class Kind(models.TextChoices):
    """What a piece is. The value is the word that sheets, JSON and pages use."""

    COLLET = "collet"
    MACHINABLE_COLLET = "machinable collet"
    UNIVERSAL_CHUCK = "universal chuck"
    INDEPENDENT_CHUCK = "independent chuck"
    LIVE_CENTER = "live center"
    DEAD_CENTER = "dead center"
    BULL_NOSE_CENTER = "bull-nose center"
    EXTENDED_POINT_CENTER = "extended-point center"
    COLLET_CHUCK = "collet chuck"
    CLOSER = "closer"
    SLEEVE = "sleeve"
    DRAWBAR = "drawbar"
    DRILL_CHUCK = "drill chuck"
    TOOL_POST_HOLDER = "tool-post holder"
    FACEPLATE = "faceplate"
    LATHE_DOG = "lathe dog"
    STEADY_REST = "steady rest"
    FOLLOW_REST = "follow rest"
    MANDREL = "mandrel"


COLLETS = (Kind.COLLET, Kind.MACHINABLE_COLLET)
CHUCKS = (Kind.UNIVERSAL_CHUCK, Kind.INDEPENDENT_CHUCK)
CENTERS = (Kind.LIVE_CENTER, Kind.DEAD_CENTER, Kind.BULL_NOSE_CENTER, Kind.EXTENDED_POINT_CENTER)
HOLDERS = tuple(kind for kind in Kind if kind not in COLLETS + CHUCKS + CENTERS)

NEEDED_DETAILS = {
    Kind.MACHINABLE_COLLET: ("mounts_in", "pilot"),
    Kind.UNIVERSAL_CHUCK: ("mounts_in", "jaws", "outside_smallest", "outside_largest"),
    Kind.INDEPENDENT_CHUCK: ("mounts_in", "jaws", "outside_smallest", "outside_largest"),
    Kind.LIVE_CENTER: ("mounts_in",),
    Kind.DEAD_CENTER: ("mounts_in",),
    Kind.BULL_NOSE_CENTER: ("mounts_in", "inside_smallest", "inside_largest"),
    Kind.EXTENDED_POINT_CENTER: ("mounts_in",),
    Kind.COLLET_CHUCK: ("mounts_in", "offers", "through"),
    Kind.CLOSER: ("mounts_in", "offers", "through"),
    Kind.SLEEVE: ("mounts_in", "offers"),
    Kind.DRAWBAR: ("mounts_in",),
    Kind.DRILL_CHUCK: ("mounts_in", "outside_smallest", "outside_largest"),
    Kind.TOOL_POST_HOLDER: ("mounts_in",),
    Kind.FACEPLATE: ("mounts_in",),
    Kind.LATHE_DOG: ("outside_smallest", "outside_largest"),
    Kind.STEADY_REST: ("outside_smallest", "outside_largest"),
    Kind.FOLLOW_REST: ("outside_smallest", "outside_largest"),
    Kind.MANDREL: ("inside_smallest", "inside_largest"),
}
"""Without these the finder cannot consider a piece of the kind; a collet always has its size."""


USABLE_CONDITIONS = (Condition.GOOD, Condition.WORN)


def _details_missing() -> Q:
    return reduce(or_, (Q(kind=kind) & _any_empty(names) for kind, names in NEEDED_DETAILS.items()))


def _any_empty(names: tuple[str, ...]) -> Q:
    return reduce(or_, (Q(**{f"{name}__isnull": True}) for name in names))


DETAILS_MISSING = _details_missing()
IN_SERVICE = Q(condition__in=USABLE_CONDITIONS, missing_since=None, retired_at=None)


OUT_OF_USE = (Q(condition__in=(Condition.DAMAGED, Condition.SCRAPPED)) | Q(missing_since__isnull=False)) & Q(
    retired_at=None
)


class ToolQuerySet(models.QuerySet):
    def in_book(self):
        """All that has not been retired."""
        return self.filter(retired_at=None)

    def in_service(self):
        """In a usable condition and where it should be, whether issued or not."""
        return self.filter(IN_SERVICE)

    def details_missing(self):
        return self.in_book().filter(DETAILS_MISSING)

    def is_out(self):
        return self.filter(Exists(Loan.objects.open().filter(tool=OuterRef("pk"))))

    def is_here(self):
        return self.filter(~Exists(Loan.objects.open().filter(tool=OuterRef("pk"))))

    def for_list(self):
        return self.select_related("size__series", "mounts_in", "offers", "location", "mounted_on")

    def tagged(self, tag: str):
        return self.filter(tag=tag.strip().upper())


class Tool(models.Model):
    """One physical piece. Capacities that are not known are empty, never zero."""

    tag = models.CharField(max_length=20)
    kind = models.CharField(max_length=30, choices=Kind)
    size = models.ForeignKey(Size, null=True, blank=True, on_delete=models.PROTECT, related_name="tools")
    mounts_in = models.ForeignKey(
        "inventory.Seat",
        verbose_name="mounts on",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    offers = models.ForeignKey(
        "inventory.Seat",
        verbose_name="takes",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    through = LengthField("largest bar that passes", null=True, blank=True)
    stop_thread = models.BooleanField("stop thread cut inside", null=True, blank=True)
    is_solid = models.BooleanField("solid, passes no bar", default=False)
    pilot = LengthField("pilot hole", null=True, blank=True)
    jaws = models.PositiveSmallIntegerField(null=True, blank=True)
    body = LengthField("body diameter", null=True, blank=True)
    outside_smallest = LengthField("holds from, outside", null=True, blank=True)
    outside_largest = LengthField("holds to, outside", null=True, blank=True)
    inside_smallest = LengthField("holds from, inside", null=True, blank=True)
    inside_largest = LengthField("holds to, inside", null=True, blank=True)
    max_rpm = models.PositiveIntegerField("marked maximum, rpm", null=True, blank=True)
    weight_ug = models.BigIntegerField("weight", null=True, blank=True)
    angle_deg = models.PositiveSmallIntegerField("point angle, degrees", null=True, blank=True)
    location = models.ForeignKey(
        "inventory.Location", null=True, blank=True, on_delete=models.PROTECT, related_name="tools"
    )
    mounted_on = models.ForeignKey(
        "inventory.Lathe", null=True, blank=True, on_delete=models.PROTECT, related_name="mounted"
    )
    condition = models.CharField(max_length=10, choices=Condition, default=Condition.GOOD)
    missing_since = models.DateField(null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)
    cost_cents = models.PositiveIntegerField("paid, in cents", null=True, blank=True)
    notes = models.TextField(blank=True)
    # The current reading, copied from the newest inspection by `record`: the finder sorts by it.
    tir = LengthField("TIR", null=True, blank=True)
    inspected_on = models.DateField(null=True, blank=True)
    reading = models.ForeignKey(Inspection, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    finding = models.CharField(max_length=20, choices=Finding, blank=True)

    history = HistoricalRecords()
    objects = ToolQuerySet.as_manager()

    class Meta:
        ordering = ["tag"]
        indexes = [
            models.Index(
                fields=["size", "condition", "tir", "tag"],
                name="inventory_tool_best_of_size",
                condition=IN_SERVICE,
            ),
            models.Index(fields=["size", "tir", "tag"], name="inventory_tool_truest_of_size", condition=IN_SERVICE),
            models.Index(fields=["size", "tag"], name="inventory_tool_out_of_use", condition=OUT_OF_USE),
            models.Index(fields=["kind", "mounts_in"], name="inventory_tool_by_kind"),
        ]
        constraints = [
            models.UniqueConstraint(
                Upper("tag"),
                name="inventory_tool_tag_unique",
                violation_error_message="There is a piece with this tag already.",
            ),
            models.CheckConstraint(condition=~Q(tag=""), name="inventory_tool_tag_not_empty"),
            models.CheckConstraint(condition=Q(kind__in=Kind.values), name="inventory_tool_kind_known"),
            models.CheckConstraint(condition=Q(condition__in=Condition.values), name="inventory_tool_condition_known"),
            models.CheckConstraint(
                condition=~Q(kind=Kind.COLLET) | Q(size__isnull=False),
                name="inventory_tool_collet_has_size",
                violation_error_message="A collet has a series and a size.",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=COLLETS) | Q(size__isnull=True),
                name="inventory_tool_only_collets_have_size",
            ),
            models.CheckConstraint(
                condition=Q(outside_smallest__gt=0, outside_largest__gte=F("outside_smallest"))
                | Q(outside_smallest=None)
                | Q(outside_largest=None),
                name="inventory_tool_outside_not_inverted",
                violation_error_message="The largest size held outside must not be below the smallest.",
            ),
            models.CheckConstraint(
                condition=Q(inside_smallest__gt=0, inside_largest__gte=F("inside_smallest"))
                | Q(inside_smallest=None)
                | Q(inside_largest=None),
                name="inventory_tool_inside_not_inverted",
                violation_error_message="The largest size held inside must not be below the smallest.",
            ),
            models.CheckConstraint(condition=Q(tir=None) | Q(tir__gte=0), name="inventory_tool_tir_not_negative"),
            models.CheckConstraint(
                condition=(Q(through=None) | Q(through__gt=0, is_solid=False))
                & (Q(pilot=None) | Q(pilot__gt=0))
                & (Q(body=None) | Q(body__gt=0)),
                name="inventory_tool_capacities_above_zero",
                violation_error_message="A hole or body is larger than zero; leave it empty where it is unknown.",
            ),
            models.CheckConstraint(
                condition=Q(jaws=None) | Q(jaws__gte=2, jaws__lte=8),
                name="inventory_tool_jaws_possible",
                violation_error_message="A chuck has 2 to 8 jaws.",
            ),
        ]

    def __str__(self) -> str:
        return self.tag

    def get_absolute_url(self) -> str:
        return reverse("tool", args=[self.tag])

    @property
    def missing_details(self) -> tuple[str, ...]:
        """The words of the details without which the finder cannot consider this piece."""
        names = NEEDED_DETAILS.get(Kind(self.kind), ())
        return tuple(self._meta.get_field(name).verbose_name for name in names if self._value_missing(name))

    def _value_missing(self, name: str) -> bool:
        return getattr(self, self._meta.get_field(name).attname) is None

    @property
    def is_in_service(self) -> bool:
        return self.condition in USABLE_CONDITIONS and self.missing_since is None and self.retired_at is None

    @property
    def is_found_unfit(self) -> bool:
        """Whether the last look found what takes a piece out of use."""
        return bool(self.finding) and Finding(self.finding).takes_out_of_use

    @property
    def what(self) -> str:
        """The piece in words: `3/4 round 5C collet`, `universal chuck`."""
        if self.size_id:
            return f"{self.size} {self.kind}"
        return self.kind

    def record(
        self, *, tir: Length | None, taken_on, by, finding: str = "", note: str = "", corrects=None, **seen
    ) -> Inspection:
        """Keep one look at this piece and bring its current reading, finding and condition up to it.

        A finding that makes a piece unfit takes it out of use whatever it reads. A look without a reading
        leaves the last reading standing. `corrects` is the look that this one replaces: that one counts no longer,
        and this one stands in its place among the others. `seen` are further columns of the look.
        """
        inspection = Inspection.objects.create(
            tool=self, tir=tir, taken_on=taken_on, recorded_by=by, finding=finding, note=note, corrects=corrects, **seen
        )
        if corrects is not None:
            self._follow_standing(inspection)
        else:
            self._follow(inspection)
        self.save()
        return inspection

    def record_late(self, **seen) -> Inspection:
        """As `record`, for a look from before the newest one, which stays the current one."""
        inspection = Inspection.objects.create(tool=self, recorded_by=seen.pop("by"), **seen)
        self._follow_standing(inspection)
        self.save()
        return inspection

    def _follow(self, look: Inspection) -> None:
        if look.tir is not None:
            self.tir, self.reading = look.tir, look
        self.inspected_on, self.finding = look.taken_on, look.finding
        if look.verdict:
            self.condition = look.verdict
        if self.is_found_unfit and self.condition in USABLE_CONDITIONS:
            self.condition = Condition.DAMAGED

    def _follow_standing(self, added: Inspection) -> None:
        """Take the current state from all that stands; the condition only where `added` is the newest look."""
        looks = self.looks_in_order()
        reading = next((look for look in reversed(looks) if look.tir is not None), None)
        self.reading, self.tir = reading, reading and reading.tir
        newest = looks[-1]
        if newest.pk == added.pk:
            self._follow(newest)
        else:
            self.inspected_on, self.finding = newest.taken_on, newest.finding

    def looks_in_order(self) -> list[Inspection]:
        """All looks that stand, oldest first; a correction stands in the place of what it corrects."""
        looks = list(self.inspections.order_by("pk"))
        place = {}
        for look in looks:
            place[look.pk] = place.get(look.corrects_id, look.pk)
        corrected = {look.corrects_id for look in looks}
        standing = [look for look in looks if look.pk not in corrected]
        return sorted(standing, key=lambda look: (look.day, place[look.pk]))


class _OfKinds(models.Manager.from_queryset(ToolQuerySet)):
    kinds: tuple[Kind, ...] = ()

    def get_queryset(self):
        return super().get_queryset().filter(kind__in=self.kinds)


def _manager_of(kinds: tuple[Kind, ...]) -> models.Manager:
    return type("Manager", (_OfKinds,), {"kinds": kinds})()


class Collet(Tool):
    objects = _manager_of(COLLETS)

    class Meta:
        proxy = True


class Chuck(Tool):
    objects = _manager_of(CHUCKS)

    class Meta:
        proxy = True


class Center(Tool):
    objects = _manager_of(CENTERS)

    class Meta:
        proxy = True


class Holder(Tool):
    """All that holds something that is not the work itself, or drives it."""

    objects = _manager_of(HOLDERS)

    class Meta:
        proxy = True
