"""The drawing of the holding on a setup sheet: what its plan had, from what the sheet says, so that old sheets have it
too."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import parse_qsl

from fitfinder.arithmetic.sketches import Sketch
from fitfinder.holding.job import WorkShape
from fitfinder.plan.holding_drawing import drawing_of
from fitfinder.plan.holdings import DRAWN_ACROSS, HeldPiece, Holding
from fitfinder.plan.setup_sheets import Pick
from inventory.measures.lengths import Length, LengthError, Unit, parse
from inventory.models import SetupSheet
from inventory.reference.kinds import Kind


def drawing_of_sheet(sheet: SetupSheet, picks: Iterable[Pick]) -> Sketch | None:
    """None where the sheet names no lathe, or no piece that stands in line with the work."""
    if sheet.lathe is None:
        return None
    asked = dict(parse_qsl(sheet.question))
    grip, unit = _number(sheet, "Gripped"), Unit.MM if asked.get("unit") == Unit.MM.value else Unit.INCH
    return drawing_of(
        Holding(
            lathe=sheet.lathe.name,
            tailstock=sheet.lathe.tailstock_taper.code if sheet.lathe.tailstock_taper else "",
            pieces=tuple(_piece(pick) for pick in picks if pick.holds),
            method=sheet.method,
            smallest=sheet.stock_smallest,
            largest=sheet.stock_largest,
            bore=_length(asked.get("bore", ""), unit),
            length=_number(sheet, "Between centers") or _length(asked.get("length", ""), unit),
            grip=grip,
            stands_out=_number(sheet, "Stands out") if grip is not None else None,
            is_inside=sheet.way.endswith("in the bore"),
            is_irregular=asked.get("shape") == WorkShape.CASTING or asked.get("irregular") == "yes",
            rpm=sheet.speed_limit,
        )
    )


def _piece(pick: Pick) -> HeldPiece:
    tool = pick.tool
    kind = Kind(tool.kind)
    return HeldPiece(
        tag=tool.tag,
        kind=kind,
        seat=tool.mounts_in.code if tool.mounts_in else "",
        body=tool.body if kind in DRAWN_ACROSS else None,
        jaw_length=tool.jaw_length,
    )


def _number(sheet: SetupSheet, words: str) -> Length | None:
    """The length that a number of the sheet begins with: `1-1/4 in (31.750 mm), assumed`."""
    text = next((value for name, value in sheet.numbers if name == words), "")
    return _length(text.split(" (")[0].split(",")[0], Unit.INCH)


def _length(text: str, unit: Unit) -> Length | None:
    try:
        return parse(text, unit) if text else None
    except LengthError:
        return None
