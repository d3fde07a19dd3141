"""What a way is put together from: pieces, reasons, steps and minutes."""

from __future__ import annotations

from enum import Enum, auto

from msgspec import Struct

from fitfinder.holding.chains import Missing
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules.efforts import NO_EFFORT, Effort
from inventory.measures.lengths import Length


class Reason(Struct, frozen=True, gc=False):
    """Why a way will do, will not, or is not sure to; where a figure decides, what is needed and what there is."""

    words: str
    needs: Length | None = None
    has: Length | None = None
    is_mild: bool = False
    """Another chuck does better, or a center at the end, and clamping to a plate does not."""

    def __str__(self) -> str:
        return self.words


class Act(Enum):
    """What a step does, where more than the one who reads it has to know."""

    SEAT = auto()
    LUBRICATE = auto()
    CENTER_DRILL = auto()
    GRIP = auto()
    """From here on something holds the work."""
    DIAL_IN = auto()
    HOLD_UP = auto()
    CUT = auto()
    """Of the work itself: what is to run true has to by then."""
    TURN_SOFT_CENTER = auto()
    SET_OVER = auto()
    """The tailstock, for a taper."""


class SetupStep(Struct, frozen=True, gc=False):
    """One thing that is done, and the pieces that it is done with."""

    do: str
    uses: tuple[Piece, ...] = ()
    act: Act | None = None
    is_beforehand: bool = False
    """Whether it is done before the pieces of the way are fitted: in something else, or on the bench."""


class Parts(Struct, frozen=True, kw_only=True, gc=False):
    """Some pieces of a way, with what is missing beside them, what is said of them, done with them and spent on them.
    `why_not` is told where without them there is no way at all."""

    pieces: tuple[Piece, ...] = ()
    missing: tuple[Missing, ...] = ()
    reasons: tuple[Reason, ...] = ()
    steps: tuple[SetupStep, ...] = ()
    effort: Effort = NO_EFFORT
    but: tuple[Reason, ...] = ()
    """What speaks against it where another would do."""
    doubts: tuple[Reason, ...] = ()
    """What decides and is not known."""
    why_not: Reason | None = None

    def __add__(self, other: Parts) -> Parts:
        # Most of the rules have nothing to say to most ways, and there are hundreds of these sums in a question.
        if other is NO_PARTS:
            return self
        if self is NO_PARTS:
            return other
        return Parts(
            pieces=self.pieces + other.pieces,
            missing=self.missing + other.missing,
            reasons=self.reasons + other.reasons,
            steps=self.steps + other.steps,
            effort=self.effort + other.effort,
            but=self.but + other.but,
            doubts=self.doubts + other.doubts,
            why_not=self.why_not or other.why_not,
        )


NO_PARTS = Parts()
