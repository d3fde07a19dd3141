"""What goes into the tailstock of a lathe: drills, reamers, counterbores, centers and drill chucks, with sleeves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from fitfinder.holding.chains import Missing
from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.holding.seats import LatheRig
from fitfinder.seating.tools import Remark, Serving, ToolFit, ToolOnHand, best_first
from inventory.measures.length_words import in_unit, span_of_sizes
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind
from inventory.reference.tapers import morse_tapers

CENTERS = (Kind.LIVE_CENTER, Kind.DEAD_CENTER, Kind.BULL_NOSE_CENTER, Kind.EXTENDED_POINT_CENTER)
GROUPS = {
    "Centers": CENTERS,
    "Drill chucks": (Kind.DRILL_CHUCK,),
    "Drills": (Kind.TAPER_SHANK_DRILL,),
    "Reamers": (Kind.REAMER,),
    "Counterbores": (Kind.COUNTERBORE,),
}
"""Heading -> kinds, in the order of the page."""
KINDS = tuple(kind for kinds in GROUPS.values() for kind in kinds)


class Seated(NamedTuple):
    """The sleeves that a shank needs in the tailstock, and what is missing, not known or against it."""

    sleeves: tuple[Piece, ...] = ()
    remarks: tuple[Remark, ...] = ()

    @property
    def goes_in(self) -> bool:
        return all(remark.serving is Serving.LOOK_FIRST for remark in self.remarks)


def in_tailstock(
    lathe: LatheOnHand, tools: Iterable[ToolOnHand], sleeves: Iterable[ToolOnHand], rig: LatheRig
) -> dict[str, list[ToolFit]]:
    """Heading -> its pieces, best first; what has a straight shank goes in a drill chuck and says so."""
    slots = {sleeve.piece.id: sleeve.has_tang for sleeve in sleeves}
    groups: dict[str, list[ToolFit]] = {heading: [] for heading in GROUPS}
    for tool in tools:
        heading = next((heading for heading, kinds in GROUPS.items() if tool.piece.kind in kinds), None)
        if heading is not None and not tool.is_by_hand:
            groups[heading].append(_fit(lathe, tool, slots, rig))
    return {heading: best_first(fits, lathe) for heading, fits in groups.items() if fits}


def seated(lathe: LatheOnHand, tool: ToolOnHand, rig: LatheRig) -> Seated:
    taper, shank = lathe.tailstock_taper, tool.shank_code
    if taper is None:
        return _for(Serving.LOOK_FIRST, f"the tailstock taper of {lathe.name} is not filled in")
    if shank is None:
        return _for(Serving.LOOK_FIRST, f"the shank of {tool.piece.tag} is not filled in")
    if _is_larger(shank, taper.code):
        return _for(Serving.DOES_NOT, f"its {shank} shank is larger than the {taper.code} of the tailstock")
    if not rig.is_within_reach(tool.piece):
        return _for(Serving.INCOMPLETE, f"{tool.piece.tag} is on another lathe")
    sleeves = rig.sleeves_to(tool.piece, taper.code)
    return _for(Serving.INCOMPLETE, str(sleeves)) if isinstance(sleeves, Missing) else Seated(sleeves)


def _for(serving: Serving, sentence: str) -> Seated:
    return Seated(remarks=(Remark(serving, sentence),))


def _is_larger(shank: str, socket: str) -> bool:
    """By the large ends of Morse tapers; of others it is not known."""
    ends = {taper.code: taper.large_end for taper in morse_tapers()}
    return shank in ends and socket in ends and ends[shank] > ends[socket]


def _fit(lathe: LatheOnHand, tool: ToolOnHand, slots: Mapping[int, bool | None], rig: LatheRig) -> ToolFit:
    if tool.shank_code is None and tool.shank is not None:
        return _straight(lathe, tool, tool.shank, rig)
    seat = seated(lathe, tool, rig)
    tang = _tang(lathe, tool, seat.sleeves, slots)
    return ToolFit(tool=tool, what=_what(tool), sleeves=seat.sleeves, remarks=(*seat.remarks, *tang))


def _straight(lathe: LatheOnHand, tool: ToolOnHand, shank: Length, rig: LatheRig) -> ToolFit:
    """A straight shank is held by a drill chuck that takes it and goes into this tailstock."""
    size = in_unit(shank)
    chucks = [
        chuck.tag
        for chuck in rig.of_kind(Kind.DRILL_CHUCK)
        if chuck.is_usable
        and chuck.outside is not None
        and chuck.outside.smallest <= shank <= chuck.outside.largest
        and seated(lathe, ToolOnHand(piece=chuck), rig).goes_in
    ]
    if chucks:
        remark = Remark(Serving.SERVES, f"straight shank of {size}: in drill chuck {' or '.join(chucks)}")
    else:
        remark = Remark(Serving.INCOMPLETE, f"no drill chuck here goes in and takes its straight shank of {size}")
    return ToolFit(tool=tool, what=_what(tool), remarks=(remark,))


def _tang(
    lathe: LatheOnHand, tool: ToolOnHand, sleeves: tuple[Piece, ...], slots: Mapping[int, bool | None]
) -> tuple[Remark, ...]:
    """The tang is told where the book does not say that what it goes into has a slot for it."""
    if not tool.has_tang:
        return ()
    if not sleeves:
        sentence = (
            f"it has a tang; whether the tailstock of {lathe.name} takes one is not in Gripbook: see that it seats"
        )
        return (Remark(Serving.SERVES, sentence),)
    slot = slots.get(sleeves[-1].id)
    if slot:
        return ()
    known = "has no slot for it" if slot is False else "may have no slot for it: nobody wrote it down"
    return (Remark(Serving.SERVES, f"it has a tang, and {sleeves[-1].tag} {known}"),)


def _what(tool: ToolOnHand) -> str:
    low, high = tool.capacity
    if tool.cuts is not None:
        return f"{in_unit(tool.cuts)} {tool.piece.kind}"
    if tool.piece.kind == Kind.DRILL_CHUCK and low is not None and high is not None:
        return f"drill chuck, {span_of_sizes(low, high)}"
    return tool.piece.kind
