"""What the database promises of every piece, and by what it finds them."""

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper

from inventory.models.kinds import CUT_TO_SIZE, CUTTERS, DrivenBy, Kind, Place, ShankShape, Tail
from inventory.models.wear import USABLE_CONDITIONS, Condition

IN_SERVICE = Q(condition__in=USABLE_CONDITIONS, missing_since=None, retired_at=None)

# A shop may own more cutters than all else, and they hold no work. But one that is on a lathe has to make room, and a
# drill whose shank nobody filled in is counted with what lacks details.
MAY_HOLD = (
    ~Q(kind__in=(Kind.COLLET, *CUTTERS)) | Q(mounted_on__isnull=False) | Q(kind=Kind.TAPER_SHANK_DRILL, mounts_in=None)
)

INDEXES = [
    models.Index(fields=["kind", "mounts_in"], name="inventory_tool_by_kind"),
    models.Index(fields=["kind"], name="inventory_tool_may_hold", condition=MAY_HOLD),
]

CONSTRAINTS = [
    # Whatever its case: `c-0011` is etched on the same piece, and the form alone does not see every writer.
    models.UniqueConstraint(
        Upper("tag"),
        name="inventory_tool_tag_unique",
        violation_error_message="There is a piece with this tag already.",
    ),
    models.CheckConstraint(condition=~Q(tag=""), name="inventory_tool_tag_not_empty"),
    models.CheckConstraint(condition=Q(kind__in=[kind.value for kind in Kind]), name="inventory_tool_kind_known"),
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
        condition=Q(jaw_length=None) | Q(jaw_length__gt=0),
        name="inventory_tool_jaw_length_above_zero",
        violation_error_message="Jaws grip by more than nothing; leave it empty where it is unknown.",
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
        condition=Q(load_ug=None) | Q(load_ug__gt=0),
        name="inventory_tool_load_above_zero",
        violation_error_message="A center carries more than nothing; leave it empty where it is unknown.",
    ),
    models.CheckConstraint(
        condition=Q(jaws=None) | Q(jaws__gte=2, jaws__lte=8),
        name="inventory_tool_jaws_possible",
        violation_error_message="A chuck has 2 to 8 jaws.",
    ),
    models.CheckConstraint(
        condition=Q(slots=None) | Q(slots__lte=60),
        name="inventory_tool_slots_possible",
        violation_error_message="A plate has up to 60 slots.",
    ),
]
