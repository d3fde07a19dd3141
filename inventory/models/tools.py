"""One table of physical pieces."""

from django.db import models
from django.db.models import Exists, F, OuterRef, Q
from django.db.models.functions import Upper
from django.urls import reverse
from django.utils import timezone
from simple_history.models import HistoricalRecords

from inventory.measures.fields import LengthField
from inventory.measures.lengths import Length, nominal
from inventory.models.kinds import (
    CENTERS,
    CHUCKS,
    COLLETS,
    CUT_TO_SIZE,
    DETAILS_MISSING,
    HOLDERS,
    KIND_CHOICES,
    NEEDED_DETAILS,
    DrivenBy,
    Kind,
    Place,
    ShankShape,
    Tail,
)
from inventory.models.loans import Loan
from inventory.models.moves import Move
from inventory.models.sizes import Size
from inventory.models.wear import Condition, Finding, Inspection

__all__ = ["CENTERS", "CHUCKS", "COLLETS", "HOLDERS", "NEEDED_DETAILS", "CenterHeight", "Condition", "Kind", "Tool"]


USABLE_CONDITIONS = (Condition.GOOD, Condition.WORN)


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
        return self.select_related("size__series", "mounts_in", "offers", "location", "mounted_on", "belongs_to")

    def tagged(self, tag: str):
        return self.filter(tag=tag.strip().upper())


