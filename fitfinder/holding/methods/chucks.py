"""Chucks: what holds the stock when no collet does, with what each gives up."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from msgspec import Struct

from fitfinder.holding import runout, verdicts
from fitfinder.holding.chains import Chain
from fitfinder.holding.grips import Grip
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import CHUCK_KINDS, LatheOnHand, Piece
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Reach, Verdict
from inventory.measures.lengths import Length
from inventory.reference import practice
from inventory.reference.kinds import Kind

METHOD_OF = {
    Kind.UNIVERSAL_CHUCK: Method.UNIVERSAL_CHUCK,
    Kind.INDEPENDENT_CHUCK: Method.INDEPENDENT_CHUCK,
}
FLATS = {"hex": 6, "square": 4, "rectangular": 2}


class SeatedChuck(Struct, frozen=True, kw_only=True, gc=False):
    """A usable chuck on a lathe whose seat it fits, with all that can be said of it before the stock is known."""

    piece: Piece
    chain: Chain
    reach: Reach
    runout: runout.Runout
    told: tuple[str, ...]


def seated_chucks(rig: Iterable[Piece], lathes: tuple[LatheOnHand, ...]) -> list[SeatedChuck]:
    """One entry for each usable chuck and each lathe whose seat it fits."""
    return [
        _seated(piece, reach, chain)
        for piece, reach in _chucks(rig)
        if piece.is_usable
        for chain in _seats(piece, lathes)
    ]


def chuck_grips(stock: Stock, chucks: Iterable[SeatedChuck], *, asked: Length | None) -> list[Grip]:
    """A grip for each of these chucks that takes the shape and the size."""
    return [_chuck_grip(stock, chuck, asked) for chuck in chucks if _takes(stock, chuck.piece, chuck.reach)]


def fitting_chucks(stock: Stock, rig: Iterable[Piece]) -> list[Piece]:
    """The chucks, in use or not, whose jaws take the shape and reach the size."""
    return [piece for piece, reach in _chucks(rig) if _takes(stock, piece, reach)]


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


def _seats(piece: Piece, lathes: tuple[LatheOnHand, ...]) -> Iterator[Chain]:
    if not lathes:
        yield Chain(lathe=None, is_checked=False, doubt="No lathe is described, so its seat is not checked.")
    for lathe in lathes:
        if not piece.is_free_for(lathe):
            continue
        if lathe.nose is None:
            yield Chain(lathe=lathe, is_checked=False, doubt=f"The nose of {lathe.name} is not described.")
        elif any(piece.mounts_on(seat) for seat in lathe.spindle_seats):
            yield Chain(lathe=lathe)


def _seated(piece: Piece, reach: Reach, chain: Chain) -> SeatedChuck:
    return SeatedChuck(
        piece=piece, chain=chain, reach=reach, runout=_runout(piece, chain), told=tuple(_reasons(piece, reach, chain))
    )


def _runout(piece: Piece, chain: Chain) -> runout.Runout:
    if piece.kind == Kind.INDEPENDENT_CHUCK:
        return runout.restarted("dialled in", typical_tir("independent 4-jaw"))
    typical = typical_tir(f"universal {piece.jaws}-jaw") or typical_tir("universal 3-jaw")
    return runout.along(chain, piece, typical=typical)


def _reasons(piece: Piece, reach: Reach, chain: Chain) -> Iterator[str]:
    yield f"holds {reach.smallest.inch_text} to {reach.largest.inch_text} in outside"
    if piece.kind == Kind.INDEPENDENT_CHUCK:
        yield "dial it in at every gripping"
    else:
        yield "re-chucked, its run-out comes in again"
    if piece.condition == "worn":
        yield "worn" if piece.tir is not None else "worn, without a reading"
    if chain.lathe is not None and piece.mounted_on == chain.lathe.id:
        yield f"on {chain.lathe.name} now"
    if not chain.is_checked:
        yield chain.doubt


def _chuck_grip(stock: Stock, chuck: SeatedChuck, asked: Length | None) -> Grip:
    return Grip(
        piece=chuck.piece,
        method=METHOD_OF[chuck.piece.kind],
        reach=chuck.reach,
        verdict=verdicts.judge(stock.band, chuck.reach),
        margin=verdicts.margin(stock.band, chuck.reach),
        in_true_zone=True,
        chain=chuck.chain,
        runout=chuck.runout,
        meets_tir=chuck.runout.meets(asked),
        bar=stock.across_corners,
        held=stock.band,
        held_on=stock.shape,
        told=chuck.told,
    )


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
