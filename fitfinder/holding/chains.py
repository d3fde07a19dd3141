"""From a lathe's seats to the work, through what is on hand.

A chain is the pieces of a grip in order, without the lathe and without the collet or chuck that holds the work.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
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
    seat: str, *, rig: Iterable[Piece], lathes: Iterable[LatheOnHand], is_drawn: bool = False
) -> list[Chain] | Missing:
    """All ways from the lathes to `seat` (a code); Missing where a link is known not to be here.

    Of what is drawn, as a collet with a Morse shank, each way has the drawbar that closes it. Without any lathe the way
    stays open and unchecked.
    """
    is_drawn = is_drawn or seat in CLOSED_BY_A_DRAWBAR
    rig, lathes = [piece for piece in rig if _may_lead_to(seat, piece)], list(lathes)
    if not lathes:
        return _unchecked_without_lathe(seat, rig)
    links = _by_mount(rig)
    found = [chain for lathe in lathes for chain in _on_lathe(seat, rig, links, lathe, is_drawn=is_drawn)]
    return found or _what_is_missing(seat, rig, lathes, is_drawn=is_drawn)


def _may_lead_to(seat: str, piece: Piece) -> bool:
    return piece.offers in (seat, None) or piece.kind in LEADS_ON or piece.kind == Kind.DRAWBAR


def _by_mount(rig: list[Piece]) -> dict[str, list[Piece]]:
    """The links that can be used, by the seat that each mounts in."""
    found: dict[str, list[Piece]] = {}
    for piece in rig:
        if piece.kind in LINK_KINDS and piece.is_usable and piece.mounts_in is not None and piece.offers is not None:
            found.setdefault(piece.mounts_in.code, []).append(piece)
    return found


def _unchecked_without_lathe(seat: str, rig: list[Piece]) -> list[Chain]:
    holders = [piece for piece in rig if piece.is_usable and piece.kind in LINK_KINDS and piece.offers == seat]
    doubt = "No lathe is described, so its seat is not checked."
    ways: list[tuple[Piece, ...]] = [(holder,) for holder in holders] or [()]
    return [Chain(lathe=None, links=links, is_checked=False, doubt=doubt) for links in ways]


def _on_lathe(
    seat: str, rig: list[Piece], links: dict[str, list[Piece]], lathe: LatheOnHand, *, is_drawn: bool
) -> Iterator[Chain]:
    starts = _starts(lathe)
    if seat in starts:
        yield from _drawn(seat, (), rig, lathe) if is_drawn else (Chain(lathe=lathe),)
    ways = [way for start in starts for way in _walk(seat, links, lathe, start, ())]
    known = [
        chain
        for way in ways
        for chain in (
            # A sleeve only leads on: the drawbar reaches through it to the collet.
            _drawn(seat, way, rig, lathe)
            if is_drawn and seat not in CLOSED_BY_A_DRAWBAR and way[-1].kind == Kind.SLEEVE
            else _with_drawbar(lathe, way, rig)
        )
    ]
    yield from known
    if not known:
        yield from _doubtful(seat, rig, lathe)


def _starts(lathe: LatheOnHand) -> list[str]:
    return [start.code for start in lathe.spindle_seats]


def _drawn(seat: str, links: tuple[Piece, ...], rig: list[Piece], lathe: LatheOnHand) -> Iterator[Chain]:
    """A collet that a drawbar closes where it sits, with each that draws it. Where the shop has entered none, somebody
    has to see that there is one."""
    bars = [bar for bar in rig if bar.kind == Kind.DRAWBAR and _code_of(bar.mounts_in) == seat]
    for bar in bars:
        if bar.is_usable and bar.is_free_for(lathe):
            yield Chain(lathe=lathe, links=(bar, *links))
    if not bars:
        yield Chain(
            lathe=lathe, links=links, is_checked=False, doubt=f"No {seat} drawbar is on file, and it closes by one."
        )


def _code_of(seat: SeatOnHand | None) -> str:
    return seat.code if seat is not None else ""


def _walk(
    seat: str, links: dict[str, list[Piece]], lathe: LatheOnHand, at: str, so_far: tuple[Piece, ...]
) -> Iterator[tuple[Piece, ...]]:
    """The pieces from a seat of this lathe to the one that is asked for."""
    if len(so_far) >= MOST_LINKS:
        return
    for piece in links.get(at, ()):
        if piece in so_far or not piece.is_free_for(lathe):
            continue
        if piece.offers == seat:
            yield (*so_far, piece)
        elif piece.kind in LEADS_ON and piece.offers is not None:
            yield from _walk(seat, links, lathe, piece.offers, (*so_far, piece))


def _with_drawbar(lathe: LatheOnHand, links: tuple[Piece, ...], rig: list[Piece]) -> Iterator[Chain]:
    """The chain as it is, or with each drawbar that draws its Morse shank; none where it has to be and is not."""
    shank = _drawn_shank(links[-1])
    if shank is None:
        yield Chain(lathe=lathe, links=links)
        return
    for bar in rig:
        if bar.kind != Kind.DRAWBAR or not bar.is_usable or not bar.is_free_for(lathe):
            continue
        if bar.mounts_in is None:
            doubt = f"{bar.tag} does not say which taper it draws."
            yield Chain(lathe=lathe, links=(bar, *links), is_checked=False, doubt=doubt)
        # A drawbar is made for the thread of one shank: that of the sleeve around it does not draw it.
        elif bar.mounts_on(shank):
            yield Chain(lathe=lathe, links=(bar, *links))


def _drawn_shank(piece: Piece) -> SeatOnHand | None:
    """The Morse shank by which a drawbar has to hold this piece; None where it needs none."""
    shank = piece.mounts_in if piece.kind == Kind.COLLET_CHUCK else None
    return shank if shank is not None and shank.needs_drawbar else None


def _doubtful(seat: str, rig: list[Piece], lathe: LatheOnHand) -> Iterator[Chain]:
    """Ways that would do if a detail nobody filled in turned out right."""
    for piece in rig:
        if (
            piece.kind not in (Kind.CLOSER, Kind.COLLET_CHUCK, Kind.BACKPLATE)
            or not piece.is_usable
            or not piece.is_free_for(lathe)
        ):
            continue
        if piece.offers not in (None, seat):
            continue
        mount = piece.mounts_in
        if piece.offers == seat and piece.mounted_on == lathe.id:
            # Whatever is filled in of it: it is on.
            yield Chain(lathe=lathe, links=(piece,))
            continue
        fits = any(piece.mounts_on(start) for start in lathe.spindle_seats)
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


def _what_is_missing(seat: str, rig: list[Piece], lathes: list[LatheOnHand], *, is_drawn: bool) -> Missing:
    names = " or ".join(lathe.name for lathe in lathes)
    if is_drawn and any(seat in _starts(lathe) for lathe in lathes):
        bars = tuple(bar for bar in rig if bar.kind == Kind.DRAWBAR and _code_of(bar.mounts_in) == seat)
        return Missing(f"no {seat} drawbar on {names}", tuple(bar for bar in bars if not bar.is_usable))
    holders = [piece for piece in rig if piece.kind in LINK_KINDS and piece.offers == seat]
    for holder in holders:
        shank = _drawn_shank(holder) if holder.is_usable else None
        if shank is not None and any(holder.mounts_on(lathe.headstock_taper) for lathe in lathes):
            bars = tuple(bar for bar in rig if bar.kind == Kind.DRAWBAR and bar.mounts_on(shank) and not bar.is_usable)
            return Missing(f"no {shank.code} drawbar for {holder.tag}", bars)
    unusable = min((piece for piece in holders if not piece.is_usable), key=lambda one: not one.is_lent, default=None)
    if unusable is not None:
        lent = unusable if unusable.is_lent else None
        return Missing(f"{unusable.tag}, which takes {seat}, is {unusable.why_not}", lent=lent)
    if holders:
        return Missing(f"{holders[0].tag}, which takes {seat}, does not fit {names}")
    return Missing(f"no closer or collet chuck for {seat} on {names}")
