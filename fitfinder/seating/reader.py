"""Reads what the questions of seating are answered from: the lathe, the rig, and the tools with their shanks."""

from __future__ import annotations

from msgspec import Struct

from fitfinder import crib
from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.holding.seats import LatheRig
from fitfinder.seating.tools import ToolOnHand
from inventory.models import CenterHeight
from inventory.models.kinds import DrivenBy
from inventory.models.tools import Tool
from inventory.reference.kinds import Kind


class SeatingCrib(Struct, frozen=True):
    """`tools` are those of the kinds asked for, `sleeves` those between."""

    lathe: LatheOnHand
    rig: LatheRig
    tools: tuple[ToolOnHand, ...]
    sleeves: tuple[ToolOnHand, ...]


def seating_crib(lathe: str, *, kinds: tuple[str, ...], asker_id: int | None = None) -> SeatingCrib | None:
    """What is on hand of these kinds for this lathe; None where no lathe has this name. What is out to the asker
    counts as here."""
    lathes = crib.lathes_now(lathe) if lathe else ()
    if not lathes:
        return None
    pieces = crib.holders_now((*kinds, Kind.SLEEVE, Kind.DRILL_CHUCK), asker_id=asker_id)
    pieces = crib.as_reserved(pieces, crib.reserved_now(asker_id))
    tools = _tools(pieces)
    return SeatingCrib(
        lathe=lathes[0],
        rig=LatheRig(lathes[0], pieces),
        tools=tuple(tool for tool in tools if tool.piece.kind in kinds),
        sleeves=tuple(tool for tool in tools if tool.piece.kind == Kind.SLEEVE),
    )


def _tools(pieces: tuple[Piece, ...]) -> list[ToolOnHand]:
    rows = Tool.objects.in_bulk([piece.id for piece in pieces])
    heights: dict[int, set[int]] = {}
    for tool, lathe in CenterHeight.objects.filter(tool__in=rows).values_list("tool_id", "lathe_id"):
        heights.setdefault(tool, set()).add(lathe)
    return [_tool(piece, rows[piece.id], heights.get(piece.id, set())) for piece in pieces if piece.id in rows]


def _tool(piece: Piece, row: Tool, heights: set[int]) -> ToolOnHand:
    return ToolOnHand(
        piece=piece,
        cuts=row.cuts,
        shank=row.shank,
        shank_shape=row.shank_shape,
        has_tang=row.has_tang,
        is_by_hand=row.driven_by == DrivenBy.HAND,
        operations=tuple(word.strip() for word in row.operations.split(",") if word.strip()),
        set_for=frozenset(heights),
        tip=row.tip,
        extension=row.extension,
        point_angle=row.angle_deg,
        capacity=(row.outside_smallest, row.outside_largest),
    )
