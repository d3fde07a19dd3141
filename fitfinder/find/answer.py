"""The answer to “what holds this stock?”: one frozen object that page, JSON and command only render."""

from __future__ import annotations

from msgspec import Struct

from fitfinder.find.way_grips import Grip
from fitfinder.holding.collets import gaps
from fitfinder.holding.collets.collet_choice import LeftOut, Nearest
from fitfinder.holding.collets.gaps import Gap
from fitfinder.holding.ladder import LadderStep
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules.cautions import Caution
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Outcome, Verdict
from fitfinder.holding.wants import OpenWant
from inventory.measures.lengths import Length, parse

NEAR = parse("1/4")
"""A size that misses by more is no help to a person (our own judgement, no source)."""


class Answer(Struct, frozen=True, kw_only=True, gc=False):
    """Everything that is said in reply to one question. `fallbacks` are the ways without a collet where one leads,
    `quicker` one of them that is on the lathe already."""

    stock: Stock
    asked_tir: Length | None
    verdict: Outcome
    headline: str
    grips: tuple[Grip, ...]
    more: int
    left_out: tuple[LeftOut, ...]
    details_missing: int
    make_dos: tuple[Grip, ...]
    nearest: tuple[Nearest, ...]
    gap: Gap | None
    cautions: tuple[Caution, ...]
    blanks: tuple[Piece, ...] = ()
    fallbacks: tuple[Grip, ...] = ()
    quicker: Grip | None = None
    wants: tuple[OpenWant, ...] = ()
    """What purchasing was asked for already and would hold it; only where no collet does."""
    ladder: tuple[LadderStep, ...] = ()
    """What to do, in order, where no collet that is here holds it."""

    @property
    def bore_to(self) -> Length:
        """What a blank is bored to for this stock."""
        return gaps.bore_for(self.stock)

    @property
    def asked_already(self) -> OpenWant | None:
        """The want for just the size that is missing: it is not asked for a second time."""
        gap = self.gap
        if gap is None:
            return None
        return next((want for want in self.wants if want.is_of(gap.series, gap.shape, gap.size)), None)

    @property
    def is_held(self) -> bool:
        """Whether a collet holds it, clear of its limits or at one."""
        return self.verdict.is_held

    @property
    def leads_without_blank(self) -> bool:
        """Whether another way leads before a blank that could be bored."""
        if not self.grips or not self.blanks:
            return False
        other = self.grips[0]
        return other.verdict is Verdict.HOLDS and other.meets_tir is not False and not other.is_last_resort

    @property
    def near_enough(self) -> tuple[Nearest, ...]:
        """The nearest sizes that a person is told of: those that miss by little; where none does, the one nearest."""
        return tuple(near for near in self.nearest if abs(near.misses_by) <= NEAR) or self.nearest[:1]

    @property
    def is_satisfying(self) -> bool:
        """Whether a collet holds it and, where a TIR was asked, is not known to miss it."""
        return self.is_held and self.grips[0].meets_tir is not False
