"""All that a way to hold is made from: what is on hand, the lathes in question, and the shop's working minutes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from msgspec.structs import replace as replace_in

from fitfinder.holding.chains import Chain
from fitfinder.holding.collets import gaps
from fitfinder.holding.pieces import ColletOnHand, CountedOnHand, CribNow, JawsOnHand, LatheOnHand, Piece, SeriesOnHand
from fitfinder.holding.routes import Routes, routes_of
from fitfinder.holding.rules.efforts import NO_EFFORT, Effort, Minutes
from fitfinder.holding.rules.lifting import hardest
from fitfinder.holding.seats import LatheRig
from fitfinder.holding.stock import Stock
from fitfinder.holding.wants import OpenWant
from inventory.reference.kinds import Kind
from inventory.reference.lifting import Lift


@dataclass(frozen=True, kw_only=True)
class PlanCrib:
    """`crib` holds the lathes, the rig, and the collets that may grip this stock on any of them."""

    crib: CribNow
    jaw_sets: tuple[JawsOnHand, ...] = ()
    bored: tuple[Piece, ...] = ()
    """Machinable collets that are bored; `pilot` is the bore that is in each now."""
    minutes: Minutes = field(default_factory=Minutes)
    center_drills: tuple[CountedOnHand, ...] = ()
    wants: tuple[OpenWant, ...] = ()
    """What is asked for or on order and would hold the stock."""

    def with_what_is_near(
        self, series: Iterable[SeriesOnHand], collets: Iterable[ColletOnHand], wants: Iterable[OpenWant] = ()
    ) -> PlanCrib:
        """The same with the figures of the series, the collets of the sizes beside the stock, and what is to come."""
        now = replace_in(self.crib, series=tuple(series), collets=(*self.crib.collets, *collets))
        return replace(self, crib=now, wants=tuple(wants))

    @cached_property
    def routes(self) -> Routes:
        """The ways to the seats of all lathes in question."""
        return routes_of(self.crib)

    @cached_property
    def _routes(self) -> dict[int, Routes]:
        return {_key(lathe): self.routes.on(lathe) for lathe in self.crib.lathes or (None,)}

    def routes_on(self, lathe: LatheOnHand | None) -> Routes:
        """The ways to the seats of this lathe alone."""
        return self._routes[_key(lathe)]

    @cached_property
    def _mounted(self) -> dict[int | None, list[Piece]]:
        by_lathe: dict[int | None, list[Piece]] = defaultdict(list)
        for piece in self.crib.rig:
            by_lathe[piece.mounted_on].append(piece)
        return by_lathe

    def on_lathe(self, lathe: LatheOnHand | None) -> tuple[Piece, ...]:
        """What of the rig is on this lathe now."""
        return tuple(self._mounted.get(lathe.id, ())) if lathe is not None else ()

    @cached_property
    def by_kind(self) -> Mapping[Kind, list[Piece]]:
        """What is no collet of a size, in the order of the rig."""
        by_kind: dict[Kind, list[Piece]] = defaultdict(list)
        for piece in self.crib.rig:
            by_kind[piece.kind].append(piece)
        return by_kind

    # Asked for each chuck and plate at each lathe.
    @cached_property
    def chuck_change(self) -> Effort:
        return Effort(fit=self.minutes.of("chuck change, camlock"))

    @cached_property
    def threaded_chuck_change(self) -> Effort:
        return Effort(fit=self.minutes.of("chuck change, threaded"))

    @cached_property
    def by_lathe(self) -> tuple[CribAtLathe, ...]:
        """What is on hand for work on each of the lathes; without any the seats stay unchecked."""
        return tuple(
            CribAtLathe(lathe=lathe, rig=self.crib.rig, plan_crib=self) for lathe in self.crib.lathes or (None,)
        )

    def blanks(self, stock: Stock) -> list[Piece]:
        """The blanks that can be bored to the stock and used on one of the lathes."""
        return list(dict.fromkeys(blank for here in self.by_lathe for blank in here.blanks(stock)))

    def at(self, lathe: LatheOnHand | None) -> CribAtLathe:
        """What is on hand for work on this one of the lathes."""
        return next(here for here in self.by_lathe if here.lathe == lathe)


@dataclass(frozen=True, kw_only=True)
class CribAtLathe(LatheRig):
    """What is on hand for a job at one lathe."""

    plan_crib: PlanCrib

    @cached_property
    def routes(self) -> Routes:
        return self.plan_crib.routes_on(self.lathe)

    @cached_property
    def on_it(self) -> tuple[Piece, ...]:
        return self.plan_crib.on_lathe(self.lathe)

    @property
    def crib(self) -> CribNow:
        return self.plan_crib.crib

    @property
    def jaw_sets(self) -> tuple[JawsOnHand, ...]:
        return self.plan_crib.jaw_sets

    @property
    def bored(self) -> tuple[Piece, ...]:
        return self.plan_crib.bored

    @property
    def minutes(self) -> Minutes:
        return self.plan_crib.minutes

    @property
    def center_drills(self) -> tuple[CountedOnHand, ...]:
        return self.plan_crib.center_drills

    def of_kind(self, *kinds: Kind) -> list[Piece]:
        pieces = [piece for kind in kinds for piece in self.plan_crib.by_kind.get(kind, ())]
        return pieces if len(kinds) < 2 else sorted(pieces, key=lambda piece: (piece.condition, piece.tag))

    def blanks(self, stock: Stock) -> list[Piece]:
        """The blanks that can be bored to the stock and used here."""
        blanks = gaps.usable_blanks(stock, self.rig, self.crib.series, self.routes)
        return [blank for blank in blanks if self.is_within_reach(blank)]

    def lift_of(self, pieces: Iterable[Piece], off: Iterable[Piece]) -> Lift:
        """What the heaviest takes of these pieces that are not on the lathe yet, and of what comes off it first."""
        return hardest([*(piece for piece in pieces if not self.has_on(piece)), *off])

    def hoisting(self, lift: Lift) -> Effort:
        """What is too heavy for one person costs more than its change."""
        if lift is Lift.ALONE:
            return NO_EFFORT
        return Effort(fit=self.minutes.of("hoist, to change what is heavy"))

    def fitting(self, piece: Piece, chain: Chain) -> Effort:
        """To fit what is not on the lathe yet: the chuck, closer or plate, and what leads to it."""
        if all(self.has_on(part) for part in (*chain.links, piece)):
            return NO_EFFORT
        is_threaded = self.lathe is not None and self.lathe.nose is not None and self.lathe.nose.is_thread
        return self.plan_crib.threaded_chuck_change if is_threaded else self.plan_crib.chuck_change


def _key(lathe: LatheOnHand | None) -> int:
    return 0 if lathe is None else lathe.id
