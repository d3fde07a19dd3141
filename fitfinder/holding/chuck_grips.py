"""Chucks: what holds the stock when no collet does, with what each gives up."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from fitfinder.holding import runout, verdicts
from fitfinder.holding.chains import Chain
from fitfinder.holding.grips import Grip
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import CHUCK_KINDS, LatheOnHand, Piece
from fitfinder.holding.stock import Stock, StockShape
from fitfinder.holding.verdicts import Reach, Verdict
from inventory.measures.lengths import Length
from inventory.reference import practice
from inventory.reference.kinds import Kind

_METHODS = {
    Kind.UNIVERSAL_CHUCK: Method.UNIVERSAL_CHUCK,
    Kind.INDEPENDENT_CHUCK: Method.INDEPENDENT_CHUCK,
}
FLATS: dict[str, int] = {StockShape.HEX: 6, StockShape.SQUARE: 4, StockShape.FLAT: 2}


class ChuckGrip(Grip, frozen=True, kw_only=True, gc=False):
    """Stock in the jaws of a chuck, from outside."""

    @property
    def reasons(self) -> tuple[str, ...]:
        return tuple(_reasons(self))


def chuck_grips(
    stock: Stock, rig: Iterable[Piece], lathes: Sequence[LatheOnHand], *, asked: Length | None
) -> list[ChuckGrip]:
    """A grip for each usable chuck that takes the shape and the size, on each lathe whose seat it fits."""
    return [
        _grip(stock, piece, reach, chain, asked)
        for piece, reach in _chucks(rig)
        if piece.is_usable and _takes(stock, piece, reach)
        for chain in _seats(piece, lathes)
    ]


def unusable_chucks(stock: Stock, rig: Iterable[Piece]) -> list[Piece]:
    """The chucks that would take the shape and the size, and are out, damaged or missing."""
    return [piece for piece, reach in _chucks(rig) if not piece.is_usable and _takes(stock, piece, reach)]


def _chucks(rig: Iterable[Piece]) -> Iterator[tuple[Piece, Reach]]:
    """Each chuck of which is known what it takes, and what that is."""
    for piece in rig:
        if piece.kind in CHUCK_KINDS and not piece.lacks and piece.outside is not None:
            yield piece, piece.outside


def _takes(stock: Stock, chuck: Piece, reach: Reach) -> bool:
    return takes_shape(chuck, stock.shape) and verdicts.judge(stock.band, reach) is not Verdict.DOES_NOT_HOLD


def takes_shape(chuck: Piece, shape: str) -> bool:
    """Whether its jaws take stock of this shape; independent jaws take any."""
    if chuck.kind == Kind.INDEPENDENT_CHUCK or shape not in FLATS:
        return True
    return chuck.jaws is not None and flats_sit(chuck.jaws, shape)


def flats_sit(jaws: int, shape: str) -> bool:
    """Whether every jaw of a self-centering chuck meets a flat: the jaw count divides the flats.

    Round sits in any. Common practice; of a rectangle only two opposite flats are alike. A hex in four jaws is a
    make-do and not counted.
    """
    return shape not in FLATS or FLATS[shape] % jaws == 0


def _seats(piece: Piece, lathes: Sequence[LatheOnHand]) -> Iterator[Chain]:
    if not lathes:
        yield Chain(lathe=None, is_checked=False, doubt="No lathe is described, so its seat is not checked.")
    for lathe in lathes:
        if not piece.is_free_for(lathe):
            continue
        if lathe.nose is None:
            yield Chain(lathe=lathe, is_checked=False, doubt=f"The nose of {lathe.name} is not described.")
        elif any(piece.mounts_on(seat) for seat in lathe.spindle_seats):
            yield Chain(lathe=lathe)


def _grip(stock: Stock, piece: Piece, reach: Reach, chain: Chain, asked: Length | None) -> ChuckGrip:
    run = _runout(piece, chain)
    return ChuckGrip(
        method=_METHODS[piece.kind],
        piece=piece,
        chain=chain,
        reach=reach,
        held=stock.band,
        held_on=stock.shape,
        verdict=verdicts.judge(stock.band, reach),
        margin=verdicts.margin(stock.band, reach),
        runout=run,
        meets_tir=run.meets(asked),
        bar=stock.across_corners,
    )


def _runout(piece: Piece, chain: Chain) -> runout.Runout:
    if piece.kind == Kind.INDEPENDENT_CHUCK:
        return runout.restarted("dialled in", typical_tir("independent 4-jaw"))
    return chain.runout_to(piece, typical=typical_of_jaws(piece.jaws))


def _reasons(grip: ChuckGrip) -> Iterator[str]:
    piece, lathe = grip.piece, grip.chain.lathe
    yield f"holds {grip.reach.smallest.inch_text} to {grip.reach.largest.inch_text} in outside"
    if piece.kind == Kind.INDEPENDENT_CHUCK:
        yield "dial it in at every gripping"
    else:
        yield "re-chucked, its run-out comes in again"
    if piece.is_worn:
        yield "worn" if piece.tir is not None else "worn, without a reading"
    if lathe is not None and grip.is_mounted:
        yield f"on {lathe.name} now"
    if not grip.chain.is_checked:
        yield grip.chain.doubt


def typical_of_jaws(jaws: int | None) -> Length | None:
    """What a universal chuck of so many jaws typically runs out; three where no figure is on file, or none is told."""
    return typical_tir(f"universal {jaws}-jaw") or typical_tir("universal 3-jaw")


def typical_tir(method: str) -> Length | None:
    """What a method typically runs out by common practice; None where no figure is on file."""
    try:
        return practice.run_out(method).typical
    except KeyError:
        return None


def parts_until_collet_is_quicker() -> int:
    """Up to how many parts a chuck that is on the lathe now beats fitting a closer and a collet.

    From the working minutes of common practice: fitting costs once, the chuck costs more for each part.
    """
    fit = _minutes("closer fit") + _minutes("collet change")
    per_part = _minutes("universal chuck") - _minutes("collet")
    return int(fit / per_part)


def _minutes(step: str) -> Fraction:
    minutes = practice.minutes(step).typical
    assert minutes is not None, f"practice.csv has typical minutes for {step}"
    return minutes
