"""All that a plan is made from: what is on hand, the lathes in question, and the shop's working minutes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from msgspec.structs import replace

from fitfinder.holding.chains import MOST_LINKS, Chain, Missing, chains_to
from fitfinder.holding.pieces import COLLET_KINDS, IN_THE_SPINDLE, CribNow, JawSet, LatheOnHand, Piece
from fitfinder.plan.efforts import Effort, Minutes
from inventory.measures.lengths import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """`crib` holds the lathes, the rig, and the collets that may grip this stock on any of them."""

    crib: CribNow
    jaw_sets: tuple[JawSet, ...] = ()
    bored: tuple[Piece, ...] = ()
    """Machinable collets that are bored; `pilot` is the bore that is in each now."""
    minutes: Minutes = field(default_factory=Minutes)

    @property
    def rig(self) -> tuple[Piece, ...]:
        return self.crib.rig

    def on(self, lathe: LatheOnHand | None) -> CribNow:
        """What is on hand for work on this lathe."""
        if lathe is None:
            return self.crib
        return replace(self.crib, lathes=(lathe,))

    def of_kind(self, *kinds: str) -> list[Piece]:
        return [piece for piece in self.rig if piece.kind in kinds]


def reached(piece: Piece, floor: Floor, lathe: LatheOnHand | None) -> Chain | str:
    """The best way from the lathe to the seat of `piece`, or a sentence that says what is missing."""
    if lathe is None:
        return Chain(lathe=None, is_checked=False, doubt="No lathe is described, so its seat is not checked.")
    if piece.mounts_in is None:
        return Chain(lathe=lathe, is_checked=False, doubt=f"Where {piece.tag} mounts is not filled in.")
    if piece.mounted_on not in (None, lathe.id):
        return f"{piece.tag} is on another lathe"
    ways = chains_to(piece.mounts_in.code, rig=floor.rig, lathes=(lathe,))
    if isinstance(ways, Missing):
        return _no_way(piece, lathe, ways, floor.rig)
    return min(ways, key=lambda way: (not way.is_checked, len(way.links), way.to_be_fitted))


def _no_way(piece: Piece, lathe: LatheOnHand, ways: Missing, rig: Iterable[Piece]) -> str:
    """Which link is missing between the spindle and this piece."""
    seat, head = piece.mounts_in.code, lathe.headstock_taper
    if piece.mounts_in.needs_drawbar and head is not None:
        return no_sleeve(seat, head.code, rig=rig, of=piece)
    if piece.kind in COLLET_KINDS or piece.kind == "expanding arbor":
        return f"{ways.why}, for {piece.tag}"
    return f"nothing leads from {lathe.name} to {seat}, where {piece.tag} mounts"


def no_sleeve(shank: str, socket: str, *, rig: Iterable[Piece], of: Piece | None = None) -> str:
    """The sleeve that is missing from a shank to the socket that it goes in: `no sleeve from MT3 to MT5`."""
    known = [piece for piece in rig if piece.kind == "sleeve" and piece.offers == shank]
    fitting = [piece for piece in known if piece.mounts_in is not None and piece.mounts_in.code == socket]
    return f"no sleeve from {shank} to {socket}{f' for {of.tag}' if of else ''}{because(fitting)}"


def sleeves_to(piece: Piece, socket: str, floor: Floor, lathe: LatheOnHand) -> list[Piece] | str:
    """The sleeves from a socket of the lathe to this Morse shank, outermost first and as few as can be; empty where
    it goes in by itself; a sentence that names the sleeve that is missing."""
    shank = piece.mounts_in.code
    if shank == socket:
        return []
    sleeves = [
        one
        for one in floor.of_kind("sleeve")
        if one.is_usable and one.mounts_in is not None and one.offers and one.mounted_on in (None, lathe.id)
    ]
    ways: list[tuple[Piece, ...]] = [()]
    for _ in range(MOST_LINKS):
        ways = [
            (*way, one)
            for way in ways
            for one in sleeves
            if one not in way and one.mounts_in.code == (way[-1].offers if way else socket)
        ]
        done = [way for way in ways if way[-1].offers == shank]
        if done:
            return list(min(done, key=lambda way: [(one.condition != "good", one.tag) for one in way]))
    return no_sleeve(shank, socket, rig=floor.rig, of=piece)


def best(pieces: Iterable[Piece], lathe: LatheOnHand | None) -> Piece | None:
    """What is mounted on this lathe already, then good before worn, then the truest."""
    here = lathe.id if lathe else None
    return min(
        pieces,
        key=lambda piece: (
            here is None or piece.mounted_on != here,
            piece.condition != "good",
            piece.tir is None,
            piece.tir.nm if piece.tir else 0,
            piece.tag,
        ),
        default=None,
    )


def unusable(pieces: Iterable[Piece]) -> str:
    """Why none of these serves: `K-0081 is out to Dana`; empty where there are none."""
    return "; ".join(f"{piece.tag} is {piece.why_not}" for piece in list(pieces)[:3])


def because(pieces: Iterable[Piece]) -> str:
    """What is said behind something missing, of those that would serve: `: K-0081 is out to Dana`, or nothing."""
    why = unusable(piece for piece in pieces if not piece.is_usable)
    return f": {why}" if why else ""


def takes_bore(piece: Piece, bore: Length) -> bool:
    """Whether a bore lies in what this piece holds from within; what is not filled in takes none."""
    low, high = piece.inside_smallest, piece.inside_largest
    return low is not None and high is not None and low <= bore <= high


def coming_off(pieces: Iterable[Piece], floor: Floor, lathe: LatheOnHand | None) -> tuple[Piece, ...]:
    """What is on the nose or in a taper of the lathe now and has to make room for these pieces."""
    pieces = list(pieces)
    if lathe is None:
        return ()
    new = [piece for piece in pieces if piece.mounted_on != lathe.id]
    # What sits in another of these pieces, as an arbor in its sleeve, wants no seat of the lathe.
    wanted = Counter(piece.mounts_in.code for piece in new if piece.mounts_in is not None)
    wanted = set(wanted - Counter(piece.offers for piece in new if piece.offers))
    if lathe.nose is not None and _stands_before_the_nose(new, lathe):
        wanted.add(lathe.nose.code)
    ends = {seat.code for seat in (lathe.nose, lathe.headstock_taper, lathe.tailstock_taper) if seat is not None}
    return tuple(
        piece
        for piece in floor.rig
        if piece not in pieces
        and piece.mounted_on == lathe.id
        and piece.mounts_in is not None
        and piece.mounts_in.code in wanted & ends
    )


def _stands_before_the_nose(pieces: Iterable[Piece], lathe: LatheOnHand) -> bool:
    """Whether one of these goes into the headstock taper and stands where a chuck on the nose would be."""
    head, tail = lathe.headstock_taper, lathe.tailstock_taper
    if head is None or tail is not None and head.code == tail.code:
        return False
    return any(
        piece.kind in IN_THE_SPINDLE and piece.mounts_in is not None and piece.mounts_in.code == head.code
        for piece in pieces
    )


def fitting(piece: Piece, chain: Chain, floor: Floor) -> Effort:
    """Minutes to fit what is not on the lathe yet: the chuck, closer or plate, and what leads to it."""
    lathe = chain.lathe
    here = lathe.id if lathe else None
    if here is not None and all(part.mounted_on == here for part in (*chain.links, piece)):
        return Effort()
    nose = lathe.nose if lathe else None
    name = "chuck change, threaded" if nose is not None and nose.is_thread else "chuck change, camlock"
    return Effort(fit=floor.minutes.of(name), names=(name,))


def keys_for(pieces: Iterable[Piece], floor: Floor, lathe: LatheOnHand | None = None) -> tuple[list[Piece], list[str]]:
    """The keys and wrenches that tighten these pieces, and those that are missing.

    A key counts where the shop keeps one as a piece: what it keeps none for needs none. What is on the lathe already
    needs no key for the nose.
    """
    found, missing = [], []
    for piece in pieces:
        for name in _tightened(piece, lathe):
            keys = [key for key in floor.of_kind("key") if name in key.fits]
            usable = best((key for key in keys if key.is_usable), None)
            if usable is not None and usable not in found:
                found.append(usable)
            elif keys and usable is None:
                missing.append(f"no key for {piece.tag}: {unusable(keys)}")
    return found, missing


def _tightened(piece: Piece, lathe: LatheOnHand | None) -> list[str]:
    """What of this piece a key may be for: itself, the seat that it offers, and the seat that it is put on."""
    names = [piece.tag, piece.offers or ""]
    if piece.mounts_in is not None and (lathe is None or piece.mounted_on != lathe.id):
        names.append(piece.mounts_in.code)
    return [name.upper() for name in names if name]
