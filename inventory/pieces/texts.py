"""A piece as the texts of a sheet's fields."""

from inventory.measures import masses
from inventory.measures.lengths import exact
from inventory.models import Kind, Tool
from inventory.models.kinds import COLLETS, CUT_TO_SIZE
from inventory.pieces.asked import PLAIN


def as_fields(tool: Tool) -> dict[str, str]:
    """A piece as the texts of the sheet's fields, which the form reads back to the same piece."""
    size = tool.size if tool.kind == Kind.COLLET else None
    texts = {
        "tag": tool.tag,
        "kind": tool.kind,
        "series": _series(tool),
        "shape": size.shape if size else "",
        "size": exact(size.nominal) if size else _exact(tool.cuts) if tool.kind in CUT_TO_SIZE else "",
        "location": tool.location.name if tool.location else "",
        "condition": tool.condition,
        "tir": _exact(tool.tir),
        "inspected_on": tool.inspected_on.isoformat() if tool.inspected_on else "",
        "cost": f"{tool.cost_cents // 100}.{tool.cost_cents % 100:02d}" if tool.cost_cents is not None else "",
        "notes": tool.notes,
        "mount": tool.mounts_in.code if tool.mounts_in and tool.kind not in COLLETS else "",
        "takes": tool.offers.code if tool.offers else "",
        "solid": tool.is_solid,
        "stop_thread": {True: "yes", False: "no", None: ""}[tool.stop_thread],
        "grips_min": exact(size.clamps_from) if size and size.is_marked else "",
        "grips_max": exact(size.clamps_to) if size and size.is_marked else "",
        "weight": masses.exact(tool.weight_ug) if tool.weight_ug is not None else "",
        "bored": _exact(tool.bored_to),
        "tang": {True: "yes", False: "no", None: ""}[tool.has_tang],
        "belongs_to": tool.belongs_to.name if tool.belongs_to else "",
        "set_for": "; ".join(lathe.name for lathe in lathes_set_for(tool)),
    }
    for name, column in PLAIN.items():
        if name not in texts:
            value = getattr(tool, column)
            texts[name] = "" if value is None else exact(value) if hasattr(value, "nm") else str(value)
    return texts


def lathes_set_for(tool: Tool) -> list:
    """The lathes for which the center height of a tool-post holder is set, or will be when its form is kept."""
    if "lathes_set_for" in tool.__dict__:
        return tool.__dict__["lathes_set_for"]
    if tool.kind != Kind.TOOL_POST_HOLDER or tool.pk is None:
        return []
    return sorted(tool.set_for.all(), key=lambda lathe: lathe.name)


def _series(tool: Tool) -> str:
    if tool.kind == Kind.COLLET:
        return tool.size.series.code if tool.size else ""
    return tool.mounts_in.code if tool.mounts_in and tool.kind in COLLETS else ""


def _exact(length) -> str:
    return "" if length is None else exact(length)
