"""All that a plan is made from: what is on hand, the lathes in question, and the shop's working minutes."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from msgspec.structs import replace

from fitfinder.holding import gaps
from fitfinder.holding.chains import Chain
from fitfinder.holding.efforts import Effort, Minutes
from fitfinder.holding.pieces import CribNow, JawsOnHand, LatheOnHand, Piece
from fitfinder.holding.routes import Routes, routes_of
from fitfinder.holding.seats import LatheRig
from fitfinder.holding.stock import Stock


@dataclass(frozen=True, kw_only=True)
class PlanCrib:
    """`crib` holds the lathes, the rig, and the collets that may grip this stock on any of them."""

    crib: CribNow
    jaw_sets: tuple[JawsOnHand, ...] = ()
    bored: tuple[Piece, ...] = ()
    """Machinable collets that are bored; `pilot` is the bore that is in each now."""
    minutes: Minutes = field(default_factory=Minutes)

    def by_lathe(self) -> list[CribAtLathe]:
        """What is on hand for work on each of the lathes; without any the seats stay unchecked."""
        return [self.at(lathe) for lathe in self.crib.lathes or (None,)]

    def at(self, lathe: LatheOnHand | None) -> CribAtLathe:
        return CribAtLathe(
            lathe=lathe,
            rig=self.crib.rig,
            crib=replace(self.crib, lathes=(lathe,)) if lathe else self.crib,
            jaw_sets=self.jaw_sets,
            bored=self.bored,
            minutes=self.minutes,
        )


@dataclass(frozen=True, kw_only=True)
class CribAtLathe(LatheRig):
    """What is on hand for a job at one lathe."""

    crib: CribNow
    jaw_sets: tuple[JawsOnHand, ...]
    bored: tuple[Piece, ...]
    minutes: Minutes

    @cached_property
    def routes(self) -> Routes:
        return routes_of(self.crib)

    def blanks(self, stock: Stock) -> list[Piece]:
        """The blanks that can be bored to the stock and used here."""
        return gaps.usable_blanks(stock, self.rig, self.crib.series, self.routes)

    def fitting(self, piece: Piece, chain: Chain) -> Effort:
        """To fit what is not on the lathe yet: the chuck, closer or plate, and what leads to it."""
        if all(self.has_on(part) for part in (*chain.links, piece)):
            return Effort()
        is_threaded = self.lathe is not None and self.lathe.nose is not None and self.lathe.nose.is_thread
        return Effort(fit=self.minutes.of("chuck change, threaded" if is_threaded else "chuck change, camlock"))
