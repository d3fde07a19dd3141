"""Work between centers: taken out and put back, or turned end for end, it keeps its axis.

Two ways to drive it: a center in the headstock taper and a faceplate, or a 60 degree point that is turned on scrap
in a chuck whose jaw drives the dog.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from fitfinder import runout, verdicts
from fitfinder.chains import Chain
from fitfinder.grips import Grip, marked_speed, worn_links
from fitfinder.methods import typical_tir
from fitfinder.pieces import CENTER_KINDS, CHUCK_KINDS, LatheOnHand, Piece, Seat
from fitfinder.stock import Stock
from fitfinder.verdicts import Reach
from inventory.lengths import Length
from inventory.reference.center_drills import INCH, center_hole_for

_KINDS = CENTER_KINDS | CHUCK_KINDS | {"lathe dog", "faceplate", "sleeve"}


class _Setup(Struct, frozen=True):
    """The pieces from the spindle to the dog, the center in the tailstock, and how the other end is centered."""

    links: tuple[Piece, ...]
    dog: Piece
    tail: Piece
    head_words: str


def between_centers(stock: Stock, *, rig: Iterable[Piece], lathes, asked: Length | None) -> list[Grip]:
    """One grip for each lathe that has all it takes; the piece of the grip is the tailstock center."""
    usable = [piece for piece in rig if piece.kind in _KINDS and piece.is_usable and not piece.lacks]
    if not any(_takes(piece, stock) for piece in usable):
        return []
    found = []
    for lathe in lathes:
        here = [piece for piece in usable if piece.mounted_on in (None, lathe.id)]
        setup = _setup(stock, here, lathe)
        if setup is not None:
            found.append(_grip(stock, setup, lathe, asked))
    return found


def _grip(stock: Stock, setup: _Setup, lathe: LatheOnHand, asked: Length | None) -> Grip:
    chain = Chain(lathe=lathe, links=(*setup.links, setup.dog))
    reach = Reach(smallest=setup.dog.outside_smallest, largest=setup.dog.outside_largest)
    run = _runout(setup)
    reasons = [
        setup.head_words,
        f"both ends are center-drilled first{_drill_for(stock)}",
        "put back, it keeps its axis",
    ]
    reasons += worn_links(chain) + marked_speed(chain, setup.tail)
    return Grip(
        piece=setup.tail,
        method="between centers",
        reach=reach,
        verdict=verdicts.judge(stock.corner_band, reach),
        margin=verdicts.margin(stock.corner_band, reach),
        in_true_zone=True,
        chain=chain,
        runout=run,
        meets_tir=run.meets(asked),
        passes_through=None,
        held=stock.corner_band,
        held_on=stock.shape,
        told=tuple(reasons),
    )


def _drill_for(stock: Stock) -> str:
    """`: No. 4, 0.2344 in across`; empty below what the guide covers."""
    hole = center_hole_for(stock.nominal or stock.band.largest)
    if hole is None:
        return ""
    across = f"{hole.hole.inch_text} in" if hole.form == INCH else f"{hole.hole.mm_text} mm"
    return f": {hole.name}, {across} across for light and medium work"


def _runout(setup: _Setup) -> runout.Runout:
    """Typical of the method, unless a center of the set-up is worn and nobody knows by how much."""
    centers = [piece for piece in (*setup.links, setup.tail) if piece.kind in CENTER_KINDS]
    is_doubtful = any(piece.condition == "worn" and piece.tir is None for piece in centers)
    return runout.restarted("between centers", None if is_doubtful else typical_tir("between centers"))


def _setup(stock: Stock, here: list[Piece], lathe: LatheOnHand) -> _Setup | None:
    dog = _best(piece for piece in here if _takes(piece, stock))
    if dog is None or lathe.nose is None or lathe.tailstock_taper is None:
        return None
    plate = _best(piece for piece in here if piece.kind == "faceplate" and piece.mounts_in.code == lathe.nose.code)
    if plate is not None:
        for way, head in _heads(here, lathe.headstock_taper):
            tail = _tail(here, lathe, used=head)
            if tail is not None:
                return _Setup(
                    (plate, *way, head), dog, tail, f"{head.tag} in the headstock, {plate.tag} drives the dog"
                )
    chuck = _best(
        (piece for piece in here if piece.kind in CHUCK_KINDS and piece.mounts_in.code == lathe.nose.code),
        mounted_on=lathe.id,
    )
    tail = _tail(here, lathe, used=None)
    if chuck is None or tail is None:
        return None
    return _Setup((chuck,), dog, tail, f"turn a 60 degree point on scrap in {chuck.tag}, a jaw drives the dog")


def _takes(piece: Piece, stock: Stock) -> bool:
    """Whether it is a dog that the stock passes by its corners."""
    if piece.kind != "lathe dog":
        return False
    band = stock.corner_band
    return piece.outside_smallest <= band.smallest and band.largest <= piece.outside_largest


def _best(pieces: Iterable[Piece], *, mounted_on: int | None = None) -> Piece | None:
    """What is mounted already, then good before worn."""
    order = sorted(
        pieces,
        key=lambda piece: (mounted_on is None or piece.mounted_on != mounted_on, piece.condition, piece.tag),
    )
    return order[0] if order else None


def _heads(here: list[Piece], taper: Seat | None) -> list[tuple[list[Piece], Piece]]:
    """Dead centers that reach the headstock taper, those without a sleeve first."""
    if taper is None:
        return []
    found = []
    for head in here:
        if head.kind != "dead center":
            continue
        if head.mounts_in.code == taper.code:
            found.append(([], head))
            continue
        sleeve = _best(
            piece
            for piece in here
            if piece.kind == "sleeve" and piece.mounts_in.code == taper.code and piece.offers == head.mounts_in.code
        )
        if sleeve is not None:
            found.append(([sleeve], head))
    return sorted(found, key=lambda way: (len(way[0]), way[1].condition, way[1].tag))


def _tail(here: list[Piece], lathe: LatheOnHand, *, used: Piece | None) -> Piece | None:
    fitting = [
        piece
        for piece in here
        if piece.kind in CENTER_KINDS and piece is not used and piece.mounts_in.code == lathe.tailstock_taper.code
    ]
    fitting.sort(key=lambda piece: (piece.condition, piece.kind != "live center", piece.tag))
    return fitting[0] if fitting else None