class Tool(models.Model):
    """One physical piece. Capacities that are not known are empty, never zero."""

    tag = models.CharField(max_length=20)
    kind = models.CharField(max_length=30, choices=KIND_CHOICES)
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
    tip = models.CharField("point", max_length=60, blank=True)
    extension = LengthField("point extends", null=True, blank=True)
    step_depth = LengthField("depth of step", null=True, blank=True)
    cuts = LengthField("size that it cuts", null=True, blank=True)
    shank = LengthField("straight shank", null=True, blank=True)
    shank_shape = models.CharField("shape of shank", max_length=10, choices=ShankShape, blank=True)
    has_tang = models.BooleanField("tang", null=True, blank=True)
    driven_by = models.CharField("hand or machine", max_length=10, choices=DrivenBy, blank=True)
    operations = models.CharField(max_length=80, blank=True)
    tail = models.CharField(max_length=10, choices=Tail, blank=True)
    fits = models.CharField(max_length=60, blank=True)
    belongs_to = models.ForeignKey(
        "inventory.Lathe", null=True, blank=True, on_delete=models.PROTECT, related_name="belongings"
    )
    set_for = models.ManyToManyField("inventory.Lathe", through="inventory.CenterHeight", related_name="+", blank=True)
    location = models.ForeignKey(
        "inventory.Location", null=True, blank=True, on_delete=models.PROTECT, related_name="tools"
    )
    mounted_on = models.ForeignKey(
        "inventory.Lathe", null=True, blank=True, on_delete=models.PROTECT, related_name="mounted"
    )
    mounted_at = models.CharField("place on the lathe", max_length=10, choices=Place, blank=True)
    mounted_in = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.RESTRICT, related_name="now_in_it", verbose_name="sits in"
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
            # The last two are empty in every row of it, and stand there so that SQLite need not look into the table.
            models.Index(
                fields=["size", "condition", "tir", "tag", "missing_since", "retired_at"],
                name="inventory_tool_best_of_size",
                condition=IN_SERVICE,
            ),
            models.Index(fields=["size", "tir", "tag"], name="inventory_tool_truest_of_size", condition=IN_SERVICE),
            models.Index(
                fields=["size", "tag", "condition", "missing_since", "retired_at"],
                name="inventory_tool_out_of_use",
                condition=OUT_OF_USE,
            ),
            models.Index(fields=["kind", "mounts_in"], name="inventory_tool_by_kind"),
            # Few pieces are on a lathe: with an index of just those nothing has to be guessed of all the others.
            models.Index(
                fields=["mounted_on", "size"], name="inventory_tool_mounted", condition=Q(mounted_on__isnull=False)
            ),
        ]
        constraints = [
            models.UniqueConstraint(
                Upper("tag"),
                name="inventory_tool_tag_unique",
                violation_error_message="There is a piece with this tag already.",
            ),
            models.CheckConstraint(condition=~Q(tag=""), name="inventory_tool_tag_not_empty"),
            models.CheckConstraint(
                condition=Q(kind__in=[kind.value for kind in Kind]), name="inventory_tool_kind_known"
            ),
            models.CheckConstraint(condition=Q(condition__in=Condition.values), name="inventory_tool_condition_known"),
            models.CheckConstraint(
                condition=~Q(kind=Kind.COLLET) | Q(size__isnull=False),
                name="inventory_tool_collet_has_size",
                violation_error_message="A collet has a series and a size.",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=(Kind.COLLET, Kind.MACHINABLE_COLLET)) | Q(size__isnull=True),
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
                condition=(Q(extension=None) | Q(extension__gt=0))
                & (Q(step_depth=None) | Q(step_depth__gt=0))
                & (Q(cuts=None) | Q(cuts__gt=0))
                & (Q(shank=None) | Q(shank__gt=0)),
                name="inventory_tool_cutter_sizes_above_zero",
                violation_error_message="A size is larger than zero; leave it empty where it is unknown.",
            ),
            models.CheckConstraint(
                condition=Q(cuts=None) | Q(kind__in=CUT_TO_SIZE), name="inventory_tool_only_hole_cutters_cut_to_size"
            ),
            models.CheckConstraint(
                condition=Q(shank_shape__in=["", *ShankShape.values])
                & Q(driven_by__in=["", *DrivenBy.values])
                & Q(tail__in=["", *Tail.values])
                & Q(mounted_at__in=["", *Place.values]),
                name="inventory_tool_words_known",
            ),
            models.UniqueConstraint(
                fields=["mounted_on", "mounted_at"],
                condition=~Q(mounted_at=""),
                name="inventory_tool_one_at_each_place_of_a_lathe",
            ),
            models.CheckConstraint(
                condition=Q(mounted_on__isnull=False) | Q(mounted_at="", mounted_in=None),
                name="inventory_tool_place_only_on_a_lathe",
            ),
            models.CheckConstraint(
                condition=Q(mounted_in=None) | Q(mounted_at="") & ~Q(mounted_in=F("id")),
                name="inventory_tool_sits_in_one_place",
            ),
            models.CheckConstraint(
                condition=Q(jaws=None) | Q(jaws__gte=2, jaws__lte=8),
                name="inventory_tool_jaws_possible",
                violation_error_message="A chuck has 2 to 8 jaws.",
            ),
        ]

    def __str__(self) -> str:
        return self.tag

    @classmethod
    def from_db(cls, db, field_names, values):
        tool = super().from_db(db, field_names, values)
        tool._remember_place()
        return tool

    def refresh_from_db(self, *args, **kwargs):
        super().refresh_from_db(*args, **kwargs)
        self._remember_place()

    def save(self, *args, **kwargs):
        """Also keeps the move, where the piece got another place since it was read."""
        super().save(*args, **kwargs)
        saved = kwargs.get("update_fields")
        if saved is None or "location" in saved:
            self.keep_moves([self], by=_who())

    @staticmethod
    def keep_moves(tools, *, by) -> None:
        """A row for each of these saved pieces that got another place since it was read."""
        moved = [tool for tool in tools if tool.__dict__.get("_place_read", tool.location_id) != tool.location_id]
        now = timezone.now()
        Move.objects.bulk_create(
            Move(tool=tool, from_place_id=tool._place_read, to_place_id=tool.location_id, at=now, by=by)
            for tool in moved
        )
        for tool in moved:
            if tool.location is not None:
                tool.location.take_back()
        for tool in tools:
            tool._remember_place()

    def _remember_place(self) -> None:
        if "location_id" in self.__dict__:
            self._place_read = self.location_id

    def get_absolute_url(self) -> str:
        return reverse("tool", args=[self.tag])

    @property
    def lacking(self) -> tuple[str, ...]:
        """The columns that are empty and without which the finder cannot consider this piece."""
        if self.bored_to is not None:
            return ()
        return tuple(name for name in NEEDED_DETAILS.get(Kind(self.kind), ()) if self._is_empty(name))

    def _is_empty(self, name: str) -> bool:
        # A seat that is made on paper only is there, and has no key yet.
        field = self._meta.get_field(name)
        return getattr(self, field.attname) is None and self._state.fields_cache.get(name) is None

    @property
    def missing_details(self) -> tuple[str, ...]:
        """The words of the details that are lacking."""
        return tuple(str(self._meta.get_field(name).verbose_name) for name in self.lacking)

    @property
    def bored_to(self) -> Length | None:
        """The bore of a machinable collet that is bored; its size then is that bore and nothing beside it."""
        is_bored = self.kind == Kind.MACHINABLE_COLLET and not self._is_empty("size")
        return self.size.nominal if is_bored else None

    @property
    def is_in_service(self) -> bool:
        return self.condition in USABLE_CONDITIONS and self.missing_since is None and self.retired_at is None

    @property
    def is_found_unfit(self) -> bool:
        """Whether the last look found what takes a piece out of use."""
        return bool(self.finding) and Finding(self.finding).takes_out_of_use

    @property
    def what(self) -> str:
        """The piece in words: `3/4 round 5C collet`, `universal chuck`, `5C machinable collet, pilot 1/16`."""
        if self.size_id:
            return f"{self.size} {self.kind}"
        if self.kind == Kind.MACHINABLE_COLLET:
            # Two of them differ by nothing else until one is bored.
            pilot = f", pilot {nominal(self.pilot)}" if self.pilot else ""
            return f"{self.mounts_in or ''} {self.kind}{pilot}".strip()
        return f"{nominal(self.cuts)} {self.kind}" if self.cuts else self.kind

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
        """Take the current state from all that stands; the condition only where `added` is the newest look.

        What a chuck was read to run out with other jaws than those that are in it does not count.
        """
        looks = self.looks_in_order()
        jaws = self.jaw_sets.filter(is_in=True).first()
        readings = [look for look in looks if look.tir is not None and (jaws is None or jaws.were_in_at(look))]
        newest = looks[-1]
        if newest.pk == added.pk:
            self._follow(newest)
        else:
            self.inspected_on, self.finding = newest.taken_on, newest.finding
        self.reading = readings[-1] if readings else None
        self.tir = self.reading and self.reading.tir

    def looks_in_order(self) -> list[Inspection]:
        """All looks that stand, oldest first; a correction stands in the place of what it corrects."""
        looks = list(self.inspections.order_by("pk"))
        place = {}
        for look in looks:
            place[look.pk] = place.get(look.corrects_id, look.pk)
        corrected = {look.corrects_id for look in looks}
        standing = [look for look in looks if look.pk not in corrected]
        return sorted(standing, key=lambda look: (look.day, place[look.pk]))


def _who():
    """Whoever is signed in to the request that is being answered; None for a command."""
    user = getattr(getattr(HistoricalRecords.context, "request", None), "user", None)
    return user if user is not None and user.is_authenticated else None


class CenterHeight(models.Model):
    """A tool-post holder whose center height is set for this lathe."""

    tool = models.ForeignKey(Tool, on_delete=models.CASCADE, related_name="center_heights")
    lathe = models.ForeignKey("inventory.Lathe", on_delete=models.PROTECT, related_name="center_heights")
    history = HistoricalRecords()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["tool", "lathe"], name="inventory_center_height_set_once")]

    def __str__(self) -> str:
        return f"{self.tool} on {self.lathe}"
