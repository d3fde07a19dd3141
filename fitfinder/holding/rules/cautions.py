"""What can hurt when work is held, with numbers. Each caution says where it comes from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from fitfinder.holding.pieces import LatheOnHand, Piece
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import Length
from inventory.reference import holding, practice

COMMON = "common practice, no source"


class Caution(Struct, frozen=True, gc=False):
    text: str
    source: str


DEFER = Caution(
    "The machine and chuck makers' manuals, local codes and qualified people come before this answer.",
    "rule of this book",
)


def threaded_nose(lathe: LatheOnHand | None, pieces: Iterable[Piece]) -> Iterator[Caution]:
    on_nose = next((piece for piece in pieces if piece.mounts_in is not None and piece.mounts_in.is_thread), None)
    if lathe is not None and on_nose is not None:
        yield Caution(
            f"{lathe.name} has a threaded nose: {on_nose.tag} can unscrew. No reverse under power, no hard braking; "
            "check the register.",
            COMMON,
        )


def is_near_the_end(held: Length, largest: Length) -> bool:
    """Whether jaws hold stock in the last tenth of what they reach."""
    share = holding.value("jaws.range_end_share")
    return (largest.nm - held.nm) * share.denominator < share.numerator * largest.nm


def jaws_near_their_end(tag: str, *, held: Length, largest: Length) -> list[Caution]:
    """Where the jaws of this chuck hold stock in the last tenth of what they reach."""
    if not is_near_the_end(held, largest):
        return []
    left = largest - held
    overhang = practice.caution("jaw outside the body")
    where = f"{in_unit(left)} from" if left.nm > 0 else "at"
    return [
        Caution(
            f"The jaws of {tag} are {where} the end of their range: no jaw more than a "
            "third of its length outside the body, or turn the jaws round.",
            overhang.source,
        )
    ]
