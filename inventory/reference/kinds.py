"""What kinds of piece there are, and of jaws."""

from enum import StrEnum


class Kind(StrEnum):
    """What a piece is. The value is the word that sheets, JSON and pages use."""

    COLLET = "collet"
    MACHINABLE_COLLET = "machinable collet"
    STEP_COLLET = "step collet"
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
    COLLET_NUT = "collet nut"
    BACKPLATE = "backplate"
    STOP = "stop"
    DRILL_CHUCK = "drill chuck"
    TOOL_POST_HOLDER = "tool-post holder"
    FACEPLATE = "faceplate"
    LATHE_DOG = "lathe dog"
    STEADY_REST = "steady rest"
    FOLLOW_REST = "follow rest"
    MANDREL = "mandrel"
    EXPANDING_ARBOR = "expanding arbor"
    KEY = "key"
    TAPER_SHANK_DRILL = "taper-shank drill"
    REAMER = "reamer"
    COUNTERBORE = "counterbore"
    TURNING_TOOL = "turning tool"
    BORING_BAR = "boring bar"
    PARTING_BLADE = "parting blade"
    KNURLING_HEAD = "knurling head"


class JawKind(StrEnum):
    """What a set of jaws is for: the outside, the inside, or soft, to be bored."""

    OUTSIDE = "outside"
    INSIDE = "inside"
    SOFT = "soft"
