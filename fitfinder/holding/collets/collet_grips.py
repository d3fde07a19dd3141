"""Collets, fixed or bored here: stock in the hole that is made for it, or a make-do by its corners."""

from __future__ import annotations

from collections.abc import Iterator

from fitfinder.holding import runout
from fitfinder.holding.chains import Chain
from fitfinder.holding.collets.grips import GripOfStock, marked_speed, wanted_pieces, worn_links
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import ColletOnHand, SizeOnHand
from fitfinder.holding.rules.cautions import Caution
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Fit, Reach
from inventory.measures.length_words import nominal, span
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind


class ColletGrip(GripOfStock, frozen=True, kw_only=True, gc=False):
    """Stock in a collet."""

    piece: ColletOnHand
    reach: Reach
    cautions: tuple[Caution, ...] = ()

    @property
    def size(self) -> SizeOnHand:
        return self.piece.size

    @property
    def name(self) -> str:
        """`3/4 round, 5C`."""
        bored = ", bored blank" if self.is_bored else ""
        return f"{nominal(self.nominal)} {self.size.shape}, {self.size.series}{bored}"

    @property
    def nominal(self) -> Length:
        return self.piece.size.nominal

    @property
    def is_bored(self) -> bool:
        """Whether it is a machinable collet that was bored here."""
        return self.piece.kind == Kind.MACHINABLE_COLLET

    @property
    def is_by_corners(self) -> bool:
        return self.held_on != self.size.shape

    @property
    def is_at_nominal(self) -> bool:
        """Whether the stock measures just what is marked on the collet."""
        return self.held.smallest == self.held.largest == self.nominal

    @property
    def reasons(self) -> tuple[str, ...]:
        """What speaks for it and against it."""
        return tuple(_reasons(self))


def collet_grip(stock: Stock, collet: ColletOnHand, chain: Chain, fit: Fit, *, asked: Length | None) -> ColletGrip:
    """Stock in a collet; `fit` is how its size fits it, by its flats or, square and hex stock in a round one, by its
    corners. It is the same for all pieces of the size."""
    run = _runout(collet, chain)
    return ColletGrip(
        method=Method.COLLET,
        piece=collet,
        chain=chain,
        reach=collet.size.reach,
        held=fit.band,
        held_on=stock.shape,
        verdict=fit.verdict,
        margin=fit.margin,
        in_true_zone=fit.in_true_zone,
        runout=run,
        meets_tir=_meets(run, asked, fit.in_true_zone),
        bar=stock.across_corners,
    )


def _runout(collet: ColletOnHand, chain: Chain) -> runout.Runout:
    if collet.kind == Kind.MACHINABLE_COLLET and collet.tir is None:
        return runout.restarted(f"{collet.tag}, bored in place", None)
    return chain.runout_to(collet, typical=collet.size.typical_tir)


def _meets(run: runout.Runout, asked: Length | None, in_true_zone: bool) -> bool | None:
    """Outside the true zone the marked run-out is not promised: it can be known to miss, never to meet."""
    meets = run.meets(asked)
    return meets if in_true_zone or not meets else None


def _reasons(grip: ColletGrip) -> Iterator[str]:
    piece, chain = grip.piece, grip.chain
    yield f"grips {span(grip.reach.smallest, grip.reach.largest)}"
    if grip.is_by_corners:
        yield f"a make-do: only the corners of the {grip.held_on} touch"
    if not grip.in_true_zone:
        yield "outside the zone where it runs as marked: the run-out is not promised"
    if piece.is_worn:
        yield "worn" if piece.tir is not None else "worn, without a reading"
    yield from worn_links(chain)
    yield from marked_speed(chain, piece)
    if not chain.is_checked:
        yield chain.doubt
    yield from wanted_pieces(grip.pieces)
    if piece.is_with_asker:
        yield "you have it"
    if grip.is_bored:
        yield (
            "bored here, and promised at that bore only: it runs true while it stays where it was bored; "
            "put in again, indicate it"
        )
    unknown = [part.name for part in grip.runout.parts if part.tir is None]
    if unknown:
        yield f"run-out not known of {', '.join(unknown)}"
