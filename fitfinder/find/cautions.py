"""What can hurt in one way to hold, from the numbers of this set-up; silent where nothing calls for it."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from fitfinder.holding import lifting
from fitfinder.holding.cautions import COMMON, Caution, jaws_near_their_end, threaded_nose
from fitfinder.holding.grips import Grip
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import IN_THE_SPINDLE, Piece
from fitfinder.holding.verdicts import Verdict
from inventory.measures.lengths import named

_CHUCKS = (Method.UNIVERSAL_CHUCK, Method.INDEPENDENT_CHUCK)


def cautions_of(grip: Grip, rig: Collection[Piece] = ()) -> tuple[Caution, ...]:
    """`rig` is what is on hand: what is on the lathe's nose now may have to come off first."""
    return (
        *_size(grip),
        *_lifting(grip, rig),
        *_jaws(grip),
        *_corners(grip),
        *threaded_nose(grip.chain.lathe, grip.pieces),
        *_speed(grip),
        *_short_work(grip),
    )


def _size(grip: Grip) -> Iterator[Caution]:
    if grip.method is not Method.COLLET:
        return
    tag = grip.piece.tag
    if grip.verdict is Verdict.MEASURE_FIRST:
        low, high = grip.reach.smallest.inch_text, grip.reach.largest.inch_text
        yield Caution(
            f"Mic it first: close {tag} only on stock from {low} to {high} in. Closed on less it takes a set or "
            "breaks; never force more in.",
            COMMON,
        )
    if grip.verdict is Verdict.AT_THE_LIMIT and grip.margin.nm >= 0:
        near = f"{named(grip.margin)} in from" if grip.margin.nm else "Exactly at"
        yield Caution(f"{near} the limit of {tag}: mic the bar along the gripped length.", COMMON)


def _lifting(grip: Grip, rig: Collection[Piece]) -> Iterator[Caution]:
    """A chuck or holder that is to be lifted onto the spindle; one that is on it already needs no lifting."""
    here = grip.chain.lathe.id if grip.chain.lathe else None
    on = [piece for piece in grip.pieces if here is None or piece.mounted_on != here]
    off = _coming_off(grip, rig)
    found = lifting.caution(lifting.lifted(on, off, None))
    if found is not None:
        yield found


def _coming_off(grip: Grip, rig: Collection[Piece]) -> list[Piece]:
    """What heavy is on the nose now and has to make room for this way."""
    lathe = grip.chain.lathe
    if lathe is None or lathe.nose is None:
        return []
    heavy = [
        piece for piece in rig if piece.mounted_on == lathe.id and piece.mounts_on(lathe.nose) and _is_heavy(piece)
    ]
    # A collet chuck in the headstock taper stands where a chuck on the nose would be.
    needs_the_nose = heavy and any(
        piece.mounted_on != lathe.id
        and (piece.mounts_on(lathe.nose) or (piece.kind in IN_THE_SPINDLE and piece.mounts_on(lathe.headstock_taper)))
        for piece in grip.pieces
    )
    return [piece for piece in heavy if piece not in grip.pieces] if needs_the_nose else []


def _is_heavy(piece: Piece) -> bool:
    return any(one.lift is not lifting.Lift.ALONE for one in lifting.lifted([piece], [], None))


def _jaws(grip: Grip) -> list[Caution]:
    if grip.method not in _CHUCKS:
        return []
    return jaws_near_their_end(grip.piece.tag, held=grip.held.largest, largest=grip.reach.largest)


def _corners(grip: Grip) -> Iterator[Caution]:
    if grip.is_by_corners:
        yield Caution("Only the corners touch: they mark, and the grip is weak. Light cuts, low speed.", COMMON)


def _speed(grip: Grip) -> Iterator[Caution]:
    marked = [(piece.max_rpm, piece) for piece in grip.pieces if piece.max_rpm is not None]
    if marked and grip.method is not Method.COLLET:
        rpm, slowest = min(marked, key=lambda pair: pair[0])
        yield Caution(f"{slowest.tag} is marked {rpm} rpm at most.", "marking on the piece")


def _short_work(grip: Grip) -> Iterator[Caution]:
    if grip.passes_through is False and grip.method is Method.COLLET:
        yield Caution("Short work only: this bar does not pass through all of the way.", "through-holes of the pieces")
