"""Setup sheets, what is cut on them, what their runs took, and which tool is in which holder. They are not read back: a
sheet that was used stays as it was used, and a backup carries it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.models import HeldTool, SetupOperation, SetupRun, SetupSheet


class SetupSheetRow(Struct, frozen=True, kw_only=True):
    """One sheet; `used_since` is empty of a draft. `sheet` is the number in its address."""

    sheet: int
    part_number: str
    revision: str
    set_up: int
    name: str
    lathe: str
    stock: str
    made_of: str
    parts: int | None
    held_by: str
    pieces: str
    set_up_minutes: str
    part_minutes: str
    note: str
    made_by: str
    made: datetime
    used_since: datetime | None
    used_by: str
    made_from: int | None


class SetupOperationRow(Struct, frozen=True, kw_only=True):
    """One operation of a sheet."""

    sheet: int
    order: int
    operation: str
    tool: str
    holder: str
    position: str
    center_height: Length | None
    stick_out: Length | None
    diameter: Length | None
    rpm: int | None
    feed: Length | None
    stop: str
    hole_first: Length | None
    pitch: Length | None
    pattern: str
    formed_or_cut: str
    caught_by: str
    cuts_with: str
    note: str


class SetupRunRow(Struct, frozen=True, kw_only=True):
    """What one run took."""

    sheet: int
    ran_on: date
    parts: int
    set_up_took: str
    each_part_took: str
    note: str
    written_by: str


class HeldToolRow(Struct, frozen=True, kw_only=True):
    """A tool in its holder."""

    tool: str
    in_holder: str


def sheet_rows() -> Iterator[SetupSheetRow]:
    sheets = SetupSheet.objects.select_related("lathe", "made_by", "frozen_by").prefetch_related("pieces__tool")
    for sheet in sheets.order_by("pk").iterator(chunk_size=500):
        yield SetupSheetRow(
            sheet=sheet.pk,
            part_number=sheet.number,
            revision=sheet.revision,
            set_up=sheet.setup,
            name=sheet.title,
            lathe=sheet.lathe.name if sheet.lathe else "",
            stock=sheet.stock,
            made_of=sheet.material,
            parts=sheet.parts,
            held_by=sheet.way,
            pieces=", ".join(piece.tool.tag for piece in sheet.pieces.all()),
            set_up_minutes=_minutes(sheet.setup_hundredths),
            part_minutes=_minutes(sheet.part_hundredths),
            note=sheet.note,
            made_by=sheet.made_by.username,
            made=sheet.made_at.replace(microsecond=0),
            used_since=sheet.frozen_at.replace(microsecond=0) if sheet.frozen_at else None,
            used_by=sheet.frozen_by.username if sheet.frozen_by else "",
            made_from=sheet.made_from_id,
        )


def operation_rows() -> Iterator[SetupOperationRow]:
    operations = SetupOperation.objects.select_related("tool", "holder").order_by("sheet", "order", "pk")
    for one in operations.iterator(chunk_size=2000):
        yield SetupOperationRow(
            sheet=one.sheet_id,
            order=one.order,
            operation=one.does,
            tool=one.tool.tag if one.tool else one.tool_words,
            holder=one.holder.tag if one.holder else "",
            position=one.position,
            center_height=one.height,
            stick_out=one.stick_out,
            diameter=one.diameter,
            rpm=one.rpm,
            feed=one.feed,
            stop=one.stop,
            hole_first=one.hole,
            pitch=one.pitch,
            pattern=one.pattern,
            formed_or_cut=one.making,
            caught_by=one.caught_by,
            cuts_with=one.cutter,
            note=one.note,
        )


def run_rows() -> Iterator[SetupRunRow]:
    for run in SetupRun.objects.select_related("written_by").order_by("ran_on", "pk").iterator(chunk_size=2000):
        yield SetupRunRow(
            sheet=run.sheet_id,
            ran_on=run.ran_on,
            parts=run.parts,
            set_up_took=_minutes(run.setup_hundredths),
            each_part_took=_minutes(run.part_hundredths),
            note=run.note,
            written_by=run.written_by.username,
        )


def held_rows() -> Iterator[HeldToolRow]:
    for held in HeldTool.objects.select_related("tool", "holder"):
        yield HeldToolRow(tool=held.tool.tag, in_holder=held.holder.tag)


def _minutes(hundredths: int | None) -> str:
    return "" if hundredths is None else f"{Decimal(hundredths) / 100:.2f}"
