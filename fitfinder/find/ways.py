"""What the rig makes possible on the lathes in question, whatever the stock: each found once, when it is asked for."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from fitfinder.find import ranking
from fitfinder.holding import cautions
from fitfinder.holding.chains import Chain, Missing, chains_to
from fitfinder.holding.methods import centers, chucks
from fitfinder.holding.pieces import LINK_KINDS, LatheOnHand, Piece


class Ways:
    """From the code of a seat to the ways to it, which many pieces share; and the ways to hold without a collet."""

    def __init__(self, rig: Iterable[Piece], lathes: Iterable[LatheOnHand]) -> None:
        self._rig, self._lathes = tuple(rig), tuple(lathes)
        self._links = [piece for piece in self._rig if piece.kind in LINK_KINDS or piece.kind == "drawbar"]
        self._found: dict[str, list[Chain] | Missing] = {}
        self._best: dict[str, Chain] = {}

    @cached_property
    def chucks(self) -> list[chucks.SeatedChuck]:
        """The usable chucks on each lathe that takes them."""
        return chucks.seated_chucks(self._rig, self._lathes)

    @cached_property
    def centers(self) -> list[centers.Centers]:
        """The lathes that have all it takes to work between centers."""
        return centers.all_centers(self._rig, self._lathes)

    @cached_property
    def heavy(self) -> list[Piece]:
        """What is on a lathe now and too heavy for one person to take off."""
        return cautions.heavy_on_lathes(self._rig)

    def __call__(self, seat: str) -> list[Chain]:
        """All ways to the seat."""
        found = self._ways_to(seat)
        return [] if isinstance(found, Missing) else found

    def missing(self, seat: str) -> str:
        """Which link is missing to the seat; empty where there is a way."""
        found = self._ways_to(seat)
        return found.why if isinstance(found, Missing) else ""

    def are_there(self, seat: str) -> bool:
        """Whether what mounts in this seat can be used at all."""
        return not isinstance(self._ways_to(seat), Missing)

    def best(self, seat: str) -> Chain:
        """The way that is best for all that lies in its drawer; only for a seat that there is a way to."""
        if seat not in self._best:
            self._best[seat] = ranking.best_chain(self(seat))
        return self._best[seat]

    def _ways_to(self, seat: str) -> list[Chain] | Missing:
        if seat not in self._found:
            self._found[seat] = chains_to(seat, rig=self._links, lathes=self._lathes)
        return self._found[seat]
