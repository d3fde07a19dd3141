"""Links that are missing between what is on hand and the lathes, and what each of them would open."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from msgspec import Struct

from fitfinder.holding.chains import Missing, chains_to
from fitfinder.holding.pieces import LINK_KINDS, LatheOnHand, Piece, Seat

_MORSE = re.compile(r"MT([0-9])")
_RANK = {"drawbar": 0, "sleeve": 1, "collet chuck": 2, "closer": 3}
_NO_ID = 0


class Shelf(Struct, frozen=True, kw_only=True):
    """What is in service of one series: the seat that it needs, how many sizes and how many pieces."""

    series: str
    seat: str
    sizes: int
    pieces: int


class Shank(Struct, frozen=True):
    """A piece in service with a Morse shank, that a sleeve can carry."""

    tag: str
    taper: str


class LinkToGet(Struct, frozen=True, kw_only=True):
    """A link that is not here: its kind and seats, why nothing here does, and what it would open.

    `opens` are words for each lathe or seat; `sizes` and `pieces` on hand become usable there, `nowhere` of those
    pieces can be used on no lathe as it is.
    """

    kind: str
    mount: str
    takes: str
    why: str
    opens: tuple[str, ...]
    sizes: int
    pieces: int
    nowhere: int

    @property
    def name(self) -> str:
        if self.kind == "drawbar":
            return f"{self.mount} drawbar"
        if self.kind == "sleeve":
            return f"{self.mount} to {self.takes} sleeve"
        return f"{self.takes} {self.kind} for {self.mount}"


def missing_links(
    *, lathes: Sequence[LatheOnHand], rig: Sequence[Piece], shelves: Sequence[Shelf], shanks: Iterable[Shank]
) -> list[LinkToGet]:
    """The links to get, those first that open what can be used nowhere. Of two that open the same the plainer is told.

    A drawbar is plainer than a sleeve, and a sleeve than a new holder.
    """
    to_collets = _links_to_collets(lathes, rig, shelves)
    told = {(link.kind, link.mount, link.takes) for link in to_collets}
    to_shanks = [
        link
        for link in _sleeves_for_shanks(lathes, rig, list(shanks))
        if (link.kind, link.mount, link.takes) not in told
    ]
    return sorted([*to_collets, *to_shanks], key=lambda link: (-link.nowhere, -link.pieces, link.name))


def _links_to_collets(lathes, rig, shelves) -> list[LinkToGet]:
    closed = {}
    for lathe in lathes:
        for shelf in shelves:
            found = chains_to(shelf.seat, rig=rig, lathes=[lathe])
            if isinstance(found, Missing):
                closed[lathe.id, shelf.series] = (lathe, shelf, found.why)
    by_series = {shelf.series: shelf for shelf in shelves}
    nowhere = {series for series in by_series if all((lathe.id, series) in closed for lathe in lathes)}
    candidates = {
        (piece.kind, piece.mounts_in.code, piece.offers): piece
        for lathe, shelf, _ in closed.values()
        for piece in _candidates(lathe, shelf, rig)
    }
    opened = {key: _opened(piece, closed, rig) for key, piece in candidates.items()}
    return _plainest(opened, closed, by_series, nowhere)


def _plainest(opened, closed, by_series, nowhere) -> list[LinkToGet]:
    """The candidates in order of what they open that none before opens; the plainer of two goes first."""
    links, left = [], set(closed)

    def rank(key):
        new = opened[key] & left
        return (
            _RANK[key[0]] if key[0] in ("drawbar", "sleeve") else 2,
            -sum(by_series[series].pieces for _, series in new),
            key[1],
            key[2] or "",
        )

    waiting = set(opened)
    while waiting:
        key = min(waiting, key=rank)
        waiting.remove(key)
        new = opened[key] & left
        if not new:
            continue
        left -= new
        links.append(_link(key, opened[key], closed, by_series, nowhere))
        # What a plainer link opens somewhere can be used nowhere no longer.
        nowhere = nowhere - {series for _, series in opened[key]}
    return links


def _link(key, pairs, closed, by_series, nowhere) -> LinkToGet:
    kind, mount, takes = key
    series = sorted({code for _, code in pairs})
    opens = tuple(
        f"{code} on {' and '.join(closed[lathe, of][0].name for lathe, of in sorted(pairs) if of == code)}"
        for code in series
    )
    whys = dict.fromkeys(closed[pair][2] for pair in sorted(pairs))
    return LinkToGet(
        kind=kind,
        mount=mount,
        takes=takes or "",
        why="; ".join(whys),
        opens=opens,
        sizes=sum(by_series[code].sizes for code in series),
        pieces=sum(by_series[code].pieces for code in series),
        nowhere=sum(by_series[code].pieces for code in series if code in nowhere),
    )


def _opened(piece: Piece, closed, rig) -> frozenset:
    """The lathe and series pairs that this link alone opens."""
    return frozenset(
        pair
        for pair, (lathe, shelf, _) in closed.items()
        if not isinstance(chains_to(shelf.seat, rig=[*rig, piece], lathes=[lathe]), Missing)
    )


def _candidates(lathe: LatheOnHand, shelf: Shelf, rig: Sequence[Piece]) -> list[Piece]:
    """Links that may open this series on this lathe; whether they do is tried."""
    found = []
    holders = [piece for piece in rig if piece.is_usable and piece.kind in LINK_KINDS and piece.offers == shelf.seat]
    for holder in holders:
        if holder.mounts_in is None:
            continue
        if holder.kind == "collet chuck" and holder.mounts_in.needs_drawbar:
            found.append(_piece("drawbar", holder.mounts_in, None))
        if lathe.headstock_taper is not None and _goes_into(holder.mounts_in.code, lathe.headstock_taper.code):
            found.append(_piece("sleeve", lathe.headstock_taper, holder.mounts_in.code))
    is_nut_closed = shelf.series.startswith("ER")
    seat = lathe.headstock_taper if is_nut_closed and lathe.headstock_taper else lathe.nose or lathe.headstock_taper
    if seat is not None:
        # A collet chuck with a Morse shank is bought with its drawbar in mind: on the nose it needs none.
        seat = lathe.nose if seat.needs_drawbar and lathe.nose is not None else seat
        found.append(_piece("collet chuck" if is_nut_closed else "closer", seat, shelf.seat))
    return found


def _piece(kind: str, mount: Seat, takes: str | None) -> Piece:
    return Piece(id=_NO_ID, tag="new", kind=kind, mounts_in=mount, offers=takes)


def _goes_into(shank: str, socket: str) -> bool:
    """Whether a sleeve can carry this Morse shank in that socket: it is the smaller of the two."""
    small, large = _MORSE.fullmatch(shank), _MORSE.fullmatch(socket)
    return bool(small and large) and int(small[1]) < int(large[1])


def _sleeves_for_shanks(lathes, rig, shanks: list[Shank]) -> list[LinkToGet]:
    sleeves = [
        (piece.mounts_in.code, piece.offers)
        for piece in rig
        if piece.kind == "sleeve" and piece.is_usable and piece.mounts_in is not None and piece.offers
    ]
    sockets: dict[str, list[str]] = {}
    for lathe in lathes:
        for seat, words in ((lathe.headstock_taper, "headstock"), (lathe.tailstock_taper, "tailstock")):
            if seat is not None:
                sockets.setdefault(seat.code, []).append(f"the {words} of {lathe.name}")
    tags: dict[str, list[str]] = {}
    for shank in shanks:
        tags.setdefault(shank.taper, []).append(shank.tag)
    return [
        LinkToGet(
            kind="sleeve",
            mount=socket,
            takes=taper,
            why=f"no sleeve from {socket} to {taper}",
            opens=tuple(f"{taper} shanks in {where}" for where in places),
            sizes=0,
            pieces=len(carried),
            nowhere=0 if _is_reached(taper, set(sockets), sleeves) else len(carried),
        )
        for socket, places in sockets.items()
        for taper, carried in tags.items()
        if _goes_into(taper, socket) and not _is_reached(taper, {socket}, sleeves)
    ]


def _is_reached(taper: str, sockets: set[str], sleeves: list[tuple[str, str]]) -> bool:
    """Whether the shank fits one of these sockets as it is, or through the sleeves that are here."""
    reached = set(sockets)
    for _ in sleeves:
        reached |= {takes for mount, takes in sleeves if mount in reached}
    return taper in reached
