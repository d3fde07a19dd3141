"""All that a plan is made from: what is on hand, the lathes in question, and the shop's working minutes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from fitfinder.chains import Chain, Missing, chains_to
from fitfinder.pieces import CribNow, JawSet, LatheOnHand, Piece
from fitfinder.plan.efforts import Effort, Minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """`crib` holds the lathes, the rig, and the collets that may grip this stock on any of them; `crib_of` the same
    by the id of a lathe, as which collets come among the best depends on what leads to them there."""

    crib: CribNow
    crib_of: Mapping[int, CribNow] = field(default_factory=dict)
    jaw_sets: tuple[JawSet, ...] = ()
    minutes: Minutes = field(default_factory=Minutes)

    @property
    def rig(self) -> tuple[Piece, ...]:
        return self.crib.rig

    def on(self, lathe: LatheOnHand | None) -> CribNow:
        """What is on hand for work on this lathe."""
        if lathe is None:
            return self.crib
        return self.crib_of.get(lathe.id) or replace(self.crib, lathes=(lathe,), ways=None)

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
        return f"nothing leads from {lathe.name} to {piece.mounts_in.code}, where {piece.tag} mounts"
    return min(ways, key=lambda way: (not way.is_checked, len(way.links), -way.mounted_links))


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


def fitting(piece: Piece, chain: Chain, floor: Floor) -> Effort:
    """Minutes to fit what is not on the lathe yet: the chuck, closer or plate, and what leads to it."""
    lathe = chain.lathe
    here = lathe.id if lathe else None
    if here is not None and all(part.mounted_on == here for part in (*chain.links, piece)):
        return Effort()
    nose = lathe.nose if lathe else None
    name = "chuck change, threaded" if nose is not None and nose.is_thread else "chuck change, camlock"
    return Effort(fit=floor.minutes.of(name), names=(name,))


def keys_for(pieces: Iterable[Piece], floor: Floor) -> tuple[list[Piece], list[str]]:
    """The keys and wrenches that tighten these pieces, and those that are missing.

    A key counts where the shop keeps one as a piece: what it keeps none for needs none.
    """
    found, missing = [], []
    for piece in pieces:
        names = {piece.tag, piece.offers, piece.mounts_in.code if piece.mounts_in else None} - {None}
        keys = [key for key in floor.of_kind("key") if key.tightens in names]
        usable = best((key for key in keys if key.is_usable), None)
        if usable is not None and usable not in found:
            found.append(usable)
        elif keys and usable is None:
            missing.append(f"no key for {piece.tag}: {unusable(keys)}")
    return found, missing
