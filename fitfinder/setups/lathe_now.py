"""The lathe of a setup sheet as it stands today: what is on it and comes off first, and what takes two to lift."""

from __future__ import annotations

from collections.abc import Iterable

from fitfinder.holding.mechanics.weights import Weight
from fitfinder.holding.pieces import CHUCK_KINDS
from fitfinder.holding.rules import lifting
from fitfinder.holding.rules.cautions import Caution
from fitfinder.plan.setup_sheets import Pick
from inventory.models import SetupSheet, Tool
from inventory.reference.lifting import chuck_ug


def comes_off(sheet: SetupSheet, picks: Iterable[Pick]) -> list[Tool]:
    """What sits on the seats of the spindle that this sheet puts something else on."""
    lathe = sheet.lathe
    if lathe is None:
        return []
    spindle = {lathe.nose_id, lathe.headstock_taper_id} - {None, lathe.tailstock_taper_id}
    wanted = {pick.tool.mounts_in_id for pick in picks if not pick.is_on_lathe} & spindle
    if not wanted:
        return []
    mine = [pick.tool.pk for pick in picks]
    on_it = Tool.objects.for_line("weight_ug").filter(mounted_on=lathe, mounts_in__in=wanted)
    return list(on_it.exclude(pk__in=mine))


def lifting_caution(sheet: SetupSheet, picks: Iterable[Pick], off: Iterable[Tool]) -> Caution | None:
    """What of it one person does not lift over the bed, unless the sheet says so already."""
    cautions = " ".join(text for text, _ in sheet.cautions)
    named = [(pick.tool.tag, pick.tool) for pick in picks if not pick.is_on_lathe]
    named += [(f"{tool.tag}, which comes off first,", tool) for tool in off]
    weighed = [
        lifting.Lifted(name, weight)
        for name, tool in named
        if tool.tag not in cautions and (weight := _weight(tool)) is not None
    ]
    return lifting.caution(sorted(weighed, key=lambda one: -one.weight.ug))


def _weight(tool: Tool) -> Weight | None:
    if tool.weight_ug is not None:
        return Weight(ug=tool.weight_ug)
    if tool.kind not in CHUCK_KINDS or tool.body is None:
        return None
    return Weight(ug=chuck_ug(tool.body), is_about=True)
