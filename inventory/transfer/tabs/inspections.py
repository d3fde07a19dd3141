"""Inspections out: each one that stands, as it was written down."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.models import Inspection


class InspectionRow(Struct, frozen=True, kw_only=True):
    """One inspection of the piece of this tag. `holder` is the tag of what held it, `bare` where nothing did."""

    tag: str
    inspected_on: date | None
    tir: Length | None
    tir_far: Length | None
    far_at: Length | None
    bare: bool | None
    holder: str
    lathe: str
    pin: Length | None
    reseated: bool | None
    finding: str
    verdict: str
    note: str
    written_down: datetime
    by: str


def rows() -> Iterator[InspectionRow]:
    """Of all pieces but retired ones; one that was corrected is left out, its correction says how it was."""
    standing = Inspection.objects.standing().filter(tool__retired_at=None)
    named = standing.select_related("tool", "in_holder", "on_lathe", "recorded_by").order_by("tool__tag", "pk")
    return map(row_of, named.iterator(chunk_size=2000))


def row_of(inspection: Inspection) -> InspectionRow:
    return InspectionRow(
        tag=inspection.tool.tag,
        inspected_on=inspection.taken_on,
        tir=inspection.tir,
        tir_far=inspection.tir_far,
        far_at=inspection.far_at,
        bare=inspection.is_bare,
        holder=inspection.in_holder.tag if inspection.in_holder else "",
        lathe=inspection.on_lathe.name if inspection.on_lathe else "",
        pin=inspection.pin,
        reseated=inspection.was_reseated,
        finding=inspection.finding,
        verdict=inspection.verdict,
        note=inspection.note,
        written_down=inspection.recorded_at.replace(microsecond=0),
        by=inspection.recorded_by.username if inspection.recorded_by else "",
    )
