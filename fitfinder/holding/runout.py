"""How truly a grip runs: the sum of its links, worst case.

TIR is the full swing of the indicator; the axis is off by half of it. A link is measured before typical before
unknown, and one unknown link leaves the sum unknown.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from msgspec import Struct

from fitfinder.holding.pieces import LatheOnHand, Piece
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind


class Basis(StrEnum):
    """What a run-out rests on; the order is from best to worst."""

    MEASURED = "measured"
    TYPICAL = "typical"
    UNKNOWN = "unknown"


MEASURED, TYPICAL, UNKNOWN = Basis
_ORDER = {basis: place for place, basis in enumerate(Basis)}


class Part(Struct, frozen=True, gc=False):
    """One link's share: its name, its TIR (None where unknown) and what that rests on."""

    name: str
    tir: Length | None
    basis: Basis


class Runout(Struct, frozen=True, gc=False):
    """The links' shares from the spindle outward, and their sum."""

    parts: tuple[Part, ...]
    known: Length
    """The sum of what is known; the whole can only be more."""
    basis: Basis
    """The weakest of the parts' bases."""

    @classmethod
    def of(cls, *parts: Part) -> Runout:
        known = Length(sum([part.tir.nm for part in parts if part.tir is not None]))
        return cls(parts, known, max([part.basis for part in parts], key=_ORDER.__getitem__, default=UNKNOWN))

    def and_then(self, part: Part) -> Runout:
        """With one link more, the farthest out."""
        known = self.known if part.tir is None else Length(self.known.nm + part.tir.nm)
        basis = self.basis if _ORDER[self.basis] >= _ORDER[part.basis] else part.basis
        return Runout((*self.parts, part), known, basis)

    @property
    def total(self) -> Length | None:
        return None if self.basis == UNKNOWN else self.known

    @property
    def axis_off(self) -> Length | None:
        """Half of the TIR, rounded up to the nanometre."""
        return None if self.total is None else Length((self.total.nm + 1) // 2)

    def meets(self, asked: Length | None) -> bool | None:
        """Whether it runs within `asked`: None where nothing was asked or an unknown link leaves it open."""
        if asked is None:
            return None
        if self.known > asked:
            return False
        return None if self.basis == UNKNOWN else True


def of_links(lathe: LatheOnHand | None, links: Iterable[Piece]) -> Runout:
    """The share of the nose and the holders, without what holds the work."""
    return Runout.of(_nose(lathe), *_holders(links))


def with_reading(lathe: LatheOnHand | None, links: Iterable[Piece], share: Part, piece: Piece) -> Runout:
    """A reading of `piece` that was taken in a holder of the way, or on the lathe itself, covers that holder or the
    nose."""
    covers_nose = lathe is not None and piece.tir_on_lathe == lathe.id
    holders = _holders(link for link in links if link.id != piece.tir_in_holder)
    return Runout.of(*([] if covers_nose else [_nose(lathe)]), *holders, share)


def restarted(name: str, typical: Length | None) -> Runout:
    """Where something is dialled in or cut in place, what lies before it no longer counts."""
    return Runout.of(Part(name, typical, UNKNOWN if typical is None else TYPICAL))


NOT_IN_THE_WAY = frozenset({Kind.DRAWBAR, Kind.BACKPLATE})
"""A drawbar only draws; a backplate was turned true in its place, and the chuck was read on it."""


def _nose(lathe: LatheOnHand | None) -> Part:
    if lathe is None:
        return Part("spindle nose", None, UNKNOWN)
    return Part(f"{lathe.name} nose", lathe.nose_tir, UNKNOWN if lathe.nose_tir is None else MEASURED)


def _holders(links: Iterable[Piece]) -> list[Part]:
    return [share_of(link, typical=None) for link in links if link.kind not in NOT_IN_THE_WAY]


def share_of(piece: Piece, *, typical: Length | None) -> Part:
    if piece.tir is not None:
        return Part(piece.tag, piece.tir, MEASURED)
    # Worn without a reading is anyone's guess: what is typical of good ones does not count.
    if typical is not None and piece.condition == "good":
        return Part(piece.tag, typical, TYPICAL)
    return Part(piece.tag, None, UNKNOWN)
