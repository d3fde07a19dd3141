"""What each kind of piece is asked, and in which words of the trade."""

from inventory.models import JawSet, Tool
from inventory.models.kinds import CHUCKS, Kind
from inventory.pieces.book import Book

COMMON = ("tag", "location", "condition", "tir", "inspected_on", "cost", "notes")
_OUTSIDE = ("outside_min", "outside_max")
_INSIDE = ("inside_min", "inside_max")
_CHUCK = ("mount", "jaws", "body", *_OUTSIDE, *_INSIDE, "jaw_length", "through", "max_rpm", "weight")
_POINT = ("mount", "angle", "point_tip")
_SHANK = ("shank_size", "shank_shape")
ASKED = {
    Kind.COLLET: ("series", "shape", "size", "grips_min", "grips_max", "stop_thread"),
    Kind.MACHINABLE_COLLET: ("series", "pilot", "bored"),
    Kind.STEP_COLLET: ("series", *_OUTSIDE, "step_depth"),
    Kind.UNIVERSAL_CHUCK: _CHUCK,
    Kind.INDEPENDENT_CHUCK: _CHUCK,
    Kind.LIVE_CENTER: (*_POINT, "point_extension", "max_rpm", "load"),
    Kind.DEAD_CENTER: (*_POINT, "point_extension", "shank_size"),
    Kind.BULL_NOSE_CENTER: ("mount", *_INSIDE, "angle", "max_rpm", "load"),
    Kind.EXTENDED_POINT_CENTER: (*_POINT, "point_extension", "max_rpm", "load"),
    Kind.COLLET_CHUCK: ("mount", "takes", "through", "max_rpm", "weight"),
    Kind.CLOSER: ("mount", "takes", "through", "max_rpm", "weight"),
    Kind.SLEEVE: ("mount", "takes", "tang"),
    Kind.DRAWBAR: ("mount", "through", "solid"),
    Kind.COLLET_NUT: ("takes", "through", "max_rpm"),
    Kind.BACKPLATE: ("mount", "takes", "body", "weight"),
    Kind.STOP: ("fits",),
    Kind.DRILL_CHUCK: ("mount", *_OUTSIDE),
    Kind.TOOL_POST_HOLDER: ("mount", *_OUTSIDE, "shank_shape", "operations", "set_for"),
    Kind.FACEPLATE: ("mount", "body", "slots", "max_rpm", "weight"),
    Kind.LATHE_DOG: (*_OUTSIDE, "dog_tail", "body"),
    Kind.STEADY_REST: (*_OUTSIDE, "belongs_to"),
    Kind.FOLLOW_REST: (*_OUTSIDE, "belongs_to"),
    Kind.MANDREL: _INSIDE,
    Kind.EXPANDING_ARBOR: (*_INSIDE, "mount"),
    Kind.KEY: ("fits",),
    Kind.TAPER_SHANK_DRILL: ("size", "mount", "tang"),
    Kind.REAMER: ("size", "driven_by", "mount", "tang", "shank_size"),
    Kind.COUNTERBORE: ("size", "pilot", "mount", "tang", "shank_size"),
    Kind.TURNING_TOOL: _SHANK,
    Kind.BORING_BAR: _SHANK,
    Kind.PARTING_BLADE: ("shank_size",),
    Kind.KNURLING_HEAD: (*_SHANK, "mount"),
}
"""What each kind is asked about beside what is common to all."""

