"""What can hurt, from the numbers of this set-up. Each says where it comes from."""

from __future__ import annotations

from msgspec import Struct

from fitfinder.holding.pieces import CHUCK_KINDS, IN_THE_SPINDLE
from inventory.measures import masses
from inventory.measures.lengths import Length, named
from inventory.reference import practice

COMMON = "common practice, no source"


class Caution(Struct, frozen=True, gc=False):
    text: str
    source: str


DEFER = Caution(
    "The machine and chuck makers' manuals, local codes and qualified people come before this answer.",
    "rule of this book",
)


def for_grip(grip, *, rig=()) -> tuple[Caution, ...]:
    """The cautions of one way to hold; none where nothing in it calls for one.

    `rig` is all that is on hand: what is on the lathe's nose now may have to come off first.
    """
    found = []
    found += _size(grip)
    found += _weight(grip, rig)
    found += _jaws(grip)
    found += _corners(grip)
    found += _thread(grip)
    found += _speed(grip)
    found += _short_work(grip)
    return tuple(found)


def _size(grip) -> list[Caution]:
    if grip.method != "collet":
        return []
    if grip.verdict == "measure first":
        low, high = grip.reach.smallest.inch_text, grip.reach.largest.inch_text
        return [
            Caution(
                f"Mic it first: close {grip.piece.tag} only on stock from {low} to {high} in. Closed on less it takes "
                "a set or breaks; never force more in.",
                COMMON,
            )
        ]
    if grip.verdict == "at the limit" and grip.margin.nm >= 0:
        near = f"{named(grip.margin)} in from" if grip.margin.nm else "Exactly at"
        return [
            Caution(
                f"{near} the limit of {grip.piece.tag}: mic the bar along the gripped length.",
                COMMON,
            )
        ]
    return []


def _weight(grip, rig) -> list[Caution]:
    """A chuck or holder that is to be lifted onto the spindle; one that is on it already needs no lifting."""
    if not rig and all(piece.weight_ug is None for piece in (*grip.chain.links, grip.piece)):
        return []
    limit = practice.caution("lift alone")
    pounds = limit.most
    here = grip.chain.lathe.id if grip.chain.lathe else None
    heavy = [
        piece
        for piece in (*grip.chain.links, grip.piece)
        if piece.weight_ug is not None
        and piece.weight_ug > pounds * masses.UG_PER_LB
        and (here is None or piece.mounted_on != here)
    ]
    coming_off = _coming_off(grip, rig, pounds)
    if not heavy and not coming_off:
        return []
    return [
        Caution(
            f"{_weights(heavy, coming_off)}: not one person over the bed. Board on the ways, two people or a hoist, "
            "power isolated.",
            f"working rule of {pounds} lb for one person reaching over the bed; {limit.source}",
        )
    ]


def _weights(heavy, coming_off) -> str:
    """`K-0082 weighs 66.0 lb (29.9 kg), and K-0081, which comes off first, 46.0 lb (20.9 kg)`."""
    named_pieces = [(piece.tag, piece) for piece in heavy]
    named_pieces += [(f"{piece.tag}, which comes off first,", piece) for piece in coming_off]
    (first, piece), *others = named_pieces
    words = [f"{first} weighs {masses.shown(piece.weight_ug)}"]
    words += [f"and {name} {masses.shown(piece.weight_ug)}" for name, piece in others]
    return ", ".join(words)


def heavy_on_lathes(rig) -> list:
    """What of the rig is on a lathe and too heavy to be lifted off alone: all of it that `for_grip` looks for."""
    weighed = [piece for piece in rig if piece.mounted_on is not None and piece.weight_ug is not None]
    if not weighed:
        return []
    limit = practice.caution("lift alone")
    most = limit.most * masses.UG_PER_LB
    return [piece for piece in weighed if piece.weight_ug > most]


def _coming_off(grip, rig, pounds) -> list:
    """What heavy is on the nose now and has to make room for this way."""
    lathe = grip.chain.lathe
    if not rig or lathe is None or lathe.nose is None:
        return []
    ours = (*grip.chain.links, grip.piece)
    needs_nose = any(
        piece.mounts_in and piece.mounts_in.code == lathe.nose.code and piece.mounted_on != lathe.id for piece in ours
    )
    # A collet chuck in the headstock taper stands where a chuck on the nose would be.
    head = lathe.headstock_taper
    needs_nose = (
        needs_nose
        or head is not None
        and any(
            piece.kind in IN_THE_SPINDLE
            and piece.mounts_in
            and piece.mounts_in.code == head.code
            and piece.mounted_on != lathe.id
            for piece in ours
        )
    )
    return [
        piece
        for piece in rig
        if needs_nose
        and piece not in ours
        and piece.mounted_on == lathe.id
        and piece.mounts_in is not None
        and piece.mounts_in.code == lathe.nose.code
        and piece.weight_ug is not None
        and piece.weight_ug > pounds * masses.UG_PER_LB
    ]


def _jaws(grip) -> list[Caution]:
    if grip.method not in CHUCK_KINDS:
        return []
    return jaws_near_their_end(grip.piece.tag, held=grip.held.largest, largest=grip.reach.largest)


def jaws_near_their_end(tag: str, *, held: Length, largest: Length) -> list[Caution]:
    """Where the jaws of this chuck hold stock within a tenth of the largest that they reach."""
    left = largest - held
    if left * 10 >= largest:
        return []
    overhang = practice.caution("jaw outside the body")
    where = f"{named(left)} in from" if left.nm > 0 else "at"
    return [
        Caution(
            f"The jaws of {tag} are {where} the end of their range: no jaw more than a "
            "third of its length outside the body, or turn the jaws round.",
            overhang.source,
        )
    ]


def _corners(grip) -> list[Caution]:
    if grip.method != "collet" or grip.held_on == grip.piece.size.shape:
        return []
    return [Caution("Only the corners touch: they mark, and the grip is weak. Light cuts, low speed.", COMMON)]


def _thread(grip) -> list[Caution]:
    lathe = grip.chain.lathe
    on_nose = [piece for piece in (*grip.chain.links, grip.piece) if piece.mounts_in and piece.mounts_in.is_thread]
    if lathe is None or not on_nose:
        return []
    return [
        Caution(
            f"{lathe.name} has a threaded nose: {on_nose[0].tag} can unscrew. No reverse under power, no hard braking; "
            "check the register.",
            COMMON,
        )
    ]


def _speed(grip) -> list[Caution]:
    marked = [piece for piece in (*grip.chain.links, grip.piece) if piece.max_rpm is not None]
    if not marked or grip.method == "collet":
        return []
    slowest = min(marked, key=lambda piece: piece.max_rpm)
    return [Caution(f"{slowest.tag} is marked {slowest.max_rpm} rpm at most.", "marking on the piece")]


def _short_work(grip) -> list[Caution]:
    if grip.passes_through is not False or grip.method != "collet":
        return []
    return [Caution("Short work only: this bar does not pass through all of the way.", "through-holes of the pieces")]
