"""What the rig makes possible on the lathes in question, whatever the stock: each found once, when it is asked for."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from msgspec import Struct

from fitfinder.find import ranking
from fitfinder.holding import cautions
from fitfinder.holding.cautions import Caution
from fitfinder.holding.chains import Chain, Missing, chains_to
from fitfinder.holding.grips import Grip
from fitfinder.holding.methods import centers, chucks
from fitfinder.holding.pieces import LINK_KINDS, LatheOnHand, Piece


class Least(Struct, frozen=True):
    """The least that any way to a seat costs, each figure by itself; `is_one_way` where one way has all of them."""

    is_unchecked: bool
    is_worn: bool
    to_be_fitted: int
    is_one_way: bool


class Ways:
    """From the code of a seat to the ways to it; many pieces share a seat. And the ways to hold without a collet.

    `read_in` are the ids of the holders, and `read_on` of the lathes, that any piece was read in or on, where that is
    known: by a way with none of them no piece that lies in its drawer can be better than by the best way.
    """

    def __init__(
        self,
        rig: Iterable[Piece],
        lathes: Iterable[LatheOnHand],
        *,
        read_in: frozenset[int] | None = None,
        read_on: frozenset[int] | None = None,
    ) -> None:
        self._read_in, self._read_on = read_in, read_on
        self._rig = tuple(rig)
        self._links = [piece for piece in self._rig if piece.kind in LINK_KINDS or piece.kind == "drawbar"]
        self._lathes = tuple(lathes)
        self._found: dict[str, list[Chain] | Missing] = {}
        self._there: dict[str, bool] = {}
        self._cautions: dict[tuple[int, int | None], tuple[Caution, ...]] = {}
        self._best: dict[str, Chain] = {}
        self._least: dict[tuple[str, bool], Least] = {}

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

    def cautions_of(self, grip: Grip) -> tuple[Caution, ...]:
        """What can hurt by this grip, which goes by one of these ways."""
        if not cautions.are_of_the_way(grip):
            return cautions.for_grip(grip, rig=self.heavy)
        # The ways stay as long as this object does, so that each can be known by its id.
        key = (id(grip.chain), None if grip.method == "collet" else grip.piece.id)
        if key not in self._cautions:
            self._cautions[key] = cautions.for_grip(grip, rig=self.heavy)
        return self._cautions[key]

    def __call__(self, seat: str) -> list[Chain] | Missing:
        """All ways to the seat, or which link is missing."""
        if seat not in self._found:
            self._found[seat] = chains_to(seat, rig=self._links, lathes=self._lathes)
        return self._found[seat]

    def are_there(self, seat: str) -> bool:
        """Whether what mounts in this seat can be used at all."""
        there = self._there.get(seat)
        if there is None:
            there = self._there[seat] = not isinstance(self(seat), Missing)
        return there

    def best(self, seat: str) -> Chain:
        """The way that is best for all that lies in its drawer; only for a seat that there is a way to."""
        if seat not in self._best:
            self._best[seat] = ranking.best_chain(self(seat))
        return self._best[seat]

    def least(self, seat: str, *, by_any_way: bool = False) -> Least:
        """The least that what mounts in this seat asks for; only for a seat that there is a way to.

        By the ways that a piece in its drawer may be shown by, or by any at all.
        """
        if (seat, by_any_way) not in self._least:
            best = ranking.cost_of(self.best(seat))
            ways = [chain for chain in self(seat) if by_any_way or self._may_be_covered(chain)]
            every = [best, *(ranking.cost_of(chain) for chain in ways)]
            least = tuple(min(figures) for figures in zip(*every, strict=True))
            self._least[seat, by_any_way] = Least(*least, is_one_way=best == least)
        return self._least[seat, by_any_way]

    @property
    def may_cover_a_reading(self) -> bool:
        """Whether any piece may have been read in a holder or on a lathe of these."""
        return self._read_in is None or self._read_on is None or bool(self._read_in or self._read_on)

    def _may_be_covered(self, chain: Chain) -> bool:
        """Whether a piece may have been read in a holder of this way, or on its lathe."""
        if self._read_in is None or self._read_on is None:
            return True
        on_lathe = chain.lathe is not None and chain.lathe.id in self._read_on
        return on_lathe or any(link.id in self._read_in for link in chain.links)
