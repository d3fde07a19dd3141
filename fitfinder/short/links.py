"""Links that are missing between what is on hand and the lathes, and what each of them would open."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from itertools import product

from msgspec import Struct

from fitfinder.holding.chains import LEADS_ON, Links, Missing
from fitfinder.holding.pieces import LINK_KINDS, LatheOnHand, Piece, SeatOnHand
from inventory.reference.er_runout import is_of_the_standard
from inventory.reference.kinds import Kind

_MORSE = re.compile(r"MT([0-9])")
_PLAINNESS = {Kind.DRAWBAR: 0, Kind.SLEEVE: 1, Kind.COLLET_CHUCK: 2, Kind.CLOSER: 2}
_NO_ID = 0


class Shelf(Struct, frozen=True, kw_only=True):
    """What is in service of one series: the seat that it needs, how many sizes and how many pieces."""

    series: str
    seat: str
    sizes: int
    pieces: int
    closing: str = ""
    """How the shop's own are closed: `outside`, `inside` or `nut`."""

    @property
    def is_drawn(self) -> bool:
        return self.closing == "inside"

    @property
    def is_nut_closed(self) -> bool:
        return self.closing == "nut" if self.closing else is_of_the_standard(self.series)


class Shank(Struct, frozen=True):
    """A piece in service with a Morse shank, that a sleeve can carry."""

    tag: str
    taper: str


class LinkToGet(Struct, frozen=True, kw_only=True):
    """A link that is not here: its kind and seats, why nothing here does, and what it would open.

    `opens` are words for each lathe or seat; `sizes` and `pieces` on hand become usable there, `nowhere` of those
    pieces can be used on no lathe as it is.
    """

    kind: Kind
    mount: str
    takes: str
    why: str
    opens: tuple[str, ...]
    sizes: int
    pieces: int
    nowhere: int

    @property
    def name(self) -> str:
        if self.kind == Kind.DRAWBAR:
            return f"{self.mount} drawbar"
        if self.kind == Kind.SLEEVE:
            return f"{self.mount} to {self.takes} sleeve"
        return f"{self.takes} {self.kind} for {self.mount}"


class _Closed(Struct, frozen=True):
    """A series that cannot be used on a lathe as things are, and why not."""

    number: int
    lathe: LatheOnHand
    shelf: Shelf
    why: str


class _NewLink(Struct, frozen=True):
    """A link that could be got: its kind, what it mounts in, and what it takes (a code; empty for a drawbar)."""

    kind: Kind
    mount: SeatOnHand
    takes: str = ""

    @property
    def piece(self) -> Piece:
        return Piece(id=_NO_ID, tag="new", kind=self.kind, mounts_in=self.mount, offers=self.takes or None)


def missing_links(
    *, lathes: Sequence[LatheOnHand], rig: Sequence[Piece], shelves: Sequence[Shelf], shanks: Iterable[Shank]
) -> list[LinkToGet]:
    """The links to get, those first that open what can be used nowhere. Of two that open the same the plainer is told.

    A drawbar is plainer than a sleeve, and a sleeve than a new holder.
    """
    to_collets = _links_to_collets(lathes, rig, shelves)
    named = {link.name for link in to_collets}
    to_shanks = [link for link in _sleeves_for_shanks(lathes, rig, shanks) if link.name not in named]
    return sorted([*to_collets, *to_shanks], key=lambda link: (-link.nowhere, -link.pieces, link.name))


def _links_to_collets(lathes: Sequence[LatheOnHand], rig: Sequence[Piece], shelves: Sequence[Shelf]) -> list[LinkToGet]:
    """In order of what each opens that none before it opens; the plainer of two goes first."""
    here = Links(rig)
    closed = [
        _Closed(number, lathe, shelf, ways.why)
        for number, (lathe, shelf) in enumerate(product(lathes, shelves))
        if isinstance(ways := here.ways_to(shelf.seat, [lathe], is_drawn=shelf.is_drawn), Missing)
    ]
    lathes_closed = Counter(one.shelf.series for one in closed)
    nowhere = {series for series, count in lathes_closed.items() if count == len(lathes)}
    opens = _what_they_open(closed, rig)
    links, waiting = [], opens
    while waiting:
        plainest = min(waiting, key=lambda link: _rank(link, waiting[link]))
        opened = opens[plainest]
        links.append(_link_to_get(plainest, opened, nowhere))
        open_now = {one.number for one in opened}
        left = {link: [one for one in every if one.number not in open_now] for link, every in waiting.items()}
        waiting = {link: every for link, every in left.items() if every}
        # What a plainer link opens somewhere can be used nowhere no longer.
        nowhere -= {one.shelf.series for one in opened}
    return links


def _what_they_open(closed: Sequence[_Closed], rig: Sequence[Piece]) -> dict[_NewLink, list[_Closed]]:
    """Of the links that open something, each with what it alone opens."""
    by_seat: dict[str, list[_Closed]] = {}
    for one in closed:
        by_seat.setdefault(one.shelf.seat, []).append(one)
    opened = {}
    for link in {link for one in closed for link in _candidates(one, rig)}:
        # A closer or a chuck opens nothing but what it takes; a sleeve leads on, and a bar draws whatever it fits.
        concerned = closed if link.kind in LEADS_ON or not link.takes else by_seat.get(link.takes, [])
        with_it = Links([*rig, link.piece])
        opened[link] = [
            one for one in concerned if with_it.lead_to(one.shelf.seat, one.lathe, is_drawn=one.shelf.is_drawn)
        ]
    return {link: every for link, every in opened.items() if every}


