"""What the questions of seating ask of the rig of a lathe; all of it is in `holding/seats.py`."""

from __future__ import annotations

from msgspec import Struct

from fitfinder.holding.chains import Missing
from fitfinder.holding.pieces import CribNow, LatheOnHand, Piece
from fitfinder.holding.seats import LatheRig
from inventory.reference.kinds import Kind


class Floor(Struct, frozen=True, kw_only=True):
    crib: CribNow

    def of_kind(self, *kinds: Kind) -> list[Piece]:
        return LatheRig(None, self.crib.rig).of_kind(*kinds)


def sleeves_to(piece: Piece, socket: str, floor: Floor, lathe: LatheOnHand) -> list[Piece] | str:
    found = LatheRig(lathe, floor.crib.rig).sleeves_to(piece, socket)
    return str(found) if isinstance(found, Missing) else list(found)
