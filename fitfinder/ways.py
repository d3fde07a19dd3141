"""The ways from the lathes in question to each seat, found once for each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fitfinder import ranking
from fitfinder.chains import Chain, Missing, chains_to
from fitfinder.pieces import LINK_KINDS, LatheOnHand, Piece


@dataclass(frozen=True, slots=True)
class Least:
    """The least that any way to a seat costs, each figure by itself; `is_one_way` where one way has all of them."""

    is_unchecked: bool
    is_worn: bool
    to_be_fitted: int
    is_one_way: bool


class Ways:
    """From the code of a seat to the ways to it; many pieces share a seat."""

    def __init__(self, rig: Iterable[Piece], lathes: Iterable[LatheOnHand]) -> None:
        self._links = [piece for piece in rig if piece.kind in LINK_KINDS or piece.kind == "drawbar"]
        self._lathes = tuple(lathes)
        self._found: dict[str, list[Chain] | Missing] = {}
        self._best: dict[str, Chain] = {}
        self._least: dict[str, Least] = {}

    def __call__(self, seat: str) -> list[Chain] | Missing:
        """All ways to the seat, or which link is missing."""
        if seat not in self._found:
            self._found[seat] = chains_to(seat, rig=self._links, lathes=self._lathes)
        return self._found[seat]

    def are_there(self, seat: str) -> bool:
        """Whether what mounts in this seat can be used at all."""
        return not isinstance(self(seat), Missing)

    def best(self, seat: str) -> Chain:
        """The way that is best for all that lies in its drawer; only for a seat that there is a way to."""
        if seat not in self._best:
            self._best[seat] = ranking.best_chain(self(seat))
        return self._best[seat]

    def least(self, seat: str) -> Least:
        """The least that what mounts in this seat asks for; only for a seat that there is a way to."""
        if seat not in self._least:
            best, every = ranking.cost_of(self.best(seat)), [ranking.cost_of(chain) for chain in self(seat)]
            least = tuple(min(figures) for figures in zip(*every, strict=True))
            self._least[seat] = Least(*least, is_one_way=best == least)
        return self._least[seat]