def _candidates(closed: _Closed, rig: Sequence[Piece]) -> list[_NewLink]:
    """Links that may open this series on this lathe; whether they do is tried."""
    lathe, shelf, links = closed.lathe, closed.shelf, []
    holders = [piece for piece in rig if piece.is_usable and piece.kind in LINK_KINDS and piece.offers == shelf.seat]
    for holder in holders:
        if holder.mounts_in is None:
            continue
        if holder.kind == Kind.COLLET_CHUCK and holder.mounts_in.needs_drawbar:
            links.append(_NewLink(Kind.DRAWBAR, holder.mounts_in))
        if lathe.headstock_taper is not None and _goes_into(holder.mounts_in.code, lathe.headstock_taper.code):
            links.append(_NewLink(Kind.SLEEVE, lathe.headstock_taper, holder.mounts_in.code))
    if shelf.is_drawn:
        return [*links, *_for_a_drawn(shelf, lathe)]
    is_nut_closed = shelf.is_nut_closed
    seat = lathe.headstock_taper if is_nut_closed and lathe.headstock_taper else lathe.nose or lathe.headstock_taper
    if seat is not None:
        # A collet chuck with a Morse shank is bought with its drawbar in mind: on the nose it needs none.
        seat = lathe.nose if seat.needs_drawbar and lathe.nose is not None else seat
        links.append(_NewLink(Kind.COLLET_CHUCK if is_nut_closed else Kind.CLOSER, seat, shelf.seat))
    return links


def _for_a_drawn(shelf: Shelf, lathe: LatheOnHand) -> list[_NewLink]:
    """What a collet that a drawbar closes may lack: the bar itself, or a sleeve to its shank."""
    links = [_NewLink(Kind.DRAWBAR, SeatOnHand(shelf.seat, needs_drawbar=True))]
    if lathe.headstock_taper is not None and _goes_into(shelf.seat, lathe.headstock_taper.code):
        links.append(_NewLink(Kind.SLEEVE, lathe.headstock_taper, shelf.seat))
    return links


def _rank(link: _NewLink, opened: Iterable[_Closed]) -> tuple[int, int, str, str]:
    """The plainer kind first, then what opens more pieces."""
    return _PLAINNESS[link.kind], -sum(one.shelf.pieces for one in opened), link.mount.code, link.takes


def _link_to_get(link: _NewLink, opened: Sequence[_Closed], nowhere: Collection[str]) -> LinkToGet:
    lathes: dict[str, list[str]] = {}
    for one in opened:
        lathes.setdefault(one.shelf.series, []).append(one.lathe.name)
    shelves = {one.shelf.series: one.shelf for one in opened}
    return LinkToGet(
        kind=link.kind,
        mount=link.mount.code,
        takes=link.takes,
        why="; ".join(dict.fromkeys(one.why for one in opened)),
        opens=tuple(f"{series} on {' and '.join(lathes[series])}" for series in sorted(lathes)),
        sizes=sum(shelf.sizes for shelf in shelves.values()),
        pieces=sum(shelf.pieces for shelf in shelves.values()),
        nowhere=sum(shelf.pieces for series, shelf in shelves.items() if series in nowhere),
    )


def _goes_into(shank: str, socket: str) -> bool:
    """Whether a sleeve can carry this Morse shank in that socket: it is the smaller of the two."""
    small, large = _MORSE.fullmatch(shank), _MORSE.fullmatch(socket)
    return small is not None and large is not None and int(small[1]) < int(large[1])


def _sleeves_for_shanks(
    lathes: Iterable[LatheOnHand], rig: Iterable[Piece], shanks: Iterable[Shank]
) -> list[LinkToGet]:
    sleeves = [
        (piece.mounts_in.code, piece.offers)
        for piece in rig
        if piece.kind == Kind.SLEEVE and piece.is_usable and piece.mounts_in is not None and piece.offers
    ]
    places: dict[str, list[str]] = {}
    for lathe in lathes:
        for seat, words in ((lathe.headstock_taper, "headstock"), (lathe.tailstock_taper, "tailstock")):
            if seat is not None:
                places.setdefault(seat.code, []).append(f"the {words} of {lathe.name}")
    carried: dict[str, int] = {}
    for shank in shanks:
        carried[shank.taper] = carried.get(shank.taper, 0) + 1
    return [
        LinkToGet(
            kind=Kind.SLEEVE,
            mount=socket,
            takes=taper,
            why=f"no sleeve from {socket} to {taper}",
            opens=tuple(f"{taper} shanks in {where}" for where in places[socket]),
            sizes=0,
            pieces=pieces,
            nowhere=0 if _is_reached(taper, places, sleeves) else pieces,
        )
        for socket in places
        for taper, pieces in carried.items()
        if _goes_into(taper, socket) and not _is_reached(taper, [socket], sleeves)
    ]


def _is_reached(taper: str, sockets: Iterable[str], sleeves: Sequence[tuple[str, str]]) -> bool:
    """Whether the shank fits one of these sockets as it is, or through the sleeves that are here."""
    reached = set(sockets)
    for _ in sleeves:
        reached |= {takes for mount, takes in sleeves if mount in reached}
    return taper in reached
