"""Each kind of piece as a line drawing, 96 × 60: the spindle is at the left, what is hidden is dashed.

From the side the axis lies at 30 and runs through; a chuck, a faceplate and a nut are shown on their face.
"""

from msgspec import Struct

from inventory.reference.kinds import Kind

Point = tuple[int, int]
WIDTH, HEIGHT = 96, 60


class KindDrawing(Struct, frozen=True, kw_only=True):
    """Its strokes as SVG paths. `jaw` is the one above the axis, which stands `jaws` times around it.

    `top`, `shank` and `work` are where the largest diameter, what it sits in and what it holds or cuts are pointed at.
    """

    lines: str
    hidden: str = ""
    axis: str = "M3 30H93"
    jaw: str = ""
    jaws: int = 0
    around: int = 30
    """How far down the middle is that the jaws stand around."""
    top: Point = (48, 14)
    shank: Point = (16, 36)
    work: Point = (84, 34)

    def turns(self, jaws: int | None = None) -> tuple[int, ...]:
        """The degrees that each jaw is turned by; as many as this piece has, else as many as are usual."""
        number = (jaws or self.jaws) if self.jaw else 0
        return tuple(360 * place // number for place in range(number))


def drawing_of(kind: Kind) -> KindDrawing:
    return _DRAWINGS[kind]


ER_COLLET = KindDrawing(
    lines="M16 22L66 10H72V14H78L84 19V41L78 46H72V50H66L16 38z M34 30H84 M16 27H58 M16 33H58",
    top=(68, 10),
    shank=(28, 41),
)
"""A collet that a nut pushes in: a long cone, and a groove for the nut."""

_FACE_AXIS = "M48 1V59M19 30H77"
_DISK = "M22 30a26 26 0 1 0 52 0a26 26 0 1 0 -52 0z"
_BORE = "M42 30a6 6 0 1 0 12 0a6 6 0 1 0 -12 0z"
_TAPER = "M6 24L36 20V40L6 36z"

_DRAWINGS: dict[Kind, KindDrawing] = {
    Kind.COLLET: KindDrawing(
        lines="M8 21H56L72 11H86V49H72L56 39H8z M13 21V39M18 21V39M23 21V39 M40 30H86",
        top=(78, 11),
        shank=(30, 39),
        work=(86, 30),
    ),
    Kind.MACHINABLE_COLLET: KindDrawing(
        lines="M8 21H56L72 11H86V49H72L56 39H8z M13 21V39M18 21V39M23 21V39 M86 28H78M86 32H78",
        hidden="M78 28H34V32H78M86 19H66V41H86",
        top=(78, 11),
        shank=(30, 39),
        work=(82, 32),
    ),
    Kind.STEP_COLLET: KindDrawing(
        lines="M6 22H40L56 6H84V54H56L40 38H6z M11 22V38M16 22V38M21 22V38",
        hidden="M84 13H77V19H70V25H63V35H70V41H77V47H84",
        top=(68, 6),
        shank=(28, 38),
        work=(79, 47),
    ),
    Kind.UNIVERSAL_CHUCK: KindDrawing(
        lines=_DISK + _BORE,
        jaw="M46 22L43 18V3.5H53V18L50 22z",
        jaws=3,
        axis=_FACE_AXIS,
        top=(66, 11),
        shank=(44, 34),
        work=(53, 24),
    ),
    Kind.INDEPENDENT_CHUCK: KindDrawing(
        lines=_DISK + _BORE,
        jaw="M44 20V5H52V20z M46.5 9.5H49.5V13H46.5z",
        jaws=4,
        axis=_FACE_AXIS,
        top=(66, 11),
        shank=(44, 34),
        work=(55, 30),
    ),
    Kind.LIVE_CENTER: KindDrawing(
        lines=_TAPER + "M36 13H54V47H36zM46 13V47M54 21H62L90 30L62 39H54", top=(45, 13), work=(84, 32)
    ),
    Kind.DEAD_CENTER: KindDrawing(
        lines="M6 24L52 18V42L6 36zM52 18H60L90 30L60 42H52M58 18V42", top=(54, 18), work=(84, 33)
    ),
    Kind.BULL_NOSE_CENTER: KindDrawing(
        lines="M6 25L34 22V38L6 35zM34 17H46V43H34zM46 6H52L88 22V38L52 54H46z", top=(50, 6), work=(72, 45)
    ),
    Kind.EXTENDED_POINT_CENTER: KindDrawing(
        lines="M6 25L34 22V38L6 35zM34 14H50V46H34zM42 14V46M50 26H74L91 30L74 34H50", top=(42, 14), work=(86, 31)
    ),
    Kind.COLLET_CHUCK: KindDrawing(
        lines="M4 25L32 21V39L4 35zM32 15H46V45H32zM46 9H70V51H46zM52 9V18M58 9V18M64 9V18M52 42V51M58 42V51M64 42V51"
        "M70 21H80V39H70",
        hidden="M70 21L40 25V35L70 39",
        top=(58, 9),
        work=(80, 34),
    ),
    Kind.CLOSER: KindDrawing(
        lines="M10 5H22V55H10zM22 18H58L74 13H84V47H74L58 42H22",
        hidden="M84 21H76L58 26H10M84 39H76L58 34H10",
        top=(18, 5),
        shank=(12, 50),
        work=(84, 38),
    ),
    Kind.SLEEVE: KindDrawing(
        lines="M6 21L88 10V50L6 39zM14 27H24V33H14z", hidden="M88 19L30 25V35L88 41", top=(78, 11), work=(86, 42)
    ),
    Kind.DRAWBAR: KindDrawing(
        lines="M6 19H16V41H6zM16 26H88V34H16zM70 26V34M75 26V34M80 26V34M85 26V34", top=(12, 19), shank=(40, 34)
    ),
    Kind.COLLET_NUT: KindDrawing(
        lines="M44.5 5.2L45.1 9.2H50.9L51.5 5.2L67.7 14.6L64.5 17.1L67.5 22.1L71.2 20.6V39.4L67.5 37.9L64.5 42.9"
        "L67.7 45.4L51.5 54.8L50.9 50.8H45.1L44.5 54.8L28.3 45.4L31.5 42.9L28.5 37.9L24.8 39.4V20.6L28.5 22.1"
        "L31.5 17.1L28.3 14.6zM35 30a13 13 0 1 0 26 0a13 13 0 1 0 -26 0z",
        axis=_FACE_AXIS,
        top=(58, 9),
        work=(58, 38),
    ),
    Kind.BACKPLATE: KindDrawing(
        lines="M22 18H40V42H22zM40 4H52V56H40zM52 13H57V47H52",
        hidden="M22 24H57M22 36H57M40 8H52M40 52H52",
        top=(46, 4),
        shank=(26, 42),
        work=(57, 42),
    ),
    Kind.STOP: KindDrawing(
        lines="M12 18H34V42H12zM17 18V42M22 18V42M27 18V42M34 26H72V34H34zM72 19H79V41H72z", top=(24, 18), work=(79, 36)
    ),
    Kind.DRILL_CHUCK: KindDrawing(
        lines="M4 25L30 22V38L4 35zM30 12H54V48H30zM42 12V48M54 12L74 22V38L54 48M74 25H88M74 30H88M74 35H88",
        top=(42, 12),
        work=(86, 35),
    ),
    Kind.TOOL_POST_HOLDER: KindDrawing(
        lines="M14 17H82V51H14zM14 30H82M14 43H82M26 17V6M21 6H31M48 17V6M43 6H53M70 17V6M65 6H75",
        hidden="M30 51V46H40V51",
        axis="",
        top=(48, 17),
        shank=(35, 48),
        work=(78, 38),
    ),
    Kind.FACEPLATE: KindDrawing(
        lines=_DISK + _BORE, jaw="M45 19V8H51V19z", jaws=8, axis=_FACE_AXIS, top=(66, 11), shank=(44, 34), work=(61, 44)
    ),
    Kind.LATHE_DOG: KindDrawing(
        lines="M24 33a17 17 0 1 0 34 0a17 17 0 1 0 -34 0zM32 33a9 9 0 1 0 18 0a9 9 0 1 0 -18 0z"
        "M41 24V4M34 4H48M58 29H78V10H86V37H58",
        axis="",
        top=(41, 4),
        shank=(82, 37),
        work=(48, 38),
    ),
    Kind.STEADY_REST: KindDrawing(
        lines="M27 26a21 21 0 1 0 42 0a21 21 0 1 0 -42 0zM36 43L26 57H70L60 43M69 26H74V31H68",
        hidden="M41 26a7 7 0 1 0 14 0a7 7 0 1 0 -14 0z",
        jaw="M45 14V3H51V14L48 19z",
        jaws=3,
        around=26,
        axis="",
        top=(48, 5),
        shank=(30, 57),
        work=(53, 30),
    ),
    Kind.FOLLOW_REST: KindDrawing(
        lines="M22 57H44V50H38V20C38 16 40 15 44 15H74V5H40C32 5 28 9 28 17V50H22zM59 15V24H67V15M38 28H54V36H38",
        hidden="M54 32a9 9 0 1 0 18 0a9 9 0 1 0 -18 0z",
        axis="",
        top=(56, 5),
        shank=(26, 57),
        work=(71, 36),
    ),
    Kind.MANDREL: KindDrawing(
        lines="M10 23H20V37H10zM20 20L76 17V43L20 40zM76 23H86V37H76M10 27L15 30L10 33M86 27L81 30L86 33",
        top=(48, 19),
        shank=(14, 37),
        work=(70, 43),
    ),
    Kind.EXPANDING_ARBOR: KindDrawing(
        lines="M4 25L30 21V39L4 35zM30 26H36M30 34H36M36 15H72V45H36zM43 15V38M50 45V22M57 15V38M64 45V22"
        "M72 24H80L88 28V32L80 36H72",
        top=(54, 15),
        work=(68, 45),
    ),
    Kind.KEY: KindDrawing(
        lines="M20 6H76V13H20zM44 13H52V42H44zM40 42H56V54H40z", axis="", top=(60, 6), shank=(44, 30), work=(56, 50)
    ),
    Kind.TAPER_SHANK_DRILL: KindDrawing(
        lines="M4 27H10V33H4zM10 25L36 21V39L10 35zM36 22H82L91 30L82 38H36M40 38C47 38 47 22 54 22"
        "M52 38C59 38 59 22 66 22M64 38C71 38 71 22 78 22",
        top=(58, 22),
        work=(82, 38),
    ),
    Kind.REAMER: KindDrawing(
        lines="M5 26H13V34H5zM13 25H38V35H13M38 20H84L90 24V36L84 40H38zM38 25H90M38 30H90M38 35H90",
        axis="",
        top=(60, 20),
        work=(82, 40),
    ),
    Kind.COUNTERBORE: KindDrawing(
        lines="M6 24H42V36H6zM42 13H68V47H42zM46 47C54 40 50 20 58 13M56 47C64 40 60 20 68 13M68 25H88V35H68",
        top=(54, 13),
        work=(64, 47),
    ),
    Kind.TURNING_TOOL: KindDrawing(
        lines="M6 21H60V41H6zM56 17L88 21L64 44zM65 26a4 4 0 1 0 8 0a4 4 0 1 0 -8 0z",
        axis="",
        top=(34, 21),
        shank=(20, 41),
        work=(72, 36),
    ),
    Kind.BORING_BAR: KindDrawing(
        lines="M6 24H80V36H6zM6 27H40M76 24L84 15L89 20L83 30H80", top=(40, 24), shank=(20, 36), work=(85, 26)
    ),
    Kind.PARTING_BLADE: KindDrawing(
        lines="M6 14H76L90 6V14L82 17V46H6zM6 20H78M6 40H82", axis="", top=(40, 14), shank=(20, 46), work=(88, 14)
    ),
    Kind.KNURLING_HEAD: KindDrawing(
        lines="M6 23H46V37H6zM46 9H60V51H46zM60 17a11 11 0 1 0 22 0a11 11 0 1 0 -22 0z"
        "M60 43a11 11 0 1 0 22 0a11 11 0 1 0 -22 0zM63 22L76 9M67 26L80 13M63 48L76 35M67 52L80 39",
        axis="",
        top=(52, 9),
        shank=(20, 37),
        work=(80, 22),
    ),
}
