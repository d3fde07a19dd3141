"""How the lathes in question come to a seat, whatever the stock: found once for each, when it is asked for."""

from __future__ import annotations

from collections.abc import Iterable

from fitfinder.find import ranking
from fitfinder.holding.chains import Chain, Missing, chains_to
from fitfinder.holding.pieces import LINK_KINDS, LatheOnHand, Piece
from inventory.reference.kinds import Kind


class Ways:
    """From the code of a seat to the ways to it, which many pieces share."""

    def __init__(self, rig: Iterable[Piece], lathes: Iterable[LatheOnHand]) -> None:
        self._links = [piece for piece in rig if piece.kind in LINK_KINDS or piece.kind == Kind.DRAWBAR]
        self._lathes = tuple(lathes)
        self._found: dict[str, list[Chain] | Missing] = {}
        self._best: dict[str, Chain] = {}

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
