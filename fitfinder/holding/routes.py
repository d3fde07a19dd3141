"""How the lathes in question come to a seat, whatever the stock: found once for each, when it is asked for.

One order for all that mounts in a seat: Find and Plan take the same way to it.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence

from fitfinder.holding.chains import Chain, Links, Missing
from fitfinder.holding.pieces import LINK_KINDS, CribNow, LatheOnHand, Piece
from fitfinder.holding.runout import NOT_IN_THE_WAY, UNKNOWN
from inventory.reference.kinds import Kind

_LINKS = LINK_KINDS | {Kind.DRAWBAR}


def routes_of(crib: CribNow) -> Routes:
    """Those of all lathes in question."""
    read_in = {piece.tir_in_holder for piece in crib.collets}
    links = worth_trying([piece for piece in crib.rig if piece.kind in _LINKS], read_in=read_in)
    return Routes(crib.lathes, Links(links))


class Routes:
    """From the code of a seat to the ways to it by these links, which many pieces share."""

    def __init__(self, lathes: Sequence[LatheOnHand], links: Links) -> None:
        self._lathes = lathes
        self._links = links
        self._ways_by_seat: dict[tuple[str, bool], list[Chain] | Missing] = {}
        self._best: dict[tuple[str, bool], Chain | Missing] = {}

    def on(self, *lathes: LatheOnHand | None) -> Routes:
        """Those of these lathes alone."""
        return Routes([lathe for lathe in lathes if lathe is not None], self._links)

    def __call__(self, seat: str, is_drawn: bool = False) -> list[Chain]:
        """All ways to the seat; for what a drawbar closes there, each with its drawbar."""
        chains = self._ways_to(seat, is_drawn)
        return [] if isinstance(chains, Missing) else chains

    def missing(self, seat: str, is_drawn: bool = False) -> Missing | None:
        """Which link is missing to the seat; None where there is a way."""
        chains = self._ways_to(seat, is_drawn)
        return chains if isinstance(chains, Missing) else None

    def are_there(self, seat: str, is_drawn: bool = False) -> bool:
        """Whether what mounts in this seat can be used at all."""
        return not isinstance(self._ways_to(seat, is_drawn), Missing)

    def best(self, seat: str, is_drawn: bool = False) -> Chain:
        """The way that is best for all that lies in its drawer; only for a seat that there is a way to."""
        best = self.best_or_missing(seat, is_drawn)
        assert not isinstance(best, Missing), f"no way to {seat}"
        return best

    def best_or_missing(self, seat: str, is_drawn: bool = False) -> Chain | Missing:
        """The same, or which link is missing."""
        key = (seat, is_drawn)
        if key not in self._best:
            chains = self._ways_to(seat, is_drawn)
            self._best[key] = chains if isinstance(chains, Missing) else best_chain(chains)
        return self._best[key]

    def _ways_to(self, seat: str, is_drawn: bool) -> list[Chain] | Missing:
        key = (seat, is_drawn)
        if key not in self._ways_by_seat:
            self._ways_by_seat[key] = self._links.ways_to(seat, self._lathes, is_drawn=is_drawn)
        return self._ways_by_seat[key]


def worth_trying(links: Iterable[Piece], *, read_in: Container[int | None]) -> list[Piece]:
    """The links without those that another one replaces which is as good in everything that ways are ranked by.

    A shop has a sleeve, a drawbar and a closer for each of its lathes, and each goes with each: with twenty lathes that
    are many thousand ways, of which all but a few dozen are worse than another. What a collet was read in stays.
    """
    groups: dict[tuple[object, ...], list[Piece]] = {}
    for piece in sorted(links, key=lambda piece: (*_cost(piece), piece.tag)):
        alike = groups.setdefault((piece.kind, piece.mounts_in, piece.offers, piece.mounted_on, piece.why_not), [])
        if piece.id in read_in or not any(_is_as_good(other, piece) for other in alike):
            alike.append(piece)
    return sorted(
        (piece for alike in groups.values() for piece in alike), key=lambda piece: (piece.condition, piece.tag)
    )


def _cost(piece: Piece) -> tuple[bool, bool, bool, int]:
    """What it adds to a way: a link that is wanted elsewhere, a worn one, an open run-out, and what is known of it."""
    tir = None if piece.kind in NOT_IN_THE_WAY else piece.tir
    return piece.is_wanted, piece.condition != "good", tir is None, tir.nm if tir is not None else 0


def _is_as_good(one: Piece, other: Piece) -> bool:
    return all(ours <= theirs for ours, theirs in zip(_cost(one), _cost(other), strict=True))


def best_chain(chains: Iterable[Chain]) -> Chain:
    """For all pieces of a seat that lie in their drawer and were read in no holder of a chain: checked, in good
    condition, known, true, the least change."""
    return min(chains, key=_way)


def _way(chain: Chain) -> tuple[bool | int | tuple[str, ...], ...]:
    run = chain.runout
    return (
        *standing(chain),
        run.basis == UNKNOWN,
        run.known.nm,
        chain.to_be_fitted,
        tuple(link.tag for link in chain.links),
    )


def standing(chain: Chain) -> tuple[bool, bool, bool]:
    """Unchecked after checked, what another job wants after what is free, a worn link after good ones."""
    return not chain.is_checked, chain.is_wanted, chain.is_worn
