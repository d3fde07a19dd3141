"""From a lathe's seats to the work, through what is on hand.

A chain is the pieces of a grip in order, without the lathe and without the collet or chuck that holds the work.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

from msgspec import Struct

from fitfinder.holding import runout
from fitfinder.holding.pieces import LINK_KINDS, LatheOnHand, Piece, SeatOnHand
from fitfinder.holding.runout import Runout
from inventory.measures.day_words import shown as day_shown
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind

CLOSED_BY_A_DRAWBAR = frozenset({"R8"})
"""Seats of collets that sit in the spindle without a closer: common practice."""
LEADS_ON = frozenset({Kind.SLEEVE, Kind.BACKPLATE})
"""What only leads to another seat."""
MOST_LINKS = 3
MOST_AWAY = 3
"""So many pieces that would serve are told by name."""


class Chain(Struct, frozen=True, kw_only=True, dict=True):
    """A way to a seat. `is_checked` is False where a detail that decides is not known; `doubt` says which.

    What follows from the links is worked out once: it is asked again for every piece that is ranked.
    """

    lathe: LatheOnHand | None
    links: tuple[Piece, ...] = ()
    is_checked: bool = True
    doubt: str = ""

    @cached_property
    def is_worn(self) -> bool:
        """Whether a link of it is not good."""
        return any(not link.is_good for link in self.links)

    @cached_property
    def is_wanted(self) -> bool:
        """Whether somebody else's job wants a link of it soon."""
        return any(link.is_wanted for link in self.links)

    @cached_property
    def to_be_fitted(self) -> int:
        """How many of its pieces have to be put on this lathe first."""
        here = self.lathe.id if self.lathe else None
        return sum(1 for link in self.links if here is None or link.mounted_on != here)

    @cached_property
    def runout(self) -> Runout:
        """How truly it runs, up to what holds the work."""
        return runout.of_links(self.lathe, self.links)

    def runout_to(self, piece: Piece, *, typical: Length | None) -> Runout:
        """How truly the piece runs at the end of it."""
        share = runout.share_of(piece, typical=typical)
        if piece.tir is None or (piece.tir_in_holder is None and piece.tir_on_lathe is None):
            return self.runout.and_then(share)
        return runout.with_reading(self.lathe, self.links, share, piece)

    @property
    def is_on(self) -> bool:
        """Whether it has pieces, and all of them are on this lathe already."""
        return bool(self.links) and not self.to_be_fitted


class Missing(Struct, frozen=True):
    """No way to a seat: which link is missing, and which pieces would serve and cannot be used now."""

    why: str
    away: tuple[Piece, ...] = ()
    lent: Piece | None = None
    """A piece that somebody has, where `why` tells of it already."""

    def __str__(self) -> str:
        """`no lathe dog for 1 in: D-0012 is out to Dana`; without a word of its own only what is away."""
        away = "; ".join(how_it_is_away(piece) for piece in self.away[:MOST_AWAY])
        return f"{self.why}: {away}" if self.why and away else self.why or away

    @property
    def can_be_fetched(self) -> bool:
        """Whether all that is to be done is to ask the person who has it."""
        return self.to_fetch is not None

    @property
    def to_fetch(self) -> Piece | None:
        """What somebody has who is only to be asked."""
        return self.lent or next((piece for piece in self.away if piece.is_lent), None)

    def wanted_by(self, piece: Piece) -> Missing:
        """The same, said of the piece that lacks it."""
        return Missing(f"{self.why} for {piece.tag}", self.away, self.lent)


def how_it_is_away(piece: Piece) -> str:
    """`fetch D-0012 from Dana, out since 2026-11-20, due back 2026-12-01`; `D-0012 is damaged`."""
    if not piece.is_lent or not piece.lent_to:
        return f"{piece.tag} is {piece.why_not}"
    due = f", due back {day_shown(piece.due_back)}" if piece.due_back is not None else ""
    since = f" since {day_shown(piece.lent_since)}" if piece.lent_since is not None else ""
    return f"fetch {piece.tag} from {piece.lent_to}, out{since}{due}"


def chains_to(
    seat: str, *, rig: Iterable[Piece], lathes: Sequence[LatheOnHand], is_drawn: bool = False
) -> list[Chain] | Missing:
    """All ways from the lathes to `seat` (a code); Missing where a link is known not to be here.

    Of what is drawn, as a collet with a Morse shank, each way has the drawbar that closes it. Without any lathe the way
    stays open and unchecked.
    """
    return Links(rig).ways_to(seat, lathes, is_drawn=is_drawn)


