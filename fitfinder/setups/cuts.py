"""A setup sheet and its operations as the plain objects that the core judges."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from fitfinder.cutting.cut import BY_ITS_OWN_SIZE, IN_TAILSTOCK, INSIDE, Cut, CutSetup, SpeedMark
from fitfinder.cutting.speeds import SpeedAdvice, advice
from fitfinder.holding.method import Method
from inventory.measures.display import now
from inventory.measures.lengths import Length, LengthError, parse
from inventory.models import SetupOperation, SetupSheet, SurfaceSpeed
from inventory.models.setup_operations import CutterMaterial, KnurlMaking
from inventory.reference.cutting import HSS, Does


def setup_of(sheet: SetupSheet) -> CutSetup:
    """What the set-up may turn at, by the plan, by the pieces as they are marked now, and by the lathe."""
    return CutSetup(
        marks=tuple(_marks(sheet)),
        is_hollow=sheet.is_hollow,
        is_unbalanced=sheet.is_unbalanced,
        centers=_centers(sheet),
    )


def _centers(sheet: SetupSheet) -> str:
    """By the plan, or by the words of a sheet that was written or changed by hand."""
    words = f"{sheet.method} {sheet.way}".lower().replace("centre", "center")
    if Method.MANDREL in words:
        return "on a mandrel"
    is_on_centers = any(method in words for method in Method if method.is_on_centers) or "two centers" in words
    return "between centers" if is_on_centers else ""


def _marks(sheet: SetupSheet) -> Iterable[SpeedMark]:
    if sheet.speed_limit is not None:
        yield SpeedMark(sheet.speed_limit, sheet.speed_limit_why or "by the plan")
    marked = sheet.pieces.exclude(tool__max_rpm=None)
    for tag, rpm in marked.values_list("tool__tag", "tool__max_rpm"):
        if rpm is not None:
            yield SpeedMark(rpm, f"marked on {tag}")
    if sheet.lathe is not None and sheet.lathe.fastest_rpm is not None:
        yield SpeedMark(sheet.lathe.fastest_rpm, f"the fastest of {sheet.lathe}")


def own_speeds() -> dict[tuple[str, str], Length]:
    """The shop's own surface speeds, by material and cutter."""
    rows = SurfaceSpeed.objects.values_list("material", "cutter", "per_minute")
    return {(material, cutter): per_minute for material, cutter, per_minute in rows}


def cut_of(operation: SetupOperation, by_table: SpeedAdvice | None) -> Cut:
    tool = operation.tool
    return Cut(
        does=Does(operation.does),
        tool=tool.tag if tool else operation.tool_words,
        bar=tool.shank if tool else _bar_in_words(operation.tool_words),
        has_taper_shank=bool(tool and tool.mounts_in_id and tool.shank is None),
        stick_out=operation.stick_out,
        diameter=cut_diameter(operation),
        hole=operation.hole,
        rpm=operation.rpm,
        table_rpm=by_table.by_table if by_table else None,
        table_words=by_table.by_table_words if by_table else "",
        is_carbide=operation.cutter == CutterMaterial.CARBIDE,
        pitch=operation.pitch,
        pattern=operation.pattern,
        is_formed=operation.making == KnurlMaking.FORMED,
        caught_by=operation.caught_by,
    )


def _bar_in_words(words: str) -> Length | None:
    """`5/8 bar` is a bar of 5/8."""
    try:
        return parse(words.split(" ")[0], now().bare)
    except LengthError:
        return None


def cut_diameter(operation: SetupOperation) -> Length | None:
    """What it is cut at: as told, else the size that a drill or reamer cuts, or the hole that a bar goes into."""
    does = Does(operation.does)
    if operation.diameter is not None:
        return operation.diameter
    if does in BY_ITS_OWN_SIZE:
        return operation.tool.cuts if operation.tool else None
    return operation.hole if does in INSIDE or does is Does.TAPPING else None


def advice_of(
    operation: SetupOperation, sheet: SetupSheet, setup: CutSetup, own: Mapping[tuple[str, str], Length]
) -> SpeedAdvice | None:
    """What the table, or the shop's `own` speeds, say; None where the material or the diameter is not told."""
    does = Does(operation.does)
    is_outside = does not in INSIDE and does not in IN_TAILSTOCK
    diameter = cut_diameter(operation) or (sheet.stock_largest if is_outside else None)
    if not sheet.material or diameter is None:
        return None
    return advice(
        does,
        material=sheet.material,
        cutter=operation.cutter or HSS,
        diameter=diameter,
        setup=setup,
        own=own,
    )
