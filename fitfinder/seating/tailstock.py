"""What goes into the tailstock of a lathe: drills, reamers, counterbores, centers and drill chucks, with sleeves."""

from __future__ import annotations

from collections.abc import Iterable

from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.plan.floor import Floor, sleeves_to
from fitfinder.seating.tools import MORSE, Match, ToolOnHand, best_first
from inventory.measures.lengths import named

CUTTERS = ("taper-shank drill", "reamer", "counterbore")
CENTERS = ("live center", "dead center", "bull-nose center", "extended-point center")
GROUPS = {"Centers": CENTERS, "Drill chucks": ("drill chuck",), "Drills": ("taper-shank drill",),
          "Reamers": ("reamer",), "Counterbores": ("counterbore",)}  # fmt: skip
"""Heading -> kinds, in the order of the page."""
KINDS = CENTERS + CUTTERS + ("drill chuck",)


def in_tailstock(
    lathe: LatheOnHand, tools: Iterable[ToolOnHand], sleeves: Iterable[ToolOnHand], floor: Floor
) -> dict[str, list[Match]]:
    """Heading -> its pieces, best first; what has a straight shank goes in a drill chuck and says so."""
    slots = {sleeve.piece.id: sleeve.has_tang for sleeve in sleeves}
    found: dict[str, list[Match]] = {heading: [] for heading in GROUPS}
    for tool in tools:
        heading = next((heading for heading, kinds in GROUPS.items() if tool.piece.kind in kinds), None)
        if heading is not None and not tool.is_by_hand:
            found[heading].append(_match(lathe, tool, slots, floor))
    return {heading: best_first(matches, lathe_id=lathe.id) for heading, matches in found.items() if matches}


def seated(lathe: LatheOnHand, tool: ToolOnHand, floor: Floor) -> tuple[tuple[Piece, ...], dict[str, tuple[str, ...]]]:
    """The sleeves that this shank needs in the tailstock, and what is missing, not known or against it."""
    taper, shank = lathe.tailstock_taper, tool.shank_code
    if taper is None:
        return (), {"open": (f"the tailstock taper of {lathe.name} is not filled in",)}
    if shank is None:
        return (), {"open": (f"the shank of {tool.piece.tag} is not filled in",)}
    if _is_larger(shank, taper.code):
        return (), {"against": (f"its {shank} shank is larger than the {taper.code} of the tailstock",)}
    if tool.piece.mounted_on not in (None, lathe.id):
        return (), {"missing": (f"{tool.piece.tag} is on another lathe",)}
    needs = sleeves_to(tool.piece, taper.code, floor, lathe)
    if isinstance(needs, str):
        return (), {"missing": (needs.replace(f" for {tool.piece.tag}", "", 1),)}
    return tuple(needs), {}


def _is_larger(shank: str, socket: str) -> bool:
    return shank in MORSE and socket in MORSE and MORSE.index(shank) > MORSE.index(socket)


def _match(lathe: LatheOnHand, tool: ToolOnHand, slots: dict[int, bool | None], floor: Floor) -> Match:
    if tool.shank_code is None and tool.shank is not None:
        return _straight(lathe, tool, floor)
    needs, why = seated(lathe, tool, floor)
    notes = _tang(lathe, tool, needs, slots) if not why.get("against") else ()
    return Match(tool=tool, what=_what(tool), needs=needs, notes=notes, **why)


def _straight(lathe: LatheOnHand, tool: ToolOnHand, floor: Floor) -> Match:
    """A straight shank is held by a drill chuck that takes it and goes into this tailstock."""
    chucks = [
        piece
        for piece in floor.of_kind("drill chuck")
        if piece.outside_smallest is not None
        and piece.outside_largest is not None
        and piece.outside_smallest <= tool.shank <= piece.outside_largest
        and _goes_in(lathe, piece, floor)
    ]
    size = named(tool.shank)
    usable = [piece.tag for piece in chucks if piece.is_usable]
    if usable:
        return Match(
            tool=tool, what=_what(tool), notes=(f"straight shank of {size} in: in drill chuck {' or '.join(usable)}",)
        )
    return Match(
        tool=tool, what=_what(tool), missing=(f"no drill chuck here goes in and takes its straight shank of {size} in",)
    )


def _goes_in(lathe: LatheOnHand, chuck: Piece, floor: Floor) -> bool:
    needs, why = seated(lathe, ToolOnHand(piece=chuck), floor)
    return not why.get("against") and not why.get("missing")


def _tang(lathe: LatheOnHand, tool: ToolOnHand, needs, slots) -> tuple[str, ...]:
    """The tang is told where the book does not say that what it goes into has a slot for it."""
    if not tool.has_tang:
        return ()
    if needs:
        slot = slots.get(needs[-1].id)
        if slot:
            return ()
        known = "has no slot for it" if slot is False else "may have no slot for it: nobody wrote it down"
        return (f"it has a tang, and {needs[-1].tag} {known}",)
    return (f"it has a tang; whether the tailstock of {lathe.name} takes one is not in the book: see that it seats",)


def _what(tool: ToolOnHand) -> str:
    low, high = tool.capacity
    if tool.cuts is not None:
        return f"{named(tool.cuts)} in {tool.piece.kind}"
    if tool.piece.kind == "drill chuck" and low is not None and high is not None:
        return f"drill chuck, {named(low)} to {named(high)} in"
    return tool.piece.kind