class Links:
    """The pieces that lead from a spindle to other seats. Each lathe is walked once for all the seats that are asked
    for."""

    def __init__(self, rig: Iterable[Piece]) -> None:
        self.pieces = [piece for piece in rig if piece.kind in LINK_KINDS or piece.kind == Kind.DRAWBAR]
        self.drawbars = [piece for piece in self.pieces if piece.kind == Kind.DRAWBAR]
        self.usable = [piece for piece in self.pieces if piece.is_usable and piece.kind in LINK_KINDS]
        self.offered = {piece.offers for piece in self.usable}  # with None where one does not say
        self.by_mount: dict[str, list[Piece]] = {}
        for piece in self.usable:
            if piece.mounts_in is not None and piece.offers is not None:
                self.by_mount.setdefault(piece.mounts_in.code, []).append(piece)
        self._walked: dict[int, dict[str, list[tuple[Piece, ...]]]] = {}
        self._chains: dict[tuple[int, str, bool], list[Chain]] = {}

    def ways_to(self, seat: str, lathes: Sequence[LatheOnHand], *, is_drawn: bool) -> list[Chain] | Missing:
        """As `chains_to`."""
        is_drawn = is_drawn or seat in CLOSED_BY_A_DRAWBAR
        if not lathes:
            return _unchecked_without_lathe(seat, self)
        chains = [chain for lathe in lathes for chain in self._from(lathe, seat, is_drawn=is_drawn)]
        return chains or _what_is_missing(seat, self, lathes, is_drawn=is_drawn)

    def lead_to(self, seat: str, lathe: LatheOnHand, *, is_drawn: bool) -> bool:
        """Whether there is a way, without asking why not."""
        return bool(self._from(lathe, seat, is_drawn=is_drawn or seat in CLOSED_BY_A_DRAWBAR))

    def _from(self, lathe: LatheOnHand, seat: str, *, is_drawn: bool) -> list[Chain]:
        if seat not in _starts(lathe) and self.offered.isdisjoint((seat, None)):
            return []  # as of most seats that there is a table of
        key = (lathe.id, seat, is_drawn)
        if key not in self._chains:
            self._chains[key] = list(_on_lathe(seat, self, lathe, is_drawn=is_drawn))
        return self._chains[key]

    def from_spindle(self, lathe: LatheOnHand, seat: str) -> list[tuple[Piece, ...]]:
        """The pieces from the seats of this spindle to another seat, by each way."""
        if lathe.id not in self._walked:
            by_seat: dict[str, list[tuple[Piece, ...]]] = {}
            for way in (way for start in _starts(lathe) for way in self._walk(lathe, start, ())):
                by_seat.setdefault(way[-1].offers or "", []).append(way)
            self._walked[lathe.id] = by_seat
        return self._walked[lathe.id].get(seat, [])

    def _walk(self, lathe: LatheOnHand, at: str, so_far: tuple[Piece, ...]) -> Iterator[tuple[Piece, ...]]:
        for piece in self.by_mount.get(at, ()):
            if piece in so_far or not piece.is_free_for(lathe):
                continue
            way = (*so_far, piece)
            # Nobody goes on from a seat to come back to it.
            if all(link.offers != piece.offers for link in so_far):
                yield way
            if piece.kind in LEADS_ON and piece.offers is not None and len(way) < MOST_LINKS:
                yield from self._walk(lathe, piece.offers, way)


def _unchecked_without_lathe(seat: str, links: Links) -> list[Chain]:
    holders = [piece for piece in links.usable if piece.offers == seat]
    doubt = "No lathe is described, so its seat is not checked."
    ways: list[tuple[Piece, ...]] = [(holder,) for holder in holders] or [()]
    return [Chain(lathe=None, links=way, is_checked=False, doubt=doubt) for way in ways]


def _on_lathe(seat: str, links: Links, lathe: LatheOnHand, *, is_drawn: bool) -> Iterator[Chain]:
    starts = _starts(lathe)
    if seat in starts:
        yield from _drawn(seat, (), links, lathe) if is_drawn else (Chain(lathe=lathe),)
    known = [
        chain
        for way in links.from_spindle(lathe, seat)
        for chain in (
            # A sleeve only leads on: the drawbar reaches through it to the collet.
            _drawn(seat, way, links, lathe)
            if is_drawn and seat not in CLOSED_BY_A_DRAWBAR and way[-1].kind == Kind.SLEEVE
            else _with_drawbar(lathe, way, links)
        )
    ]
    yield from known
    if not known:
        yield from _doubtful(seat, links, lathe)


def _starts(lathe: LatheOnHand) -> list[str]:
    return [start.code for start in lathe.spindle_seats]


