"""Where on a lathe a piece can sit: its own seats, the seats of what is on it, and what carries a rest or a drawbar."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, Q
from msgspec import Struct

from inventory.models import Kind, Lathe, Loan, Seat, Tool, User
from inventory.models.kinds import CENTERS, CHUCKS, COLLETS, Place
from inventory.models.tools import ToolQuerySet

_SEAT_WORDS = {
    Place.NOSE: "spindle nose",
    Place.HEADSTOCK: "headstock taper",
    Place.TAILSTOCK: "tailstock taper",
    Place.POST: "tool post",
}
_WITHOUT_SEAT = {
    Kind.DRAWBAR: Place.SPINDLE,
    Kind.STEADY_REST: Place.BED,
    Kind.FOLLOW_REST: Place.SADDLE,
}
"""What sits in no seat: a drawbar goes through the spindle, a steady on the bed, a follow rest on the saddle."""
_USUAL = dict.fromkeys(CHUCKS, Place.NOSE) | dict.fromkeys(CENTERS, Place.TAILSTOCK) | {
    Kind.COLLET_CHUCK: Place.HEADSTOCK,
    Kind.CLOSER: Place.NOSE,
    Kind.FACEPLATE: Place.NOSE,
    Kind.BACKPLATE: Place.NOSE,
    Kind.SLEEVE: Place.TAILSTOCK,
    Kind.DRILL_CHUCK: Place.TAILSTOCK,
    Kind.TAPER_SHANK_DRILL: Place.TAILSTOCK,
    Kind.TOOL_POST_HOLDER: Place.POST,
}  # fmt: skip
"""Where a piece goes whose seat nobody wrote down, or on a lathe that is not described there."""
NEVER_MOUNTED = (
    Kind.KEY, Kind.COLLET_NUT, Kind.STOP, Kind.LATHE_DOG, Kind.MANDREL, Kind.TURNING_TOOL, Kind.PARTING_BLADE,
    Kind.BORING_BAR,
)  # fmt: skip
"""What sits on the work or in a holder, or is taken off before the lathe turns."""


class Spot(Struct, frozen=True):
    """One place for a piece on a lathe: one of its own, or the seat of a piece that is on it (`holder`).

    `now` is what is there. `doubt` says why nobody can tell whether the piece fits; empty where it does.
    """

    place: Place | None
    holder: Tool | None = None
    now: Tool | None = None
    doubt: str = ""

    @property
    def key(self) -> str:
        return f"in {self.holder.pk}" if self.holder else str(self.place)

    @property
    def words(self) -> str:
        return f"in {self.holder}" if self.place is None else str(self.place.label)


def candidates(lathe: Lathe, mounted: list[Tool], *, by: User, text: str = "") -> ToolQuerySet:
    """The usable pieces here that this lathe may take: those for its seats, and those whose seat is not known."""
    seats = [seat for seat in (*lathe.seats.values(), *(piece.offers for piece in mounted)) if seat]
    undescribed = [kind for kind, place in _USUAL.items() if lathe.seats[place] is None]
    may_sit_on_it = (
        Q(mounts_in__in=seats)
        | Q(mounts_in=None, kind__in=_USUAL)
        | Q(kind__in=undescribed)
        | Q(kind__in=_WITHOUT_SEAT, belongs_to=lathe)
        | Q(kind__in=_WITHOUT_SEAT, belongs_to=None)
    )
    out_to_another = Loan.objects.open().filter(tool=OuterRef("pk")).exclude(borrower=by)
    pieces = Tool.objects.in_service().filter(may_sit_on_it).filter(~Exists(out_to_another))
    if text:
        pieces = pieces.filter(Q(tag__icontains=text) | Q(kind__icontains=text) | Q(location__name__iexact=text))
    return pieces.exclude(kind__in=NEVER_MOUNTED).exclude(mounted_on=lathe).for_list().order_by("kind", "tag")


def spots(tool: Tool, lathe: Lathe, mounted: list[Tool]) -> list[Spot]:
    """Where on this lathe the piece can go, with what is on it: where it surely fits, else where nobody can tell."""
    if tool.kind in NEVER_MOUNTED or lathe.retired_at is not None:
        return []
    if tool.kind in _WITHOUT_SEAT:
        return _without_seat(tool, lathe, mounted)
    return [*_own_seats(tool, lathe, mounted), *_in_holders(tool, mounted)] or _doubtful(tool, lathe, mounted)


def _own_seats(tool: Tool, lathe: Lathe, mounted: list[Tool]) -> list[Spot]:
    return [Spot(place, now=_piece_at(mounted, place)) for place, seat in lathe.seats.items() if _fits(tool, seat)]


def _in_holders(tool: Tool, mounted: list[Tool]) -> list[Spot]:
    sitting = {piece.mounted_in_id: piece for piece in mounted}
    return [
        Spot(None, holder, now=sitting.get(holder.pk))
        for holder in mounted
        if holder.pk != tool.pk and holder.mounted_in_id != tool.pk and _fits(tool, holder.offers)
    ]


def _fits(tool: Tool, seat: Seat | None) -> bool:
    return seat is not None and tool.mounts_in_id == seat.pk


def _piece_at(mounted: list[Tool], place: Place) -> Tool | None:
    return next((piece for piece in mounted if piece.mounted_at == place), None)


def _without_seat(tool: Tool, lathe: Lathe, mounted: list[Tool]) -> list[Spot]:
    place = _WITHOUT_SEAT[Kind(tool.kind)]
    if tool.belongs_to_id not in (None, lathe.pk):
        return []
    if tool.kind == Kind.DRAWBAR and None not in (tool.mounts_in_id, lathe.headstock_taper_id):
        if tool.mounts_in_id != lathe.headstock_taper_id:
            return []
        doubt = ""
    elif tool.kind == Kind.DRAWBAR:
        doubt = "Its taper is not known to be that of this spindle."
    else:
        doubt = "" if tool.belongs_to_id else f"Nobody wrote down to which lathe {tool} belongs."
    return [Spot(place, now=_piece_at(mounted, place), doubt=doubt)]


def _doubtful(tool: Tool, lathe: Lathe, mounted: list[Tool]) -> list[Spot]:
    place = _USUAL.get(Kind(tool.kind))
    if place is None or (tool.kind in COLLETS and tool.mounts_in_id):
        return []
    if tool.mounts_in_id is None:
        doubt = f"Nobody wrote down what {tool} mounts on."
    elif lathe.seats[place] is None:
        doubt = f"The {_SEAT_WORDS[place]} of {lathe} is not described."
    else:
        return []
    return [Spot(place, now=_piece_at(mounted, place), doubt=doubt)]
