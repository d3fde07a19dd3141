"""From a lathe's seats to the work, through what is on hand.

A chain is the pieces of a grip in order, without the lathe and without the collet or chuck that holds the work.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct
from msgspec.structs import force_setattr

from fitfinder.holding.pieces import LINK_KINDS, LatheOnHand, Piece, Seat

MOST_LINKS = 3


class Chain(Struct, frozen=True, kw_only=True, gc=False):
    """A way to a seat. `is_checked` is False where a detail that decides is not known; `doubt` says which.

    What follows from the links is worked out once: it is asked again for every piece that is ranked.
    """

    lathe: LatheOnHand | None
    links: tuple[Piece, ...] = ()
    is_checked: bool = True
    doubt: str = ""
    is_worn: bool = False
    """Whether a link of it is not good; follows from the links."""
    to_be_fitted: int = 0
    """How many of its pieces have to be put on this lathe first; follows from the links."""

    def __post_init__(self) -> None:
        here = self.lathe.id if self.lathe else None
        mounted = sum(1 for link in self.links if here is not None and link.mounted_on == here)
        force_setattr(self, "is_worn", any(link.condition != "good" for link in self.links))
        force_setattr(self, "to_be_fitted", len(self.links) - mounted)

    @property
    def is_on(self) -> bool:
        """Whether it has pieces, and all of them are on this lathe already."""
        return bool(self.links) and not self.to_be_fitted


class Missing(Struct, frozen=True):
    """No way to a seat: which link is missing."""

    why: str


def chains_to(seat: str, *, rig: Iterable[Piece], lathes: Iterable[LatheOnHand]) -> list[Chain] | Missing:
    """All ways from the lathes to `seat` (a code); Missing where a link is known not to be here.

    Without any lathe the way stays open and unchecked.
    """
    rig, lathes = list(rig), list(lathes)
    if not lathes:
        return [_unchecked_without_lathe(seat, rig)]
    found = [chain for lathe in lathes for chain in _on_lathe(seat, rig, lathe)]
    return found or Missing(_what_is_missing(seat, rig, lathes))


def _unchecked_without_lathe(seat: str, rig: list[Piece]) -> Chain:
    holders = [piece for piece in rig if piece.is_usable and piece.kind in LINK_KINDS and piece.offers == seat]
    return Chain(
        lathe=None,
        links=tuple(holders[:1]),
        is_checked=False,
        doubt="No lathe is described, so its seat is not checked.",
    )


def _on_lathe(seat: str, rig: list[Piece], lathe: LatheOnHand) -> Iterator[Chain]:
    starts = [start for start in (lathe.nose, lathe.headstock_taper) if start is not None]
    if any(start.code == seat for start in starts):
        yield Chain(lathe=lathe)
    known = [chain for start in starts for chain in _walk(seat, rig, lathe, start, ())]
    yield from known
    if not known:
        yield from _doubtful(seat, rig, lathe)


def _walk(seat: str, rig: list[Piece], lathe: LatheOnHand, at: Seat, so_far: tuple[Piece, ...]) -> Iterator[Chain]:
    if len(so_far) >= MOST_LINKS:
        return
    for piece in rig:
        if not _can_be_next(piece, at, lathe, so_far):
            continue
        links = (*so_far, piece)
        if piece.offers == seat:
            yield from _with_drawbar(lathe, links, rig)
        elif piece.kind == "sleeve":
            yield from _walk(seat, rig, lathe, Seat(piece.offers, is_thread=False), links)


def _can_be_next(piece: Piece, at: Seat, lathe: LatheOnHand, so_far: tuple[Piece, ...]) -> bool:
    return (
        piece.is_usable
        and piece.kind in LINK_KINDS
        and piece.mounts_in is not None
        and piece.mounts_in.code == at.code
        and piece.offers is not None
        and piece not in so_far
        and piece.mounted_on in (None, lathe.id)
    )


def _with_drawbar(lathe: LatheOnHand, links: tuple[Piece, ...], rig: list[Piece]) -> Iterator[Chain]:
    """The chain as it is, or with each drawbar that draws its Morse shank; none where it has to be and is not."""
    shank = links[-1].mounts_in
    if links[-1].kind != "collet chuck" or not shank.needs_drawbar:
        yield Chain(lathe=lathe, links=links)
        return
    for bar in _drawbars(rig, links, lathe):
        if bar.mounts_in is None:
            yield Chain(
                lathe=lathe,
                links=(bar, *links),
                is_checked=False,
                doubt=f"{bar.tag} does not say which taper it draws.",
            )
        else:
            yield Chain(lathe=lathe, links=(bar, *links))


def _drawbars(rig: list[Piece], links: tuple[Piece, ...], lathe: LatheOnHand) -> list[Piece]:
    # A drawbar is made for the thread of one shank: that of the sleeve around it does not draw it.
    shank = links[-1].mounts_in.code
    return [
        piece
        for piece in rig
        if piece.kind == "drawbar"
        and piece.is_usable
        and piece.mounted_on in (None, lathe.id)
        and (piece.mounts_in is None or piece.mounts_in.code == shank)
    ]


def _doubtful(seat: str, rig: list[Piece], lathe: LatheOnHand) -> Iterator[Chain]:
    """Ways that would do if a detail nobody filled in turned out right."""
    seats = [start.code for start in (lathe.nose, lathe.headstock_taper) if start is not None]
    for piece in rig:
        if piece.kind not in ("closer", "collet chuck") or not piece.is_usable:
            continue
        if piece.mounted_on not in (None, lathe.id):
            continue
        is_open = _is_open_for(piece, lathe)
        mounts = piece.mounts_in is None or piece.mounts_in.code in seats or is_open
        if not mounts or piece.offers not in (None, seat):
            continue
        if piece.mounts_in is None or piece.offers is None:
            yield Chain(lathe=lathe, links=(piece,), is_checked=False, doubt=f"{piece.tag} has details missing.")
        elif is_open and piece.mounts_in.code not in seats:
            yield Chain(
                lathe=lathe,
                links=(piece,),
                is_checked=False,
                doubt=f"Where {piece.tag} mounts on {lathe.name} is not described.",
            )


def _is_open_for(piece: Piece, lathe: LatheOnHand) -> bool:
    """Whether the seat that this piece would mount in is one that nobody described."""
    if piece.mounts_in is not None and piece.mounts_in.needs_drawbar:
        return lathe.headstock_taper is None
    return lathe.nose is None


def _what_is_missing(seat: str, rig: list[Piece], lathes: list[LatheOnHand]) -> str:
    names = " or ".join(lathe.name for lathe in lathes)
    holders = [piece for piece in rig if piece.kind in LINK_KINDS and piece.offers == seat]
    unusable = [piece for piece in holders if not piece.is_usable]
    undrawn = [
        piece
        for piece in holders
        if piece.is_usable and piece.kind == "collet chuck" and piece.mounts_in and piece.mounts_in.needs_drawbar
        and any(lathe.headstock_taper and lathe.headstock_taper.code == piece.mounts_in.code for lathe in lathes)
    ]  # fmt: skip
    if undrawn:
        return f"no {undrawn[0].mounts_in.code} drawbar for {undrawn[0].tag}"
    if unusable:
        return f"{unusable[0].tag}, which takes {seat}, is {unusable[0].why_not}"
    if holders:
        return f"{holders[0].tag}, which takes {seat}, does not fit {names}"
    return f"no closer or collet chuck for {seat} on {names}"