def _drawn(seat: str, way: tuple[Piece, ...], links: Links, lathe: LatheOnHand) -> Iterator[Chain]:
    """A collet that a drawbar closes where it sits, with each that draws it. Where the shop has entered none, somebody
    has to see that there is one."""
    bars = [bar for bar in links.drawbars if _code_of(bar.mounts_in) == seat]
    for bar in bars:
        if bar.is_usable and bar.is_free_for(lathe):
            yield Chain(lathe=lathe, links=(bar, *way))
    if not bars:
        yield Chain(
            lathe=lathe, links=way, is_checked=False, doubt=f"No {seat} drawbar is on file, and it closes by one."
        )


def _code_of(seat: SeatOnHand | None) -> str:
    return seat.code if seat is not None else ""


def _with_drawbar(lathe: LatheOnHand, way: tuple[Piece, ...], links: Links) -> Iterator[Chain]:
    """The chain as it is, or with each drawbar that draws its Morse shank; none where it has to be and is not."""
    shank = _drawn_shank(way[-1])
    if shank is None:
        yield Chain(lathe=lathe, links=way)
        return
    for bar in links.drawbars:
        if not bar.is_usable or not bar.is_free_for(lathe):
            continue
        if bar.mounts_in is None:
            doubt = f"{bar.tag} does not say which taper it draws."
            yield Chain(lathe=lathe, links=(bar, *way), is_checked=False, doubt=doubt)
        # A drawbar is made for the thread of one shank: that of the sleeve around it does not draw it.
        elif bar.mounts_on(shank):
            yield Chain(lathe=lathe, links=(bar, *way))


def _drawn_shank(piece: Piece) -> SeatOnHand | None:
    """The Morse shank by which a drawbar has to hold this piece; None where it needs none."""
    shank = piece.mounts_in if piece.kind == Kind.COLLET_CHUCK else None
    return shank if shank is not None and shank.needs_drawbar else None


def _doubtful(seat: str, links: Links, lathe: LatheOnHand) -> Iterator[Chain]:
    """Ways that would do if a detail nobody filled in turned out right."""
    seats = lathe.spindle_seats
    for piece in links.usable:
        if piece.offers not in (None, seat) or piece.kind == Kind.SLEEVE or not piece.is_free_for(lathe):
            continue
        mount = piece.mounts_in
        if piece.offers == seat and piece.mounted_on == lathe.id:
            # Whatever is filled in of it: it is on.
            yield Chain(lathe=lathe, links=(piece,))
            continue
        fits = any(piece.mounts_on(start) for start in seats)
        if mount is not None and not fits and not _is_open_for(mount, lathe):
            continue
        if mount is None or piece.offers is None:
            doubt = f"{piece.tag} has details missing."
        elif not fits:
            doubt = f"Where {piece.tag} mounts on {lathe.name} is not described."
        else:
            continue
        yield Chain(lathe=lathe, links=(piece,), is_checked=False, doubt=doubt)


def _is_open_for(mount: SeatOnHand, lathe: LatheOnHand) -> bool:
    """Whether the seat of the lathe that this would go in is one that nobody described."""
    return lathe.headstock_taper is None if mount.needs_drawbar else lathe.nose is None


def _what_is_missing(seat: str, links: Links, lathes: Sequence[LatheOnHand], *, is_drawn: bool) -> Missing:
    names = " or ".join(lathe.name for lathe in lathes)
    if is_drawn and any(seat in _starts(lathe) for lathe in lathes):
        bars = tuple(bar for bar in links.drawbars if _code_of(bar.mounts_in) == seat)
        return Missing(f"no {seat} drawbar on {names}", tuple(bar for bar in bars if not bar.is_usable))
    holders = [piece for piece in links.pieces if piece.kind in LINK_KINDS and piece.offers == seat]
    for holder in holders:
        shank = _drawn_shank(holder) if holder.is_usable else None
        if shank is not None and any(holder.mounts_on(lathe.headstock_taper) for lathe in lathes):
            bars = tuple(bar for bar in links.drawbars if bar.mounts_on(shank) and not bar.is_usable)
            return Missing(f"no {shank.code} drawbar for {holder.tag}", bars)
    unusable = min((piece for piece in holders if not piece.is_usable), key=lambda one: not one.is_lent, default=None)
    if unusable is not None:
        lent = unusable if unusable.is_lent else None
        return Missing(f"{unusable.tag}, which takes {seat}, is {unusable.why_not}", lent=lent)
    if holders:
        return Missing(f"{holders[0].tag}, which takes {seat}, does not fit {names}")
    return Missing(f"no closer or collet chuck for {seat} on {names}")