_MORSE = "MT2, MT3 … Leave it empty for a straight shank."
_HOLE = "The hole that it makes: [1/2, .4995, 12 mm|12, 1/2], #7. Up to [6 in|152 mm]."
WORDS: dict[Kind, dict[str, tuple[str, str]]] = {
    Kind.MACHINABLE_COLLET: {
        "pilot": ("Pilot hole", "The small hole that a blank comes with, to be bored open, like [1/16|2]."),
        "bored": (
            "Bored to",
            "Leave it empty while nobody has bored it. A bore is only ever opened: never below the pilot hole, nor "
            "below what it is bored to now.",
        ),
    },
    Kind.STEP_COLLET: {
        "outside_min": ("Holds work from", "Across the step, the smallest, like [1-1/2|40]."),
        "outside_max": ("Holds work to", "The largest, not below the smallest."),
        "step_depth": ("Depth of step", "How deep the work sits in it, like [3/8|10]; up to [4 in|100 mm]."),
    },
    Kind.DRILL_CHUCK: {
        "mount": ("Shank or arbor", "The taper that it sits on: MT2, MT3; JT33 is a Jacobs taper, for an arbor."),
        "outside_min": ("Holds drills from", "The capacity marked on it, smallest, like [1/32|1]."),
        "outside_max": ("Holds drills to", "The largest, like [1/2|13]; not below the smallest."),
    },
    Kind.BULL_NOSE_CENTER: {
        "inside_min": ("Holes from", "The smallest hole that its cone enters: over the cone's small end."),
        "inside_max": ("Holes to", "The largest: below the cone's large end; not below the smallest."),
    },
    Kind.SLEEVE: {
        "mount": ("Outside taper", "The socket that it fits into: MT5, MT3 …"),
        "takes": ("Inside taper", "The shank that goes into it: MT3, MT2 …"),
        "tang": ("Tang slot", "Whether a drift can push the tang out."),
    },
    Kind.COLLET_NUT: {"takes": ("Closes collets of", "The series that it closes: ER16, ER32 …")},
    Kind.BACKPLATE: {
        "takes": (
            "Takes chucks with",
            "The name of the chuck's back, as the chuck has it: 6 in plain.",
        ),
    },
    Kind.STOP: {"fits": ("Fits", "Where it stops the work: a collet like 5C, a taper like MT5, or tags like H-0061.")},
    Kind.TOOL_POST_HOLDER: {
        "mount": ("Mounts on the post", "The post's own name, as it stands with the lathe."),
        "outside_min": ("Takes shanks or bars from", "The smallest, like [1/4|6]."),
        "outside_max": ("Takes shanks or bars to", "The largest, like [3/4|20]; not below the smallest."),
        "shank_shape": ("Shape of shank that it takes", "A square slot, or a round hole for bars."),
    },
    Kind.LATHE_DOG: {
        "outside_min": ("Drives work from", "The smallest diameter that it closes on."),
        "outside_max": ("Drives work to", "The largest; not below the smallest."),
        "body": ("Swings", "The circle of what stands out farthest, tail or screw, on its largest work: like [6|150]."),
    },
    Kind.DEAD_CENTER: {
        "shank_size": (
            "Straight shank",
            "Of a soft center, which a chuck grips and whose point is cut anew: its diameter, like [3/4|20]. Leave it "
            "empty for a taper.",
        ),
    },
    Kind.MANDREL: {
        "inside_min": (
            "Fits bores from",
            "It tapers a few [thousandths|hundredths]: its diameter at the small end, like [0.4985|19.97].",
        ),
        "inside_max": ("Fits bores to", "At the large end, like [0.5005|20.02]; not below the small end."),
    },
    Kind.EXPANDING_ARBOR: {
        "inside_min": ("Grips bores from", "Closed, the smallest, like [3/4|20]."),
        "inside_max": ("Grips bores to", "Fully expanded; not below the smallest."),
        "mount": ("Shank", "MT3, 5C … Leave it empty where it runs between centers."),
    },
    Kind.TAPER_SHANK_DRILL: {
        "size": ("Size", _HOLE),
        "mount": ("Morse shank", "The taper that it is held by: MT2, MT3 …"),
    },
    Kind.REAMER: {
        "size": ("Size", _HOLE),
        "mount": ("Morse shank", _MORSE),
        "shank_size": ("Straight shank", "Its diameter; up to [4 in|100 mm]. Leave it empty for a Morse shank."),
    },
    Kind.COUNTERBORE: {
        "size": ("Size", _HOLE),
        "pilot": ("Pilot", "The pin that guides it, like [17/64|6.6]."),
        "mount": ("Morse shank", _MORSE),
        "shank_size": ("Straight shank", "Its diameter; up to [4 in|100 mm]. Leave it empty for a Morse shank."),
    },
    Kind.TURNING_TOOL: {"shank_size": ("Shank", "Its height or diameter, like [1/2|12]; up to [4 in|100 mm].")},
    Kind.BORING_BAR: {"shank_size": ("Bar or shank", "Its diameter or height, like [3/4|16]; up to [4 in|100 mm].")},
    Kind.PARTING_BLADE: {"shank_size": ("Height of blade", "Like [11/16|26]; up to [4 in|100 mm].")},
    Kind.KNURLING_HEAD: {
        "shank_size": ("Shank", "Its height or diameter, like [1/2|12]; up to [4 in|100 mm]."),
        "mount": ("Or mounts on the post", "Where it sits on the tool post without a holder."),
    },
} | dict.fromkeys(
    (Kind.STEADY_REST, Kind.FOLLOW_REST),
    {
        "outside_min": ("Supports work from", "The smallest that its fingers reach."),
        "outside_max": ("Supports work to", "The largest; not below the smallest."),
    },
)
"""Kind -> field -> its label and its hint, where the kind says it in words of its own."""

_OF_JAWS = {*_OUTSIDE, *_INSIDE, "jaw_length"}
_OF_LATHES = {"set_for", "belongs_to"}


def asked_now(kind: Kind, tool: Tool | None, book: Book) -> tuple[str, ...]:
    """What a page asks of this kind, of this very piece, in this shop."""
    asked = ASKED[kind]
    if tool is not None and tool.bored_to is not None:
        asked += ("mistyped",)
    not_asked = set()
    if jaws_in(tool) is not None:
        not_asked |= _OF_JAWS
    if _OF_LATHES & set(asked) and not book.lathes:
        not_asked |= _OF_LATHES
    return tuple(name for name in asked if name not in not_asked)


def jaws_in(tool: Tool | None) -> JawSet | None:
    """The set of jaws that is in this chuck, None where none is said to be."""
    if tool is None or tool.pk is None or tool.kind not in CHUCKS:
        return None
    return tool.jaw_sets.filter(is_in=True).first()
