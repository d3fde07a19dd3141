"""A tool in its holder: which goes into which, clamped and taken out."""

from __future__ import annotations

from django import forms
from django.db import transaction
from django.db.models import Q

from inventory.measures.inputs import LineInput, say_plainly
from inventory.measures.length_words import in_unit
from inventory.models import HeldTool, Kind, Tool
from inventory.models.kinds import CUTTERS
from inventory.models.tools import ToolQuerySet

HOLDING_KINDS = (Kind.TOOL_POST_HOLDER, Kind.DRILL_CHUCK, Kind.SLEEVE)


def is_held(tool: Tool) -> bool:
    """Whether it is of a kind that sits in a holder."""
    return tool.kind in CUTTERS


def holds(tool: Tool) -> bool:
    """Whether it is of a kind that a tool sits in."""
    return tool.kind in HOLDING_KINDS


def holder_of(tool: Tool) -> Tool | None:
    held = HeldTool.objects.filter(tool=tool).select_related("holder").first() if is_held(tool) else None
    return held.holder if held else None


def held_by(holder: Tool) -> Tool | None:
    held = HeldTool.objects.filter(holder=holder).select_related("tool").first() if holds(holder) else None
    return held.tool if held else None


def partners(tool: Tool) -> ToolQuerySet:
    """What may go into this holder, or what this tool may go into; what surely does not fit is left out."""
    others = Tool.objects.in_service().for_list()
    if holds(tool):
        return others.filter(kind__in=CUTTERS)
    return others.filter(kind__in=HOLDING_KINDS)


class CannotHold(Exception):
    """The tool does not go into that holder; the text says why."""


def why_not(tool: Tool, holder: Tool) -> str:
    """Why this tool does not go into this holder; empty where it may."""
    if not is_held(tool):
        return f"{tool} is a {tool.kind}: it does not sit in a holder."
    if not holds(holder):
        return f"{holder} is a {holder.kind}: it holds no tool. A tool-post holder, a drill chuck or a sleeve does."
    low, high = holder.outside_smallest, holder.outside_largest
    if holder.kind == Kind.TOOL_POST_HOLDER and tool.shank is not None:
        if holder.shank_shape and tool.shank_shape and holder.shank_shape != tool.shank_shape:
            return f"{holder} takes {holder.shank_shape} shanks, and {tool} has a {tool.shank_shape} one."
        if high is not None and tool.shank > high:
            return f"{holder} takes shanks up to {in_unit(high)}, and {tool} has {in_unit(tool.shank)}."
        if low is not None and tool.shank < low:
            return f"{holder} takes shanks from {in_unit(low)} up, and {tool} has {in_unit(tool.shank)}."
    seats = (holder.offers_id, tool.mounts_in_id)
    if holder.kind == Kind.SLEEVE and None not in seats and seats[0] != seats[1]:
        return f"{holder} takes {holder.offers}, and {tool} has {tool.mounts_in}."
    return ""


@transaction.atomic
def clamp(tool: Tool, holder: Tool) -> list[str]:
    """Put the tool into the holder; what came apart for it, in sentences. Raises CannotHold."""
    if reason := why_not(tool, holder):
        raise CannotHold(reason)
    out = []
    touching = HeldTool.objects.filter(Q(tool=tool) | Q(holder=holder))
    for held in touching.select_for_update(of=("self",)).select_related("tool", "holder").order_by("pk"):
        if held.tool_id == tool.pk and held.holder_id == holder.pk:
            return []
        out.append(f"{held.tool} is out of {held.holder}.")
        held.delete()
    HeldTool.objects.create(tool=tool, holder=holder)
    return out


def take_out(tool: Tool) -> Tool | None:
    """Take the tool out of its holder; the holder, or None where it was in none."""
    held = HeldTool.objects.filter(tool=tool).select_related("holder").first()
    if held is None:
        return None
    holder = held.holder
    held.delete()
    return holder


class PartnerForm(forms.Form):
    """The tag of the other piece: the holder of a tool, or the tool of a holder."""

    tag = LineInput(max_length=20, widget=forms.TextInput(attrs={"list": "partners"}))

    def __init__(self, *args, label: str, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["tag"].label = label
        say_plainly(self.fields, {"tag": "H-0078"})
