"""A lathe by its spots, as it is drawn: what sits at each, and what sits in that."""

from __future__ import annotations

from msgspec import Struct

from inventory.models import Lathe, Tool
from inventory.models.kinds import Place

_NAMES = {
    Place.SPINDLE: "Through the spindle",
    Place.HEADSTOCK: "Headstock taper",
    Place.NOSE: "Spindle nose",
    Place.POST: "Tool post",
    Place.TAILSTOCK: "Tailstock",
    Place.BED: "Bed, for a steady rest",
    Place.SADDLE: "Saddle, for a follow rest",
}
"""From the left of the drawing to its right, and what stands below last."""
_DRAWN_AT = {
    Place.SPINDLE: (33, 32),
    Place.HEADSTOCK: (95, 32),
    Place.NOSE: (157, 32),
    Place.POST: (226, 32),
    Place.TAILSTOCK: (322, 32),
    Place.BED: (172, 206),
    Place.SADDLE: (258, 206),
}


class LatheSpot(Struct, frozen=True, kw_only=True):
    """One spot: its number in the drawing and where the number stands there; `pieces` from the spindle outward."""

    place: Place
    number: int
    seat: str
    pieces: tuple[Tool, ...]

    @property
    def name(self) -> str:
        return f"{_NAMES[self.place]}, {self.seat}" if self.seat else _NAMES[self.place]

    @property
    def x(self) -> int:
        return _DRAWN_AT[self.place][0]

    @property
    def y(self) -> int:
        return _DRAWN_AT[self.place][1]

    @property
    def words(self) -> str:
        """What the drawing says of it to who does not see it."""
        return f"{self.number}: {self.name}: {', '.join(map(str, self.pieces)) or 'empty'}"


def lathe_spots(lathe: Lathe, mounted: list[Tool]) -> list[LatheSpot]:
    seats = lathe.seats
    return [
        LatheSpot(
            place=place,
            number=number,
            seat=str(seats.get(place) or ""),
            pieces=tuple(piece for piece in mounted if place_of(piece, mounted) == place),
        )
        for number, place in enumerate(_NAMES, start=1)
    ]


def place_of(piece: Tool, mounted: list[Tool]) -> str:
    """The spot of the piece, or of what it sits in; empty where nobody wrote it down."""
    on_it = {one.pk: one for one in mounted}
    holder: Tool | None = piece
    for _ in mounted:
        if holder is None or holder.mounted_in_id is None:
            break
        holder = on_it.get(holder.mounted_in_id)
    return holder.mounted_at if holder else ""
