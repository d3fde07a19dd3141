"""What holds work along its axis and how long that is: the jaws of a chuck, a bore, the bearing of a collet."""

from __future__ import annotations

from enum import Enum, auto
from functools import cache
from itertools import pairwise

from msgspec import Struct

from fitfinder.holding.pieces import CHUCK_KINDS, ColletOnHand, JawsOnHand, Piece, SizeOnHand
from inventory.measures.lengths import Length
from inventory.reference import holding
from inventory.reference.bodies import Closing, Dimension, bodies
from inventory.reference.kinds import Kind


class Bite(Enum):
    """By which rule a grip is long enough."""

    JAWS = auto()
    BORED = auto()
    """Jaws or a bushing, bored to the work."""
    DRAW_IN = auto()
    """A collet that is drawn in."""
    NUT = auto()
    """A collet that a nut closes: ER."""
    OTHER = auto()


class Bearing(Struct, frozen=True, gc=False):
    """What holds the work along its axis. `length` is None where it is not known; it `is_typical` where nobody entered
    it."""

    by: Bite
    length: Length | None = None
    is_typical: bool = True
    of: str = ""
    """The tag of the piece, or the code of its series."""


def of_jaws(chuck: Piece, jaws: JawsOnHand | None, *, is_bored: bool = False) -> Bearing:
    """By these jaws, or by those that are in the chuck."""
    entered = jaws.jaw_length if jaws is not None and not jaws.is_in else chuck.jaw_length
    by = Bite.BORED if is_bored else Bite.JAWS
    across = chuck.body or chuck.outside_largest
    typical = None if across is None else typical_jaw_length(across)
    return Bearing(by, entered or typical, is_typical=entered is None, of=chuck.tag)


def of_piece(piece: Piece, jaws: JawsOnHand | None = None, *, is_bored: bool = False) -> Bearing:
    """Of what holds the work."""
    if piece.kind in CHUCK_KINDS:
        return of_jaws(piece, jaws, is_bored=is_bored)
    if piece.kind == Kind.STEP_COLLET:
        return Bearing(Bite.OTHER, piece.step_depth, is_typical=False, of=piece.tag)
    if isinstance(piece, ColletOnHand) and piece.size.closing:
        return _of_own_series(piece.size)
    return of_series(piece.series or "")


def _of_own_series(size: SizeOnHand) -> Bearing:
    """Of a series of the shop's own: under a nut by its whole length, as ER does; of others nobody has said."""
    if size.closing == Closing.NUT and size.length is not None:
        return Bearing(Bite.NUT, size.length, of=size.series)
    return Bearing(Bite.OTHER)


@cache
def of_series(code: str) -> Bearing:
    """Of the collets of a series."""
    drawn = holding.maybe(f"collet.bearing.{code}")
    if drawn is not None:
        return Bearing(Bite.DRAW_IN, drawn.length, of=code)
    body = next((one for one in bodies() if one.code == code), None)
    closing = body.figure(Dimension.CLOSING) if body is not None else None
    length = body.figure(Dimension.LENGTH) if body is not None else None
    if closing is None or length is None or closing.value is not Closing.NUT:
        return Bearing(Bite.OTHER)
    assert isinstance(length.value, Length)
    return Bearing(Bite.NUT, length.value, of=code)


def typical_jaw_length(body: Length) -> Length:
    """How long the step or face of a jaw is that touches the work, by the size of the chuck; between the sizes of the
    table by what lies between, beyond them as at its ends."""
    table = _step_lengths()
    if body <= table[0][0]:
        return table[0][1]
    for (low, short), (high, long) in pairwise(table):
        if body <= high:
            return Length(short.nm + (long.nm - short.nm) * (body.nm - low.nm) // (high.nm - low.nm))
    return table[-1][1]


@cache
def _step_lengths() -> tuple[tuple[Length, Length], ...]:
    """By the size of the chuck, the smallest first."""
    return tuple((Length.inches(size), holding.length(f"jaw.step_length.{size}in")) for size in (4, 6, 8, 10, 12))
