"""The kinds of piece as they are grouped, and what has to be known of each."""

from functools import reduce
from operator import or_

from django.db import models
from django.db.models import Q

from inventory.reference.kinds import Kind

KIND_CHOICES = [(kind.value, kind.name.replace("_", " ").title()) for kind in Kind]

COLLETS = (Kind.COLLET, Kind.MACHINABLE_COLLET, Kind.STEP_COLLET)
CHUCKS = (Kind.UNIVERSAL_CHUCK, Kind.INDEPENDENT_CHUCK)
CENTERS = (Kind.LIVE_CENTER, Kind.DEAD_CENTER, Kind.BULL_NOSE_CENTER, Kind.EXTENDED_POINT_CENTER)
CUTTERS = (
    Kind.TAPER_SHANK_DRILL,
    Kind.REAMER,
    Kind.COUNTERBORE,
    Kind.TURNING_TOOL,
    Kind.BORING_BAR,
    Kind.PARTING_BLADE,
    Kind.KNURLING_HEAD,
)
HOLDERS = tuple(kind for kind in Kind if kind not in COLLETS + CHUCKS + CENTERS + CUTTERS)
CUT_TO_SIZE = (Kind.TAPER_SHANK_DRILL, Kind.REAMER, Kind.COUNTERBORE)
"""Their size is the hole that they cut."""

GROUPS = {
    "collets": COLLETS,
    "chucks": CHUCKS,
    "centers": CENTERS,
    "holders": HOLDERS,
    "cutting tools": CUTTERS,
}
"""Word -> kinds, as a list of pieces is narrowed by them."""

NEEDED_DETAILS = {
    Kind.MACHINABLE_COLLET: ("mounts_in", "pilot"),
    Kind.STEP_COLLET: ("mounts_in", "outside_smallest", "outside_largest"),
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
    Kind.COLLET_NUT: ("offers",),
    Kind.BACKPLATE: ("mounts_in", "offers"),
    Kind.DRILL_CHUCK: ("mounts_in", "outside_smallest", "outside_largest"),
    Kind.TOOL_POST_HOLDER: ("mounts_in",),
    Kind.FACEPLATE: ("mounts_in",),
    Kind.LATHE_DOG: ("outside_smallest", "outside_largest"),
    Kind.STEADY_REST: ("outside_smallest", "outside_largest"),
    Kind.FOLLOW_REST: ("outside_smallest", "outside_largest"),
    Kind.MANDREL: ("inside_smallest", "inside_largest"),
    Kind.EXPANDING_ARBOR: ("inside_smallest", "inside_largest"),
    Kind.TAPER_SHANK_DRILL: ("mounts_in", "cuts"),
    Kind.REAMER: ("cuts",),
    Kind.COUNTERBORE: ("cuts",),
    Kind.TURNING_TOOL: ("shank",),
    Kind.BORING_BAR: ("shank",),
    Kind.PARTING_BLADE: ("shank",),
}
"""Without these the finder cannot consider a piece of the kind; a collet always has its size."""


NEEDED_COLUMNS = tuple(dict.fromkeys(name for names in NEEDED_DETAILS.values() for name in names))


def _details_missing() -> Q:
    """By column, since many kinds need the same: by kind it is a statement of three times the length."""
    return reduce(or_, (Q(("kind__in", _kinds_that_need(name)), (f"{name}__isnull", True)) for name in NEEDED_COLUMNS))


def _kinds_that_need(column: str) -> list[Kind]:
    return [kind for kind, names in NEEDED_DETAILS.items() if column in names]


DETAILS_MISSING = (
    _details_missing()
    & ~Q(kind=Kind.MACHINABLE_COLLET, size__isnull=False)
    & ~Q(kind=Kind.DEAD_CENTER, shank__isnull=False)
)
"""A machinable collet that is bored has its size; what its pilot hole was matters no longer. A soft center is gripped
by its straight shank in a chuck and mounts in no taper."""


class Place(models.TextChoices):
    """Where on a lathe a piece sits: one of its own seats, or what carries a rest or a drawbar."""

    NOSE = "nose", "on the spindle nose"
    HEADSTOCK = "headstock", "in the headstock taper"
    SPINDLE = "spindle", "through the spindle"
    TAILSTOCK = "tailstock", "in the tailstock"
    POST = "post", "on the tool post"
    BED = "bed", "on the bed"
    SADDLE = "saddle", "on the saddle"


class ShankShape(models.TextChoices):
    ROUND = "round", "round"
    SQUARE = "square", "square"


class Operation(models.TextChoices):
    """What a tool-post holder is set up for."""

    TURNING = "turning"
    FACING = "facing"
    BORING = "boring"
    THREADING = "threading"
    KNURLING = "knurling"
    GROOVING = "grooving"
    PARTING = "parting"


class DrivenBy(models.TextChoices):
    """Whether a reamer is turned by hand, or by the machine."""

    HAND = "hand"
    MACHINE = "machine"


class Tail(models.TextChoices):
    """The tail of a lathe dog: bent into a slot of the plate, or straight against a pin."""

    BENT = "bent"
    STRAIGHT = "straight"
