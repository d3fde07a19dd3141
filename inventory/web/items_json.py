"""Pieces, loans and setup sheets as other programs read them."""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction
from typing import Any

from django.utils import timezone

from inventory.measures import masses
from inventory.measures.lengths import length_json
from inventory.models import Loan, SetupSheet, Tool

Json = dict[str, Any]


def tool_json(tool: Tool) -> Json:
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
        "job": _job(loan.sheet) if loan.sheet else None,
        "overdue": loan.returned_at is None and loan.due_on is not None and loan.due_on < timezone.localdate(),
        "returned": _day_of(loan.returned_at),
        "returned_by": str(loan.returned_by) if loan.returned_by else None,
    }


def _job(sheet: SetupSheet) -> Json:
    return {"id": sheet.pk, "name": sheet.called}


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
        "id": sheet.pk,
        "name": sheet.title,
        "way": sheet.way,
        "state": "archived" if sheet.put_away_at else "in use",
        "lathe": sheet.lathe.name if sheet.lathe else None,
        "question": sheet.address,
        "pieces": [{"tag": piece.tool.tag, "what": piece.tool.what} for piece in sheet.pieces.all()],
        "made_by": str(sheet.made_by),
        "made": _day_of(sheet.made_at),
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
