"""Pieces, loans and setup sheets as other programs read them."""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction
from typing import Any

from django.utils import timezone

from inventory.measures import masses
from inventory.measures.lengths import length_json
from inventory.models import Loan, Reservation, SetupOperation, SetupSheet, Tool

Json = dict[str, Any]


def tool_json(tool: Tool, reservation: Reservation | None) -> Json:
    """A piece under the names that its fields have in a sheet; it was fetched `for_list` and `with_open_loans`."""
    size, loan = tool.size, tool.loan
    return {
        "tag": tool.tag,
        "kind": tool.kind,
        "what": tool.what,
        "series": size.series.code if size else None,
        "shape": size.shape if size else None,
        "size": length_json(size.nominal if size else tool.cuts),
        "clamps_from": length_json(size.clamps_from if size else None),
        "clamps_to": length_json(size.clamps_to if size else None),
        "location": str(tool.location) if tool.location else None,
        "condition": tool.condition,
        "finding": tool.finding or None,
        "tir": length_json(tool.tir),
        "inspected_on": _day(tool.inspected_on),
        "cost": None if tool.cost_cents is None else f"{tool.cost_cents // 100}.{tool.cost_cents % 100:02}",
        "notes": tool.notes,
        "mount": tool.mounts_in.code if tool.mounts_in else None,
        "takes": tool.offers.code if tool.offers else None,
        "pilot": length_json(tool.pilot),
        "through": length_json(tool.through),
        "solid": tool.is_solid,
        "jaws": tool.jaws,
        "body": length_json(tool.body),
        "outside_min": length_json(tool.outside_smallest),
        "outside_max": length_json(tool.outside_largest),
        "inside_min": length_json(tool.inside_smallest),
        "inside_max": length_json(tool.inside_largest),
        "jaw_length": length_json(tool.jaw_length),
        "step_depth": length_json(tool.step_depth),
        "shank_size": length_json(tool.shank),
        "max_rpm": tool.max_rpm,
        "weight": _weight(tool.weight_ug),
        "load": _weight(tool.load_ug),
        "angle": tool.angle_deg,
        "details_missing": list(tool.missing_details),
        "lathe": tool.mounted_on.name if tool.mounted_on else None,
        "out": _out(loan) if loan else None,
        "reserved": reservation_json(reservation) if reservation else None,
        "missing_since": _day(tool.missing_since),
        "retired_on": _day_of(tool.retired_at),
    }


def loan_json(loan: Loan) -> Json:
    """A loan with its piece, who has it, and since and until when."""
    return {
        "tag": loan.tool.tag,
        "what": loan.tool.what,
        **_out(loan),
        "issued_by": str(loan.issued_by) if loan.issued_by else None,
        "job": _sheet_named(loan.sheet) if loan.sheet else None,
        "overdue": loan.returned_at is None and loan.due_on is not None and loan.due_on < timezone.localdate(),
        "returned": _day_of(loan.returned_at),
        "returned_by": str(loan.returned_by) if loan.returned_by else None,
    }


def _out(loan: Loan) -> Json:
    return {
        "who": str(loan.borrower),
        "since": _day_of(loan.issued_at),
        "due": _day(loan.due_on),
        "lathe": loan.lathe.name if loan.lathe else None,
    }


def sheet_json(sheet: SetupSheet) -> Json:
    """A setup sheet with its pieces, from the spindle to the work."""
    return {
        **_sheet_named(sheet),
        "setup": sheet.setup,
        "state": "archived" if sheet.put_away_at else "in use" if sheet.is_frozen else "draft",
        "lathe": sheet.lathe.name if sheet.lathe else None,
        "way": sheet.way,
        "stock": _stock(sheet),
        "parts": sheet.parts,
        "pieces": [{"tag": piece.tool.tag, "what": piece.tool.what} for piece in sheet.pieces.all()],
        "operations": [_operation(operation) for operation in sheet.operations.all()],
        "note": sheet.note,
        "question": sheet.address,
        "made_by": str(sheet.made_by),
        "made": _day_of(sheet.made_at),
        "in_use_since": _day_of(sheet.frozen_at),
    }


def _sheet_named(sheet: SetupSheet) -> Json:
    return {"id": sheet.pk, "number": sheet.number or None, "revision": sheet.revision or None, "name": sheet.title}


def _stock(sheet: SetupSheet) -> Json:
    return {
        "words": sheet.stock or None,
        "smallest": length_json(sheet.stock_smallest),
        "largest": length_json(sheet.stock_largest),
        "material": sheet.material or None,
    }


def _operation(operation: SetupOperation) -> Json:
    """`feed` is for each turn."""
    return {
        "does": operation.does,
        "tool": operation.tool.tag if operation.tool else operation.tool_words or None,
        "holder": operation.holder.tag if operation.holder else None,
        "position": operation.position or None,
        "height": length_json(operation.height),
        "stick_out": length_json(operation.stick_out),
        "diameter": length_json(operation.diameter),
        "rpm": operation.rpm,
        "feed": length_json(operation.feed),
        "stop": operation.stop or None,
        "note": operation.note or None,
    }


def reservation_json(row: Reservation) -> Json:
    """The job that a piece is kept for, and between which moments."""
    starts, lapses = timezone.localtime(row.starts_at), timezone.localtime(row.lapses_at)
    return {
        "job": _sheet_named(row.sheet),
        "by": str(row.reserved_by),
        "from": starts.isoformat(timespec="minutes"),
        "until": lapses.isoformat(timespec="minutes"),
    }


def _weight(micrograms: int | None) -> Json | None:
    """As the plan tells the weight of work: rounded to grams, and thousandths of a pound."""
    if micrograms is None:
        return None
    kg, lb = Fraction(micrograms, masses.UG_PER_KG), Fraction(micrograms, masses.UG_PER_LB)
    return {"kg": float(round(kg, 3)), "lb": float(round(lb, 3))}


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _day_of(moment: datetime | None) -> str | None:
    """The shop's day."""
    return timezone.localdate(moment).isoformat() if moment else None
