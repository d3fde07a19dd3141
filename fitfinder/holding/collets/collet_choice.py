"""The collets over the stock: those that grip it, those that would and cannot be used, make-dos, those beside it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from fitfinder.holding import verdicts
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.collets import ranking
from fitfinder.holding.collets.collet_grips import ColletGrip, collet_grip
from fitfinder.holding.pieces import ColletOnHand, Piece, SizeOnHand
from fitfinder.holding.routes import Routes
from fitfinder.holding.stock import Stock, StockShape
from fitfinder.holding.verdicts import Verdict
from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length


class LeftOut(Struct, frozen=True, kw_only=True, gc=False):
    """A piece that would hold the stock but cannot be used now, and why; where it is out, to whom, since and until
    when."""

    tag: str
    name: str
    why: str
    location: str
    size: SizeOnHand | None = None
    lacks_link: bool = False
    out: Piece | None = None
    """It, or the link that it lacks, where somebody has that."""
    is_lost: bool = False

    @property
    def is_lent(self) -> bool:
        """Whether all that is to be done is to ask the person who has it."""
        return self.out is not None and self.out.is_lent

    @property
    def who(self) -> str:
        return self.out.lent_to if self.out is not None else ""

    @property
    def since(self) -> date | None:
        return self.out.lent_since if self.out is not None else None

    @property
    def due(self) -> date | None:
        return self.out.due_back if self.out is not None else None

    @property
    def sentence(self) -> str:
        """`C-0024 would hold it, but is damaged`; of a missing link: `…, but no closer for 5C on Lathe 2`."""
        return f"{self.tag} would hold it, but {'' if self.lacks_link else 'is '}{self.why}"


class Nearest(Struct, frozen=True, kw_only=True, gc=False):
    """A size on hand that does not hold the stock, and by how much it misses (above zero: stock too big)."""

    tag: str
    series: str
    nominal: Length
    misses_by: Length


def by_size(collets: Iterable[ColletOnHand]) -> list[tuple[SizeOnHand, list[ColletOnHand]]]:
    """The pieces of each size together."""
    sizes: dict[int, tuple[SizeOnHand, list[ColletOnHand]]] = {}
    for collet in collets:
        sizes.setdefault(collet.size.id, (collet.size, []))[1].append(collet)
    return list(sizes.values())


def collet_grips(
    stock: Stock, collets: Iterable[ColletOnHand], routes: Routes, *, asked: Length | None
) -> tuple[list[ColletGrip], list[LeftOut]]:
    """The best grip of each collet that can be used, best first; and what would hold the stock but cannot be used, the
    size nearest to the stock first."""
    grips: list[ColletGrip] = []
    left_out: list[LeftOut] = []
    for size, pieces in by_size(collets):
        fit = verdicts.fit(stock.band, size.reach)
        if size.shape != stock.shape or fit.verdict is Verdict.DOES_NOT_HOLD:
            continue
        left_out += [collet_left_out(piece, piece.why_not) for piece in pieces if not piece.is_usable]
        usable = [piece for piece in pieces if piece.is_usable]
        if usable and not routes.are_there(size.seat, size.is_drawn):
            # What is missing is the same for all pieces of a size: it is told of the one that would be taken.
            left_out.append(without(_first(usable), [routes.missing(size.seat, size.is_drawn)]))
            continue
        for piece in usable:
            by_chain = [collet_grip(stock, piece, chain, fit, asked=asked) for chain in _chains(piece, size, routes)]
            if by_chain:
                grips.append(ranking.best_way(by_chain))
            else:
                left_out.append(collet_left_out(piece, "mounted on another lathe"))
    middle = stock.band.middle_nm
    left_out.sort(key=lambda item: _off(item, middle))
    return ranking.best_first(grips, middle_nm=middle, asked=asked is not None), left_out


def make_dos(
    stock: Stock, collets: Iterable[ColletOnHand], routes: Routes, *, asked: Length | None
) -> list[ColletGrip]:
    """Round collets that hold hex or square stock by its corners, best first, each by the way that asks least."""
    grips: list[ColletGrip] = []
    if stock.shape == StockShape.ROUND:
        return grips
    middle, is_asked = stock.band.middle_nm, asked is not None
    for size, pieces in by_size(collets):
        if (
            size.shape == stock.shape
            or size.shape != StockShape.ROUND
            or not routes.are_there(size.seat, size.is_drawn)
        ):
            continue
        fit = verdicts.fit(stock.corner_band, size.reach)
        if fit.verdict not in (Verdict.HOLDS, Verdict.AT_THE_LIMIT):
            continue
        for piece in pieces:
            chains = [
                chain for chain in routes(size.seat, size.is_drawn) if piece.is_usable and _may_be_on(piece, chain)
            ]
            by_chain = [collet_grip(stock, piece, chain, fit, asked=asked) for chain in chains]
            grips += ranking.best_first(by_chain, middle_nm=middle, asked=is_asked)[:1]
    return ranking.best_first(grips, middle_nm=middle, asked=is_asked)[: ranking.MOST_MAKE_DOS]


def nearest(stock: Stock, collets: Iterable[ColletOnHand], routes: Routes) -> list[Nearest]:
    """The sizes beside the stock of which a piece can be used, those that miss it least on either side."""
    too_small: list[tuple[int, int, Nearest]] = []
    too_large: list[tuple[int, int, Nearest]] = []
    for size, pieces in by_size(collets):
        misses_by = verdicts.misses_by(stock.band, size.reach)
        usable = [piece for piece in pieces if piece.is_usable]
        if (
            size.shape != stock.shape
            or not misses_by.nm
            or not usable
            or not routes.are_there(size.seat, size.is_drawn)
        ):
            continue
        one = Nearest(tag=_first(usable).tag, series=size.series, nominal=size.nominal, misses_by=misses_by)
        (too_small if misses_by.nm > 0 else too_large).append((abs(misses_by.nm), size.id, one))
    beside = [one for side in (too_small, too_large) for _, _, one in sorted(side)[: ranking.MOST_NEAR]]
    return sorted(beside, key=lambda near: (abs(near.misses_by), near.tag))


def _first(pieces: Iterable[ColletOnHand]) -> ColletOnHand:
    """The one that would be taken from the drawer: good before worn, then the truest, those without a reading last."""
    return min(
        pieces,
        key=lambda piece: (
            piece.is_wanted,
            not piece.is_good,
            piece.tir is None,
            piece.tir.nm if piece.tir else 0,
            piece.tag,
        ),
    )


def _chains(piece: Piece, size: SizeOnHand, routes: Routes) -> list[Chain]:
    """The routes that come into question for this piece: of what lies in its drawer the same one is always the best."""
    if piece.is_plain:
        return [routes.best(size.seat, size.is_drawn)]
    return [chain for chain in routes(size.seat, size.is_drawn) if _may_be_on(piece, chain)]


def _may_be_on(piece: Piece, chain: Chain) -> bool:
    return chain.lathe is None or piece.is_free_for(chain.lathe)


def collet_left_out(collet: ColletOnHand, why: str, *, lacks_link: bool = False, out: Piece | None = None) -> LeftOut:
    size = collet.size
    return LeftOut(
        tag=collet.tag,
        name=f"{nominal(size.nominal)} {size.shape}, {size.series}",
        why=why,
        location=collet.location,
        size=size,
        lacks_link=lacks_link,
        out=out or (collet if collet.lent_to or collet.is_lent else None),
        is_lost=collet.is_lost,
    )


def without(collet: ColletOnHand, reasons: Iterable[object]) -> LeftOut:
    """A collet that holds the stock, and what is not here or keeps it from being used."""
    reasons = list(reasons)
    out = next((one.to_fetch for one in reasons if isinstance(one, Missing) and one.to_fetch), None)
    return collet_left_out(collet, "; ".join(map(str, reasons)), lacks_link=True, out=out)


def chuck_left_out(chuck: Piece) -> LeftOut:
    return LeftOut(
        tag=chuck.tag,
        name=chuck.kind,
        why=chuck.why_not,
        location=chuck.location,
        out=chuck if chuck.lent_to or chuck.is_lent else None,
        is_lost=chuck.is_lost,
    )


def _off(item: LeftOut, middle_nm: int) -> tuple[int, int, str]:
    nm = item.size.nominal.nm if item.size is not None else 0
    return abs(nm - middle_nm), nm, item.tag
