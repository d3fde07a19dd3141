"""What the drawing of a holding shows, of a way and of its setup sheet alike."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from fitfinder.holding.pieces import CENTER_KINDS, CHUCK_KINDS, COLLET_KINDS, REST_KINDS
from fitfinder.holding.way import Way
from inventory.measures.length_words import in_unit, span
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind

MM = 1_000_000
POINTED = CENTER_KINDS | {Kind.BULL_NOSE_CENTER}
DRAWN_ACROSS = CHUCK_KINDS | {Kind.FACEPLATE}
"""What is drawn as thick as its body is; that of a dog is the circle that it swings."""
_BESIDE = REST_KINDS | {Kind.KEY, Kind.COLLET_NUT, Kind.STOP, Kind.LATHE_DOG, Kind.DRAWBAR, Kind.DRILL_CHUCK}
"""What stands beside, sits on the work or is out of sight; rests and dogs are drawn in their places."""
_USUAL: dict[Kind, tuple[int, int]] = {
    Kind.BACKPLATE: (25, 160), Kind.CLOSER: (50, 76), Kind.COLLET_CHUCK: (60, 64), Kind.SLEEVE: (60, 44),
    **dict.fromkeys(COLLET_KINDS, (55, 38)), **dict.fromkeys(POINTED, (75, 32)),
    Kind.EXPANDING_ARBOR: (40, 30), Kind.FACEPLATE: (40, 250), **dict.fromkeys(CHUCK_KINDS, (65, 200)),
    Kind.MANDREL: (25, 20),
}  # fmt: skip
"""How long a piece is along the axis and how thick, in mm, where its page does not say it: only drawn, never reckoned
with."""
_OTHERWISE = (60, 40)


class HeldPiece(Struct, frozen=True, kw_only=True):
    """What the drawing needs of a piece."""

    tag: str
    kind: Kind
    seat: str = ""
    body: Length | None = None
    jaw_length: Length | None = None

    @property
    def across(self) -> int:
        return self.body.nm if self.body is not None else _USUAL.get(self.kind, _OTHERWISE)[1] * MM

    @property
    def along(self) -> int:
        long, across = _USUAL.get(self.kind, _OTHERWISE)
        return self.across * long // across if self.body is not None else long * MM


class Holding(Struct, frozen=True, kw_only=True):
    """What is drawn; what is not known is None, and has no figure then."""

    lathe: str
    tailstock: str = ""
    pieces: tuple[HeldPiece, ...]
    method: str
    smallest: Length | None
    largest: Length | None
    bore: Length | None = None
    length: Length | None = None
    grip: Length | None = None
    stands_out: Length | None = None
    is_inside: bool = False
    is_irregular: bool = False
    rpm: int | None = None

    @property
    def ends(self) -> tuple[tuple[HeldPiece, ...], tuple[HeldPiece, ...]]:
        """The pieces at the headstock outward from the spindle, and those at the tailstock outward from the work."""
        drawn = tuple(piece for piece in self.pieces if piece.kind not in _BESIDE)
        last = max((place for place, piece in enumerate(drawn) if piece.kind in POINTED), default=0)
        # The tailstock's own run begins with what goes into its taper, sleeves before the center.
        first = last
        while first > 0 and not self._goes_in_tailstock(drawn[first]):
            if drawn[first - 1].kind != Kind.SLEEVE:
                return drawn, ()
            first -= 1
        return (drawn, ()) if first == 0 else (drawn[:first] + drawn[last + 1 :], drawn[first : last + 1][::-1])

    def _goes_in_tailstock(self, piece: HeldPiece) -> bool:
        """Whether it goes into it; where its own seat is not known it may."""
        return piece.seat in ("", self.tailstock)

    def of_kind(self, *kinds: Kind) -> Iterator[HeldPiece]:
        return (piece for piece in self.pieces if piece.kind in kinds)


def holding_of(way: Way) -> Holding | None:
    """None where nothing is known to be drawn, or the way cannot hold the job."""
    if not way.can or way.lathe is None:
        return None
    job, seat = way.job, way.lathe.tailstock_taper
    return Holding(
        lathe=way.lathe.name,
        tailstock=seat.code if seat is not None else "",
        pieces=tuple(
            HeldPiece(
                tag=piece.tag,
                kind=piece.kind,
                seat=piece.mounts_in.code if piece.mounts_in is not None else "",
                body=piece.body if piece.kind in DRAWN_ACROSS else None,
                jaw_length=piece.jaw_length,
            )
            for piece in way.pieces
        ),
        method=way.method,
        smallest=job.stock.band.smallest,
        largest=job.stock.band.largest,
        bore=job.bore,
        length=job.length,
        grip=way.grip,
        stands_out=way.stick_out,
        is_inside=way.hold is not None and way.hold.is_inside,
        is_irregular=job.is_irregular,
        rpm=way.speed_limit.rpm if way.speed_limit is not None else None,
    )


def across(of: Holding) -> str:
    """The size of the work: `3/4 in`, `0.7480 to 0.7560 in`."""
    if of.smallest is None or of.largest is None:
        return ""
    return in_unit(of.largest) if of.largest == of.smallest else span(of.smallest, of.largest)


def in_words(of: Holding) -> str:
    head, tail = of.ends
    dog = next(of.of_kind(Kind.LATHE_DOG), None)
    work = f"the work with {dog.tag}, {dog.kind}" if dog else "the work"
    in_line = "; ".join([of.lathe, *map(_called, head), work, *map(_called, tail)])
    rests = [f"{rest.tag}, {rest.kind}" for rest in of.of_kind(Kind.STEADY_REST, Kind.FOLLOW_REST)]
    figures = [
        f"{across(of)} across" if across(of) else "",
        f"gripped {in_unit(of.grip)}" if of.grip is not None else "",
        f"{in_unit(of.stands_out)} out" if of.grip is not None and of.stands_out is not None else "",
        f"{in_unit(of.length)} long" if of.length is not None else "",
        f"at most {of.rpm} rpm" if of.rpm is not None else "",
    ]
    beside = f" Beside it: {'; '.join(rests)}." if rests else ""
    return f"From the spindle to the tailstock: {in_line}.{beside} {', '.join(filter(None, figures)).capitalize()}."


def _called(piece: HeldPiece) -> str:
    return f"{piece.tag}, {piece.kind}"
