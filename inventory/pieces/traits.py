"""What tells a piece from another of its kind, and what warns of it before it is lifted."""

from __future__ import annotations

from inventory.measures import masses
from inventory.measures.length_words import in_unit
from inventory.models import Kind, Tool
from inventory.models.kinds import CHUCKS
from inventory.reference.lifting import Lift, chuck_ug


def traits(tool: Tool) -> str:
    """Beside what it is called: `D1-4, 3 jaws, body 8 in, 42.0 lb (19.1 kg)`; empty where its size says it all."""
    if tool.size_id:
        return ""
    seat = tool.mounts_in.code if tool.mounts_in else ""
    across = "swings" if tool.kind == Kind.LATHE_DOG else "body"
    parts = (
        "" if tool.what.startswith(f"{seat} ") else seat,
        f"takes {tool.offers.code}" if tool.offers else "",
        f"{tool.jaws} jaws" if tool.jaws else "",
        f"{across} {in_unit(tool.body)}" if tool.body else "",
        f"{in_unit(tool.shank)} shank" if tool.shank else "",
        f"{tool.angle_deg}° point" if tool.angle_deg else "",
        masses.shown(tool.weight_ug) if tool.weight_ug else "",
    )
    return ", ".join(filter(None, parts))


def lift_caution(tool: Tool) -> str:
    """Where it is too heavy for one person over the bed, that it is, and who lifts it; a chuck else by its body."""
    micrograms = tool.weight_ug
    if micrograms is None and tool.kind in CHUCKS and tool.body:
        micrograms = chuck_ug(tool.body)
    if micrograms is None or (lift := Lift.of(micrograms)) is Lift.ALONE:
        return ""
    is_about = tool.weight_ug is None
    return (
        f"{tool.tag} weighs {'about ' if is_about else ''}{masses.shown(micrograms)}: not one person over the bed. "
        f"{lift.words.capitalize()}. Board on the ways, power isolated."
        f"{f' Of {tool.tag} no weight is entered: look for its marking.' if is_about else ''}"
    )
