"""What is mounted where on a lathe, and putting a piece there or taking it off."""

from django.db import transaction
from django.db.models import Exists, OuterRef, Q
from msgspec import Struct

from inventory.models import Kind, Lathe, Loan, Seat, Tool
from inventory.models.kinds import CENTERS, CHUCKS, COLLETS, Place

_SEATS = {
    Place.NOSE: "nose",
    Place.HEADSTOCK: "headstock_taper",
    Place.TAILSTOCK: "tailstock_taper",
    Place.POST: "post",
}
"""Place -> the lathe's own seat there."""
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
    Kind.SLEEVE: Place.TAILSTOCK,
    Kind.DRILL_CHUCK: Place.TAILSTOCK,
    Kind.TAPER_SHANK_DRILL: Place.TAILSTOCK,
    Kind.TOOL_POST_HOLDER: Place.POST,
}  # fmt: skip
"""Where a piece goes whose seat nobody wrote down, or on a lathe that is not described there."""
NEVER = (Kind.KEY, Kind.LATHE_DOG, Kind.MANDREL, Kind.TURNING_TOOL, Kind.PARTING_BLADE, Kind.BORING_BAR)
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
        return f"in {self.holder}" if self.holder else Place(self.place).label


def candidates(lathe: Lathe, mounted: list[Tool], *, by, text: str = ""):
    """The usable pieces here that this lathe may take: those for its seats, and those whose seat is not known."""
    seats = {getattr(lathe, f"{name}_id") for name in _SEATS.values()} | {piece.offers_id for piece in mounted}
    unclear = Q(mounts_in=None, kind__in=_USUAL)
    undescribed = [kind for kind, place in _USUAL.items() if getattr(lathe, f"{_SEATS[place]}_id") is None]
    found = (
        Tool.objects.in_service()
        .filter(
            Q(mounts_in__in=seats - {None}) | unclear | Q(kind__in=undescribed)
            | Q(kind__in=_WITHOUT_SEAT, belongs_to__in=[lathe.pk]) | Q(kind__in=_WITHOUT_SEAT, belongs_to=None)
        )
        .filter(~Exists(Loan.objects.open().filter(tool=OuterRef("pk")).exclude(borrower=by)))
        .exclude(kind__in=NEVER)
        .exclude(mounted_on=lathe)
    )  # fmt: skip
    if text:
        found = found.filter(Q(tag__icontains=text) | Q(kind__icontains=text) | Q(location__name__iexact=text))
    return found.for_list().order_by("kind", "tag")


class CannotMount(Exception):
    """The piece does not go there; the text says why."""


def on_it(lathe: Lathe, also=lambda pieces: pieces) -> list[Tool]:
    """What is on the lathe now, from the spindle outward; `also` adds to the query what a page wants beside."""
    order = {"": len(Place.values), **{place: number for number, place in enumerate(Place.values)}}
    pieces = also(lathe.mounted.in_book().for_list().select_related("mounted_in"))
    return sorted(pieces, key=lambda piece: (order[piece.mounted_at], piece.tag))


def spots(tool: Tool, lathe: Lathe, mounted: list[Tool] | None = None) -> list[Spot]:
    """Where on this lathe the piece can go: where it surely fits, else where nobody can tell.

    `mounted` is what is on it, where that was looked up already.
    """
    if tool.kind in NEVER or lathe.retired_at is not None:
        return []
    mounted = on_it(lathe) if mounted is None else mounted
    if tool.kind in _WITHOUT_SEAT:
        return _without_seat(tool, lathe, mounted)
    sure = [Spot(place, now=_at(mounted, place)) for place, name in _SEATS.items() if _is(tool, getattr(lathe, name))]
    sure += [
        Spot(None, holder, now=next((piece for piece in mounted if piece.mounted_in_id == holder.pk), None))
        for holder in mounted
        if holder.pk != tool.pk and holder.mounted_in_id != tool.pk and _is(tool, holder.offers)
    ]
    return sure or _doubtful(tool, lathe, mounted)


def _is(tool: Tool, seat: Seat | None) -> bool:
    return seat is not None and tool.mounts_in_id == seat.pk


def _at(mounted: list[Tool], place: Place) -> Tool | None:
    return next((piece for piece in mounted if piece.mounted_at == place), None)


def _without_seat(tool: Tool, lathe: Lathe, mounted: list[Tool]) -> list[Spot]:
    place = _WITHOUT_SEAT[tool.kind]
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
    return [Spot(place, now=_at(mounted, place), doubt=doubt)]


def _doubtful(tool: Tool, lathe: Lathe, mounted: list[Tool]) -> list[Spot]:
    place = _USUAL.get(tool.kind)
    if place is None or (tool.kind in COLLETS and tool.mounts_in_id):
        return []
    seat = getattr(lathe, _SEATS[place])
    if tool.mounts_in_id is None:
        doubt = f"Nobody wrote down what {tool} mounts on."
    elif seat is None:
        doubt = f"The {lathe._meta.get_field(_SEATS[place]).verbose_name} of {lathe} is not described."
    else:
        return []
    return [Spot(place, now=_at(mounted, place), doubt=doubt)]


def why_not_mounted(tool: Tool, *, by) -> str:
    """Why this piece cannot be put on a lathe by this person now; empty where it can."""
    if tool.retired_at:
        return f"{tool} is retired."
    if tool.missing_since:
        return f"{tool} is missing since {tool.missing_since:%Y-%m-%d}."
    if not tool.is_in_service:
        return f"{tool} is {tool.condition} and is not to be used."
    loan = tool.loans.open().select_related("borrower").first()
    if loan and loan.borrower_id != by.pk:
        return f"{tool} is out to {loan.borrower}."
    return ""


@transaction.atomic
def mount(tool: Tool, lathe: Lathe, *, key: str, instead_of: int | None) -> list[Tool]:
    """Put the piece at the spot of this key; returns what came off for it.

    `instead_of` is the piece that the person saw there. Raises CannotMount where it is another by now, or where
    the piece does not go there. `tool` and `lathe` are locked by the caller.
    """
    spot = next((spot for spot in spots(tool, lathe) if spot.key == key), None)
    if spot is None:
        raise CannotMount(f"{tool} has no place there on {lathe} now. Look again.")
    if spot.now is not None and spot.now.pk not in (tool.pk, instead_of):
        raise CannotMount(f"{spot.now} is {spot.words} of {lathe} by now. Look again.")
    off = take_off(spot.now) if spot.now is not None and spot.now.pk != tool.pk else []
    if tool.mounted_on_id is not None:
        take_off(tool)
    if spot.holder is not None and not lathe.mounted.filter(pk=spot.holder.pk).exists():
        raise CannotMount(f"{spot.holder} came off {lathe} with {tool}: put {spot.holder} on it first.")
    tool.refresh_from_db()
    tool.mounted_on, tool.mounted_at, tool.mounted_in = lathe, spot.place or "", spot.holder
    tool.save()
    return off


@transaction.atomic
def take_off(tool: Tool) -> list[Tool]:
    """Take the piece off its lathe, and what sits in it with it; returns all that came off, the piece first."""
    off = [tool]
    for sitting in Tool.objects.filter(mounted_in=tool):
        off += take_off(sitting)
    tool.mounted_on, tool.mounted_at, tool.mounted_in = None, "", None
    tool.save()
    return off
