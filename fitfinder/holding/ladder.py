"""What to do when the right collet is not in the drawer, in the order that a practitioner tries it.

Fetch the one that a colleague has; else wait for the one that is on order, where there is time; else hold the work by
what is on the lathe, or on another lathe, or by a make-do; a blank comes last, as it cannot be un-bored. Find and the
plan tell the same ladder. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import IntEnum

from fitfinder.holding.chains import how_it_is_away
from fitfinder.holding.collets.collet_choice import LeftOut
from fitfinder.holding.pieces import Piece
from fitfinder.holding.wants import OpenWant
from fitfinder.holding.way import Way


class Rung(IntEnum):
    """What is tried, first to last."""

    COLLEAGUE = 1
    ON_ORDER = 2
    ON_THE_LATHE = 3
    ANOTHER_LATHE = 4
    MAKE_DO = 5
    BLANK = 6


@dataclass(frozen=True, kw_only=True)
class LadderStep:
    """One rung with what stands on it: the piece that is away, the want, the way, or the blank."""

    rung: Rung
    left_out: LeftOut | None = None
    want: OpenWant | None = None
    way: Way | None = None
    blank: Piece | None = None

    @property
    def tag(self) -> str:
        """That of the piece to fetch or to take; empty for what is on order."""
        if self.left_out is not None and self.left_out.out is not None:
            return self.left_out.out.tag
        piece = self.blank or (self.way.hold.piece if self.way is not None and self.way.hold is not None else None)
        return piece.tag if piece is not None else ""

    @property
    def sentence(self) -> str:
        words = str(self)
        return f"{words[:1].upper()}{words[1:]}."

    def __str__(self) -> str:
        if self.left_out is not None and self.left_out.out is not None:
            away = self.left_out.out
            is_for = "" if away.tag == self.left_out.tag else f" for {self.left_out.tag}"
            return f"{how_it_is_away(away)}{is_for}: {self.left_out.name} would hold it"
        if self.want is not None:
            return f"{self.want.name}: {self.want.words}"
        if self.way is not None:
            where = f" on {self.way.lathe.name}" if self.way.lathe is not None else ""
            return f"{_BEFORE_THE_WAY[self.rung]}{self.way.name}{where}"
        return f"bore the blank {self.tag}, which can only be opened after"


_BEFORE_THE_WAY = {Rung.ON_THE_LATHE: "what is on now: ", Rung.ANOTHER_LATHE: "", Rung.MAKE_DO: "as a make-do: "}


def ladder(
    *,
    left_out: Iterable[LeftOut] = (),
    wants: Iterable[OpenWant] = (),
    ways: Sequence[Way] = (),
    elsewhere: Sequence[Way] = (),
    make_dos: Sequence[Way] = (),
    blanks: Sequence[Piece] = (),
) -> tuple[LadderStep, ...]:
    """One step for each rung that there is; `ways` are those without a collet that are all here, best first, and
    `elsewhere` those on lathes that were not asked about."""
    return tuple(_steps(left_out, wants, ways, elsewhere, make_dos, blanks))


def with_another_lathe(steps: Iterable[LadderStep], elsewhere: Sequence[Way]) -> tuple[LadderStep, ...]:
    """The same with what holds it on a lathe that was not asked about."""
    more = ladder(elsewhere=elsewhere)
    return tuple(sorted((*steps, *more), key=lambda step: step.rung))


def _steps(
    left_out: Iterable[LeftOut],
    wants: Iterable[OpenWant],
    ways: Sequence[Way],
    elsewhere: Sequence[Way],
    make_dos: Sequence[Way],
    blanks: Sequence[Piece],
) -> Iterator[LadderStep]:
    lent = next((item for item in left_out if item.is_lent and item.size is not None), None)
    if lent is not None:
        yield LadderStep(rung=Rung.COLLEAGUE, left_out=lent)
    want = min(wants, key=_soonest, default=None)
    if want is not None:
        yield LadderStep(rung=Rung.ON_ORDER, want=want)
    on = next((way for way in ways if _is_on(way)), None)
    if on is not None:
        yield LadderStep(rung=Rung.ON_THE_LATHE, way=on)
    if elsewhere:
        yield LadderStep(rung=Rung.ANOTHER_LATHE, way=elsewhere[0])
    if make_dos:
        yield LadderStep(rung=Rung.MAKE_DO, way=make_dos[0])
    if blanks:
        yield LadderStep(rung=Rung.BLANK, blank=blanks[0])


def _soonest(want: OpenWant) -> tuple[int, date]:
    states = ("ordered", "approved", "wanted")
    return states.index(want.state), want.expected or date.max


def _is_on(way: Way) -> bool:
    """Whether what holds the work is on its lathe already, and nothing speaks against it."""
    return way.hold is not None and way.has_on(way.hold.piece) and not way.but and not way.doubts
