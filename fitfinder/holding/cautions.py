"""What can hurt when work is held, with numbers. Each caution says where it comes from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from fitfinder.holding.pieces import LatheOnHand, Piece
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


def is_too_heavy(weight_ug: int | None) -> bool:
    """Whether it is more than one person lifts onto a spindle; what nobody weighed is not told to be."""
    return weight_ug is not None and weight_ug > practice.caution("lift alone").most * masses.UG_PER_LB


def lifting(weighed: Iterable[tuple[str, int | None]]) -> Iterator[Caution]:
    """Of what has to be lifted, by name, what is too heavy for one person:
    `K-0082 weighs 66.0 lb (29.9 kg), and K-0081, which comes off first, 46.0 lb (20.9 kg)`."""
    heavy = [(name, masses.shown(weight)) for name, weight in weighed if weight is not None and is_too_heavy(weight)]
    if not heavy:
        return
    limit = practice.caution("lift alone")
    (first, weight), *others = heavy
    words = ", ".join([f"{first} weighs {weight}", *(f"and {name} {weight}" for name, weight in others)])
    yield Caution(
        f"{words}: not one person over the bed. Board on the ways, two people or a hoist, power isolated.",
        f"working rule of {limit.most} lb for one person reaching over the bed; {limit.source}",
    )


def threaded_nose(lathe: LatheOnHand | None, pieces: Iterable[Piece]) -> Iterator[Caution]:
    on_nose = next((piece for piece in pieces if piece.mounts_in is not None and piece.mounts_in.is_thread), None)
    if lathe is not None and on_nose is not None:
        yield Caution(
            f"{lathe.name} has a threaded nose: {on_nose.tag} can unscrew. No reverse under power, no hard braking; "
            "check the register.",
            COMMON,
        )


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
