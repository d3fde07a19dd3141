"""What can be found on each kind of piece, what it means, and who may call a piece what."""

from inventory.models import Condition, Finding, Kind, Tool, User
from inventory.models.kinds import CENTERS, CHUCKS, COLLETS, CUTTERS, HOLDERS
from inventory.models.wear import USABLE_CONDITIONS

_ON_A_COLLET = (
    Finding.BELL_MOUTHED, Finding.CRACKED, Finding.SPRUNG, Finding.GALLED, Finding.WORN_KEY, Finding.THREAD_DAMAGED,
)  # fmt: skip
_ON_A_CHUCK = (
    Finding.JAWS_BELL_MOUTHED, Finding.JAWS_CHIPPED, Finding.SCROLL_WORN, Finding.SEAT_BRUISED, Finding.CRACKED,
)  # fmt: skip
_ON_A_CENTER = (Finding.POINT_WORN, Finding.SEAT_BRUISED, Finding.GALLED, Finding.CRACKED)
_ON_A_TURNING_CENTER = (Finding.POINT_WORN, Finding.BEARING_ROUGH, Finding.SEAT_BRUISED, Finding.CRACKED)
_ON_A_HOLDER = (Finding.SEAT_BRUISED, Finding.GALLED, Finding.CRACKED)
FINDINGS = {
    **dict.fromkeys(HOLDERS, _ON_A_HOLDER),
    **dict.fromkeys(CUTTERS, (Finding.BENT, Finding.SEAT_BRUISED, Finding.CRACKED)),
    **dict.fromkeys(COLLETS, _ON_A_COLLET),
    **dict.fromkeys(CHUCKS, _ON_A_CHUCK),
    **dict.fromkeys(CENTERS, _ON_A_TURNING_CENTER),
    Kind.INDEPENDENT_CHUCK: tuple(finding for finding in _ON_A_CHUCK if finding != Finding.SCROLL_WORN),
    Kind.DEAD_CENTER: _ON_A_CENTER,
    Kind.COLLET_CHUCK: (*_ON_A_HOLDER, Finding.WORN_KEY, Finding.THREAD_DAMAGED),
    Kind.CLOSER: (*_ON_A_HOLDER, Finding.WORN_KEY, Finding.THREAD_DAMAGED),
    Kind.COLLET_NUT: (Finding.THREAD_DAMAGED, Finding.CRACKED),
    Kind.BACKPLATE: (Finding.SEAT_BRUISED, Finding.THREAD_DAMAGED, Finding.CRACKED),
    Kind.STOP: (Finding.BENT, Finding.THREAD_DAMAGED),
    Kind.DRAWBAR: (Finding.THREAD_DAMAGED, Finding.BENT, Finding.CRACKED),
    Kind.DRILL_CHUCK: (Finding.JAWS_BELL_MOUTHED, Finding.JAWS_CHIPPED, Finding.SEAT_BRUISED, Finding.CRACKED),
    Kind.MANDREL: (Finding.BENT, Finding.GALLED, Finding.SPRUNG, Finding.CRACKED),
    Kind.EXPANDING_ARBOR: (Finding.BENT, Finding.GALLED, Finding.SPRUNG, Finding.CRACKED),
    Kind.KEY: (Finding.BENT, Finding.CRACKED),
    Kind.STEADY_REST: (Finding.BENT, Finding.BEARING_ROUGH, Finding.CRACKED),
    Kind.FOLLOW_REST: (Finding.BENT, Finding.BEARING_ROUGH, Finding.CRACKED),
    Kind.LATHE_DOG: (Finding.THREAD_DAMAGED, Finding.BENT, Finding.CRACKED),
}
"""What can be found on each kind of piece, in the words of the trade (common practice, no source)."""
MEANING = {
    Finding.BELL_MOUTHED: "wide at the mouth",
    Finding.JAWS_BELL_MOUTHED: "gripping at the back only",
    Finding.SPRUNG: "out of shape",
    Finding.GALLED: "torn",
    Finding.WORN_KEY: "it can turn",
    Finding.SCROLL_WORN: "jaws stand uneven",
    Finding.SEAT_BRUISED: "dented where it seats",
    Finding.BEARING_ROUGH: "felt when it is turned by hand",
}
"""What those say that a newcomer may not know (common practice, no source)."""


def findings_of(kind: str) -> tuple[Finding, ...]:
    return FINDINGS.get(Kind(kind), _ON_A_HOLDER)


def verdicts_of(by: User, tool: Tool) -> list[str]:
    """A keeper's are all; others call a piece good, worn or damaged, and leave one that is out of use as it is."""
    if by.may_keep:
        return list(Condition.values)
    if tool.condition not in USABLE_CONDITIONS:
        return [tool.condition]
    return [value for value in Condition.values if value != Condition.SCRAPPED]
