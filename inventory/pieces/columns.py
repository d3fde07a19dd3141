"""A field of a piece: how it is asked, where it is kept, and how a sheet and the page tell it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django import forms

from inventory.measures import money
from inventory.measures.lengths import Length, exact
from inventory.models import Kind, Tool
from inventory.models.kinds import COLLETS, CUT_TO_SIZE


@dataclass(frozen=True)
class PieceField:
    """One field, by the name that it has in the form, in a sheet and in addresses.

    `column` is the column of `Tool` that takes what `asked` cleans to as it is; where there is none, `PieceForm` says
    what becomes of it. `text` tells it in a sheet where the column alone does not. `headings` are what a sheet may call
    it beside its name, with a slash between them. `page` are its words on the page of a piece; without them
    `telling.facts` has a line of its own for it.
    """

    name: str
    asked: forms.Field
    column: str = ""
    text: Callable[[Tool], str] | None = None
    headings: str = ""
    page: str = ""
    is_in_sheet: bool = True

    def as_text(self, tool: Tool) -> str:
        """What a sheet has in this field, which `asked` reads back to the same value."""
        return self.text(tool) if self.text else as_text(getattr(tool, self.column))


def as_text(value: Length | bool | int | str | None) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return exact(value) if isinstance(value, Length) else str(value)


def series_text(tool: Tool) -> str:
    if tool.kind == Kind.COLLET:
        return tool.size.series.code if tool.size else ""
    return tool.mounts_in.code if tool.mounts_in and tool.kind in COLLETS else ""


def shape_text(tool: Tool) -> str:
    return tool.size.shape if tool.kind == Kind.COLLET and tool.size else ""


def size_text(tool: Tool) -> str:
    if tool.kind in CUT_TO_SIZE:
        return as_text(tool.cuts)
    return exact(tool.size.nominal) if tool.kind == Kind.COLLET and tool.size else ""


def marked_text(tool: Tool, end: str) -> str:
    """An end of the range that is marked on this very collet: of the column `clamps_from` or `clamps_to`."""
    is_marked = tool.kind == Kind.COLLET and tool.size is not None and tool.size.is_marked
    return exact(getattr(tool.size, end)) if is_marked else ""


def mount_text(tool: Tool) -> str:
    """Where it sits; a collet's series says that."""
    return tool.mounts_in.code if tool.mounts_in and tool.kind not in COLLETS else ""


def cost_text(tool: Tool) -> str:
    return "" if tool.cost_cents is None else money.typed(tool.cost_cents)
