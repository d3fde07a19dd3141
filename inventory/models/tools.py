"""One table of physical pieces."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Self, cast

from django.db import models
from django.db.models import Exists, F, OuterRef
from django.db.models.expressions import OrderBy
from django.urls import reverse
from simple_history.models import HistoricalRecords

from inventory.measures.day_words import missing_words
from inventory.measures.fields import LengthField
from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length
from inventory.models.center_heights import CenterHeight
from inventory.models.kinds import (
    DETAILS_MISSING,
    KIND_CHOICES,
    NEEDED_DETAILS,
    DrivenBy,
    Kind,
    Place,
    ShankShape,
    Tail,
)
from inventory.models.lathes import Lathe
from inventory.models.loans import Loan
from inventory.models.moves import Move
from inventory.models.sizes import Size
from inventory.models.tool_rules import CONSTRAINTS, IN_SERVICE, INDEXES
from inventory.models.users import User
from inventory.models.wear import USABLE_CONDITIONS, Condition, Finding, Inspection

LINE_ROWS = ("size__series", "mounts_in", "offers", "location")
LINE_COLUMNS = (
    "tag", "kind", "cuts", "shank", "body", "pilot", "mounts_in__code", "offers__code", "location__name",
    "size__shape", "size__nominal", "size__series__code",
)  # fmt: skip


def along_the_rack(path: str = "") -> tuple[OrderBy | str, ...]:
    """The order in which pieces lie; `path` leads to the piece, like `tool__`."""
    series = F(f"{path}size__series__code").asc(nulls_last=True)
    return series, f"{path}size__shape", f"{path}size__nominal", f"{path}tag"


class ToolQuerySet(models.QuerySet["Tool"]):
    def in_book(self) -> Self:
        """All that has not been retired."""
        return self.filter(retired_at=None)

    def in_service(self) -> Self:
        """In a usable condition and where it should be, whether issued or not."""
        return self.filter(IN_SERVICE)

    def details_missing(self) -> Self:
        return self.in_book().filter(DETAILS_MISSING)

    def is_out(self) -> Self:
        return self.filter(Exists(Loan.objects.open().filter(tool=OuterRef("pk"))))

    def due_first(self) -> Self:
        """By the day on which each is expected back; what nobody set a day for stands last."""
        due = models.Subquery(Loan.objects.open().filter(tool=OuterRef("pk")).values("due_on")[:1])
        return self.annotate(due_on=due).order_by(models.F("due_on").asc(nulls_last=True), "tag")

    def is_here(self) -> Self:
        return self.filter(~Exists(Loan.objects.open().filter(tool=OuterRef("pk"))))

    def for_list(self) -> Self:
        return self.select_related("size__series", "mounts_in", "offers", "location", "mounted_on", "belongs_to")

    def for_line(self, *more: str) -> Self:
        """Only what a line says of a piece: its tag, what it is and its place, and these columns more.

        A piece has fifty columns, and the rows that it leads to a hundred: to read them costs more than the page.
        """
        return self.select_related(*LINE_ROWS).only(*LINE_COLUMNS, *more)

    def along_the_rack(self) -> Self:
        """As they lie: by series, shape and size; what has none after them, all by tag."""
        return self.order_by(*along_the_rack())

    def with_open_loans(self) -> Self:
        """Each with its `loan` at hand."""
        open_loans = Loan.objects.open().select_related("borrower")
        return self.prefetch_related(models.Prefetch("loans", open_loans, to_attr="open_loans"))

    def tagged(self, tag: str) -> Self:
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
    jaw_length = LengthField("jaw length that grips", null=True, blank=True)
    outside_smallest = LengthField("holds from, outside", null=True, blank=True)
    outside_largest = LengthField("holds to, outside", null=True, blank=True)
    inside_smallest = LengthField("holds from, inside", null=True, blank=True)
    inside_largest = LengthField("holds to, inside", null=True, blank=True)
    max_rpm = models.PositiveIntegerField("marked maximum, rpm", null=True, blank=True)
    weight_ug = models.BigIntegerField("weight", null=True, blank=True)
    load_ug = models.BigIntegerField("rated load", null=True, blank=True)
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
    slots = models.PositiveSmallIntegerField("slots at the rim", null=True, blank=True)
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

    open_loans: list[Loan]
    """Of a piece that was fetched `with_open_loans`; at most one."""

    set_for_next: list[Lathe] | None = None
    """For which lathes a form says that the center height is set, until `keep_heights` keeps it."""

    class Meta:
        ordering = ["tag"]
        indexes = INDEXES
        constraints = CONSTRAINTS

    def __str__(self) -> str:
        return self.tag

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Also keeps the move, where the piece gets another place than it has in the book.

        A bulk write keeps its own by `moves_of`; whoever writes places past both keeps none.
        """
        saved = kwargs.get("update_fields")
        moves = self.moves_of([self]) if saved is None or "location" in saved else []
        super().save(*args, **kwargs)
        Move.objects.keep(moves, by=_who())

    @classmethod
    def moves_of(cls, tools: Iterable[Tool]) -> list[Move]:
        """A move, not saved, for each of these pieces that is about to get another place than it has in the book."""
        by_key = {tool.pk: tool for tool in tools if tool.pk is not None}
        keys = list(by_key)
        moves = []
        for start in range(0, len(keys), 5_000):  # a statement takes so many values only
            in_book = cls.objects.filter(pk__in=keys[start : start + 5_000]).order_by("pk")
            for key, place in in_book.values_list("pk", "location"):
                if place != by_key[key].location_id:
                    moves.append(Move(tool=by_key[key], from_place_id=place, to_place_id=by_key[key].location_id))
        return moves

    def get_absolute_url(self) -> str:
        return reverse("tool", args=[self.tag])

    @property
    def loan(self) -> Loan | None:
        """Its open loan, for pieces fetched `with_open_loans`."""
        return self.open_loans[0] if self.open_loans else None

    @property
    def lacking(self) -> tuple[str, ...]:
        """The columns that are empty and without which the finder cannot consider this piece."""
        if self.bored_to is not None or (self.kind == Kind.DEAD_CENTER and self.shank is not None):
            return ()
        return tuple(name for name in NEEDED_DETAILS.get(Kind(self.kind), ()) if self._is_empty(name))

    def _is_empty(self, name: str) -> bool:
        # A seat that is made on paper only is there, and has no key yet.
        return getattr(self, self._column(name).attname) is None and getattr(self, name) is None

    def _column(self, name: str) -> models.Field:
        return cast(models.Field, self._meta.get_field(name))

    @property
    def missing_details(self) -> tuple[str, ...]:
        """The words of the details that are lacking."""
        return tuple(str(self._column(name).verbose_name) for name in self.lacking)

    @property
    def bored_to(self) -> Length | None:
        """The bore of a machinable collet that is bored; its size then is that bore and nothing beside it."""
        return self.size.nominal if self.kind == Kind.MACHINABLE_COLLET and self.size is not None else None

    @property
    def is_in_service(self) -> bool:
        return self.condition in USABLE_CONDITIONS and self.missing_since is None and self.retired_at is None

    @property
    def why_not(self) -> str:
        """Why it cannot be used; empty where it is in service."""
        if self.retired_at:
            return "retired"
        if self.missing_since:
            return missing_words(self.missing_since)
        return "" if self.is_in_service else self.condition

    @property
    def is_found_unfit(self) -> bool:
        """Whether the last inspection found what takes a piece out of use."""
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

    def lathes_set_for(self) -> list[Lathe]:
        """The lathes for which the center height of a tool-post holder is set, or will be once its form is kept."""
        if self.set_for_next is not None:
            lathes: Iterable[Lathe] = self.set_for_next
        elif self.kind == Kind.TOOL_POST_HOLDER and self.pk is not None:
            lathes = self.set_for.all()
        else:
            lathes = ()
        return sorted(lathes, key=lambda lathe: lathe.name)

    def keep_heights(self) -> bool:
        """Bring the lathes for which the height is set to what the form said; whether any changed."""
        if self.set_for_next is None:
            return False
        wanted, self.set_for_next = {lathe.pk for lathe in self.set_for_next}, None
        return CenterHeight.objects.set_for(self, wanted)

    def record(self, *, by: User | None, is_late: bool = False, **seen: Any) -> Inspection:
        """Keep an inspection of this piece and bring its current reading, finding and condition up to it.

        `seen` are columns of the inspection. A finding that makes a piece unfit takes it out of use whatever it reads.
        An inspection without a reading leaves the last reading standing. One that corrects another stands in its place
        among the others; one that `is_late` is from before the newest one, which stays the current one.
        """
        inspection = Inspection.objects.create(tool=self, recorded_by=by, **seen)
        if is_late or inspection.corrects is not None:
            self._follow_standing(inspection)
        else:
            self._follow(inspection)
        self.save()
        return inspection

    def take_up(self, added: Inspection) -> None:
        """Bring the current state up to all that stands, of which this inspection was written down before now."""
        self._follow_standing(added)
        self.save()

    def _follow(self, newest: Inspection) -> None:
        if newest.tir is not None:
            self.tir, self.reading = newest.tir, newest
        self.inspected_on, self.finding = newest.taken_on, newest.finding
        if newest.verdict:
            self.condition = newest.verdict
        if self.is_found_unfit and self.condition in USABLE_CONDITIONS:
            self.condition = Condition.DAMAGED

    def _follow_standing(self, added: Inspection) -> None:
        """Take the current state from all that stands; the condition only where `added` is the newest.

        What a chuck was read to run out with other jaws than those that are in it does not count.
        """
        standing = self.standing_inspections()
        newest = standing[-1]
        if newest.pk == added.pk:
            self._follow(newest)
        else:
            self.inspected_on, self.finding = newest.taken_on, newest.finding
        jaws = self.jaw_sets.filter(is_in=True).first()
        readings = [one for one in standing if one.tir is not None and (jaws is None or jaws.were_in_at(one))]
        self.reading = readings[-1] if readings else None
        self.tir = self.reading.tir if self.reading else None

    def standing_inspections(self) -> list[Inspection]:
        """All inspections that stand, oldest first; a correction stands in the place of what it corrects."""
        inspections = list(self.inspections.order_by("pk"))
        place: dict[int | None, int] = {}
        for inspection in inspections:
            place[inspection.pk] = place.get(inspection.corrects_id, inspection.pk)
        corrected = {inspection.corrects_id for inspection in inspections}
        standing = [inspection for inspection in inspections if inspection.pk not in corrected]
        return sorted(standing, key=lambda inspection: (inspection.day, place[inspection.pk]))


def _who() -> User | None:
    """Whoever is signed in to the request that is being answered; None for a command."""
    user = getattr(getattr(HistoricalRecords.context, "request", None), "user", None)
    return user if user is not None and user.is_authenticated else None
