"""Work between centers: taken out and put back, or turned end for end, it keeps its axis.

Two ways to drive it: a center in the headstock taper and a faceplate, or a 60 degree point that is turned on scrap
in a chuck whose jaw drives the dog.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from fitfinder.holding import runout, verdicts
from fitfinder.holding.chains import Chain
from fitfinder.holding.grips import Grip, marked_speed, worn_links
from fitfinder.holding.methods.chucks import typical_tir
from fitfinder.holding.pieces import CENTER_KINDS, CHUCK_KINDS, LatheOnHand, Piece, Seat
from fitfinder.holding.stock import Band, Stock
from fitfinder.holding.verdicts import Reach
from inventory.measures.lengths import Length
from inventory.reference.center_drills import INCH, center_hole_for

_KINDS = CENTER_KINDS | CHUCK_KINDS | {"lathe dog", "faceplate", "sleeve"}


class Centers(Struct, frozen=True, kw_only=True, gc=False):
    """Both centers of a lathe and what drives the dog, before the stock is known.

    `tail` is the center in the tailstock, `head_words` how the other end is centered, `chains` the ways from the
    spindle to the driver and on to each dog that there is for this lathe, the best dog first.
    """

    tail: Piece
    head_words: str
    runout: runout.Runout
    chains: tuple[Chain, ...]


def all_centers(rig: Iterable[Piece], lathes: Iterable[LatheOnHand]) -> list[Centers]:
    """One entry for each lathe that has a pair of centers, a driver and a dog."""
    usable = [piece for piece in rig if piece.kind in _KINDS and piece.is_usable and not piece.lacks]
    found = (_centers([piece for piece in usable if piece.mounted_on in (None, lathe.id)], lathe) for lathe in lathes)
    return [centers for centers in found if centers is not None]


def between_centers(stock: Stock, centers: Iterable[Centers], *, asked: Length | None) -> list[Grip]:
    """One grip for each of these that has a dog for the stock; the piece of the grip is the tailstock center."""
    band = stock.corner_band
    found = []
    for each in centers:
        chain = next((chain for chain in each.chains if _takes(chain.links[-1], band)), None)
        if chain is not None:
            found.append(_grip(stock, each, chain, asked))
    return found


def _takes(dog: Piece, band: Band) -> bool:
    """Whether stock of this band, across its corners, passes the dog."""
    return dog.outside_smallest <= band.smallest and band.largest <= dog.outside_largest


def _grip(stock: Stock, centers: Centers, chain: Chain, asked: Length | None) -> Grip:
    dog = chain.links[-1]
    reach = Reach(smallest=dog.outside_smallest, largest=dog.outside_largest)
    reasons = [
        centers.head_words,
        f"both ends are center-drilled first{_drill_for(stock)}",
        "put back, it keeps its axis",
    ]
    reasons += worn_links(chain) + marked_speed(chain, centers.tail)
    return Grip(
        piece=centers.tail,
        method="between centers",
        reach=reach,
        verdict=verdicts.judge(stock.corner_band, reach),
        margin=verdicts.margin(stock.corner_band, reach),
        in_true_zone=True,
        chain=chain,
        runout=centers.runout,
        meets_tir=centers.runout.meets(asked),
        bar=None,
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


def _runout(centers: Iterable[Piece]) -> runout.Runout:
    """Typical of the method, unless one of the centers is worn and nobody knows by how much."""
    is_doubtful = any(piece.condition == "worn" and piece.tir is None for piece in centers)
    return runout.restarted("between centers", None if is_doubtful else typical_tir("between centers"))


def _centers(here: list[Piece], lathe: LatheOnHand) -> Centers | None:
    dogs = sorted((piece for piece in here if piece.kind == "lathe dog"), key=lambda dog: (dog.condition, dog.tag))
    if not dogs or lathe.nose is None or lathe.tailstock_taper is None:
        return None
    found = _by_a_faceplate(here, lathe) or _by_a_chuck(here, lathe)
    if found is None:
        return None
    links, tail, head_words = found
    centers = [piece for piece in (*links, tail) if piece.kind in CENTER_KINDS]
    chains = tuple(Chain(lathe=lathe, links=(*links, dog)) for dog in dogs)
    return Centers(tail=tail, head_words=head_words, runout=_runout(centers), chains=chains)


def _by_a_faceplate(here: list[Piece], lathe: LatheOnHand) -> tuple[tuple[Piece, ...], Piece, str] | None:
    plate = _best(piece for piece in here if piece.kind == "faceplate" and piece.mounts_in.code == lathe.nose.code)
    if plate is None:
        return None
    for way, head in _heads(here, lathe.headstock_taper):
        tail = _tail(here, lathe, used=head)
        if tail is not None:
            return (plate, *way, head), tail, f"{head.tag} in the headstock, {plate.tag} drives the dog"
    return None


def _by_a_chuck(here: list[Piece], lathe: LatheOnHand) -> tuple[tuple[Piece, ...], Piece, str] | None:
    chuck = _best(
        (piece for piece in here if piece.kind in CHUCK_KINDS and piece.mounts_in.code == lathe.nose.code),
        mounted_on=lathe.id,
    )
    tail = _tail(here, lathe, used=None)
    if chuck is None or tail is None:
        return None
    return (chuck,), tail, f"turn a 60 degree point on scrap in {chuck.tag}, a jaw drives the dog"


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
