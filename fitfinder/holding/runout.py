"""How truly a grip runs: the sum of its links, worst case.

TIR is the full swing of the indicator; the axis is off by half of it. A link is measured before typical before
unknown, and one unknown link leaves the sum unknown.
"""

from __future__ import annotations

from msgspec import Struct

from fitfinder.holding.chains import Chain
from fitfinder.holding.pieces import Piece
from inventory.measures.lengths import Length

MEASURED, TYPICAL, UNKNOWN = "measured", "typical", "unknown"
_ORDER = (MEASURED, TYPICAL, UNKNOWN)


class Part(Struct, frozen=True, gc=False):
    """One link's share: its name, its TIR (None where unknown) and what that rests on."""

    name: str
    tir: Length | None
    basis: str


class Runout(Struct, frozen=True, gc=False):
    """The links' shares from the spindle outward, and their sum."""

    parts: tuple[Part, ...]
    known: Length
    """The sum of what is known; the whole can only be more."""
    basis: str
    """The weakest of the parts' bases."""

    @classmethod
    def of(cls, *parts: Part) -> Runout:
        known = Length(sum([part.tir.nm for part in parts if part.tir is not None]))
        return cls(parts, known, max([part.basis for part in parts], key=_ORDER.index, default=UNKNOWN))

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


def along(chain: Chain, piece: Piece, *, typical: Length | None) -> Runout:
    """Nose, holders and the piece itself; a reading taken in a holder of the chain, or on
    the lathe itself, covers that holder or the nose."""
    covered = {piece.tir_in_holder} if piece.tir is not None else set()
    on_lathe = chain.lathe is not None and piece.tir is not None and piece.tir_on_lathe == chain.lathe.id
    parts = [] if on_lathe else [_nose(chain)]
    parts += [_part(link, typical=None) for link in chain.links if link.kind != "drawbar" and link.id not in covered]
    return Runout.of(*parts, _part(piece, typical=typical))


def before(chain: Chain) -> Runout:
    """The share of the nose and the holders, without what holds the work."""
    return Runout.of(_nose(chain), *(_part(link, typical=None) for link in chain.links if link.kind != "drawbar"))


def restarted(name: str, typical: Length | None) -> Runout:
    """Where something is dialled in or cut in place, what lies before it no longer counts."""
    return Runout.of(Part(name, typical, UNKNOWN if typical is None else TYPICAL))


def _nose(chain: Chain) -> Part:
    name = f"{chain.lathe.name} nose" if chain.lathe else "spindle nose"
    tir = chain.lathe.nose_tir if chain.lathe else None
    return Part(name, tir, UNKNOWN if tir is None else MEASURED)


def _part(piece: Piece, *, typical: Length | None) -> Part:
    if piece.tir is not None:
        return Part(piece.tag, piece.tir, MEASURED)
    # Worn without a reading is anyone's guess: what is typical of good ones does not count.
    if typical is not None and piece.condition == "good":
        return Part(piece.tag, typical, TYPICAL)
    return Part(piece.tag, None, UNKNOWN)
