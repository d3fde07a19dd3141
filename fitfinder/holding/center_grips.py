"""Work between centers: taken out and put back, or turned end for end, it keeps its axis.

Two ways to drive it: a center in the headstock taper and a faceplate, or a 60 degree point that is turned on scrap
in a chuck whose jaw drives the dog.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from fitfinder.holding import runout, verdicts
from fitfinder.holding.chains import Chain
from fitfinder.holding.chuck_grips import typical_tir
from fitfinder.holding.grips import Grip, marked_speed, worn_links
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import CENTER_KINDS, CHUCK_KINDS, LatheOnHand, Piece, SeatOnHand
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Reach
from inventory.measures.lengths import Length
from inventory.reference.center_drills import INCH, center_hole_for
from inventory.reference.kinds import Kind

_KINDS = CENTER_KINDS | CHUCK_KINDS | {Kind.LATHE_DOG, Kind.FACEPLATE, Kind.SLEEVE}


class CentersGrip(Grip, frozen=True, kw_only=True, gc=False):
    """Work between centers; the piece is the center in the tailstock, and the dog is the last of the links."""

    first_reasons: tuple[str, ...]
    """How the other end is centered, and what is drilled first."""

    @property
    def reasons(self) -> tuple[str, ...]:
        put_back = "put back, it keeps its axis"
        return (*self.first_reasons, put_back, *worn_links(self.chain), *marked_speed(self.chain, self.piece))


class CenterDrive(Struct, frozen=True, kw_only=True):
    """What drives the dog: its pieces from the spindle, the center in the tailstock, and how the head is centered."""

    links: tuple[Piece, ...]
    tail: Piece
    head_words: str


def between_centers(
    stock: Stock, rig: Iterable[Piece], lathes: Sequence[LatheOnHand], *, asked: Length | None
) -> list[CentersGrip]:
    """One grip for each lathe that has a pair of centers, a driver, and a dog for the stock."""
    usable = [piece for piece in rig if piece.kind in _KINDS and piece.is_usable and not piece.lacks]
    found = []
    for lathe in lathes:
        here = [piece for piece in usable if piece.is_free_for(lathe)]
        dog = _dog(here, stock)
        drive = _drive(here, lathe) if dog is not None else None
        if dog is not None and drive is not None:
            found.append(_grip(stock, lathe, drive, *dog, asked=asked))
    return found


def _dog(here: list[Piece], stock: Stock) -> tuple[Piece, Reach] | None:
    """The best dog that the stock passes, across its corners, and what it takes."""
    band = stock.corner_band
    dogs = sorted((piece for piece in here if piece.kind == Kind.LATHE_DOG), key=lambda dog: (dog.condition, dog.tag))
    for dog in dogs:
        reach = dog.outside
        if reach is not None and reach.smallest <= band.smallest and band.largest <= reach.largest:
            return dog, reach
    return None


def _grip(
    stock: Stock, lathe: LatheOnHand, drive: CenterDrive, dog: Piece, reach: Reach, *, asked: Length | None
) -> CentersGrip:
    run = _runout([piece for piece in (*drive.links, drive.tail) if piece.kind in CENTER_KINDS])
    return CentersGrip(
        method=Method.BETWEEN_CENTERS,
        piece=drive.tail,
        chain=Chain(lathe=lathe, links=(*drive.links, dog)),
        reach=reach,
        held=stock.corner_band,
        held_on=stock.shape,
        verdict=verdicts.judge(stock.corner_band, reach),
        margin=verdicts.margin(stock.corner_band, reach),
        runout=run,
        meets_tir=run.meets(asked),
        first_reasons=(drive.head_words, f"both ends are center-drilled first{_drill_for(stock)}"),
    )


def _drill_for(stock: Stock) -> str:
    """`: No. 4, 0.2344 in across`; empty below what the guide covers."""
    hole = center_hole_for(stock.nominal or stock.band.largest)
    if hole is None:
        return ""
    across = f"{hole.hole.inch_text} in" if hole.form == INCH else f"{hole.hole.mm_text} mm"
    return f": {hole.name}, {across} across for light and medium work"


def _runout(centers: Iterable[Piece]) -> runout.Runout:
    """Typical of the method, unless one of the centers is worn and nobody knows by how much."""
    is_doubtful = any(piece.is_worn and piece.tir is None for piece in centers)
    return runout.restarted("between centers", None if is_doubtful else typical_tir("between centers"))


def _drive(here: list[Piece], lathe: LatheOnHand) -> CenterDrive | None:
    if lathe.nose is None or lathe.tailstock_taper is None:
        return None
    return _by_a_faceplate(here, lathe) or _by_a_chuck(here, lathe)


def _by_a_faceplate(here: list[Piece], lathe: LatheOnHand) -> CenterDrive | None:
    plate = _best(piece for piece in here if piece.kind == Kind.FACEPLATE and piece.mounts_on(lathe.nose))
    if plate is None:
        return None
    for sleeves, head in _heads(here, lathe.headstock_taper):
        tail = _tail(here, lathe, used=head)
        if tail is not None:
            head_words = f"{head.tag} in the headstock, {plate.tag} drives the dog"
            return CenterDrive(links=(plate, *sleeves, head), tail=tail, head_words=head_words)
    return None


def _by_a_chuck(here: list[Piece], lathe: LatheOnHand) -> CenterDrive | None:
    chuck = _best(
        (piece for piece in here if piece.kind in CHUCK_KINDS and piece.mounts_on(lathe.nose)),
        mounted_on=lathe.id,
    )
    tail = _tail(here, lathe, used=None)
    if chuck is None or tail is None:
        return None
    head_words = f"turn a 60 degree point on scrap in {chuck.tag}, a jaw drives the dog"
    return CenterDrive(links=(chuck,), tail=tail, head_words=head_words)


def _best(pieces: Iterable[Piece], *, mounted_on: int | None = None) -> Piece | None:
    """What is mounted already, then good before worn."""
    return min(
        pieces,
        key=lambda piece: (mounted_on is None or piece.mounted_on != mounted_on, piece.condition, piece.tag),
        default=None,
    )


def _heads(here: list[Piece], taper: SeatOnHand | None) -> Iterator[tuple[list[Piece], Piece]]:
    """Dead centers that reach the headstock taper, each with its sleeve, those without one first."""
    if taper is None:
        return
    heads = sorted((piece for piece in here if piece.kind == Kind.DEAD_CENTER), key=lambda p: (p.condition, p.tag))
    yield from (([], head) for head in heads if head.mounts_on(taper))
    for head in heads:
        sleeve = None if head.mounts_on(taper) else _sleeve(here, head, taper)
        if sleeve is not None:
            yield [sleeve], head


def _sleeve(here: list[Piece], head: Piece, taper: SeatOnHand) -> Piece | None:
    """What takes this center into the taper."""
    shank = head.mounts_in
    if shank is None:
        return None
    return _best(p for p in here if p.kind == Kind.SLEEVE and p.mounts_on(taper) and p.offers == shank.code)


def _tail(here: list[Piece], lathe: LatheOnHand, *, used: Piece | None) -> Piece | None:
    fitting = [
        piece
        for piece in here
        if piece.kind in CENTER_KINDS and piece is not used and piece.mounts_on(lathe.tailstock_taper)
    ]
    return min(fitting, key=lambda p: (p.condition, p.kind != Kind.LIVE_CENTER, p.tag), default=None)
