"""Inspections as the plain readings that a trend is made of."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from django.db.models import Count, QuerySet

from inventory.inspections import wear
from inventory.inspections.limits import LimitBook, Limits, limits_of
from inventory.models import Inspection, Tool
from inventory.models.tools import ToolQuerySet

_COLUMNS = ("tool_id", "taken_on", "tir", "tir_far", "far_at", "is_bare", "in_holder__tag", "on_lathe__name", "pin")


def readings_of(tool: Tool) -> list[wear.DatedReading]:
    """All dated readings that stand, newest first."""
    return _by_tool(tool.inspections.readings().order_by("-taken_on", "-pk"))[tool.pk]


def trend_of(tool: Tool, limits: Limits | None = None) -> wear.Trend:
    return wear.trend(readings_of(tool), limit=(limits or limits_of(tool)).limit, reads=tool.tir)


def trends(tools: ToolQuerySet) -> Iterator[tuple[Tool, wear.Trend]]:
    """Those of `tools` that have as many readings as a forecast takes, by tag, each with its trend.

    They come with the columns that `tools` asks for; a trend is made of the size, the kind and the `tir`.
    """
    book, readings = LimitBook(), readings_to_forecast()
    for tool in tools.filter(pk__in=readings).order_by("tag"):
        yield tool, wear.trend(readings[tool.pk], limit=book.of(tool).limit, reads=tool.tir)


def readings_to_forecast() -> dict[int, list[wear.DatedReading]]:
    """By the key of their piece, the readings of those that have as many as a forecast takes."""
    counted = Inspection.objects.readings().order_by().values("tool").annotate(readings=Count("pk"))
    enough = counted.filter(readings__gte=wear.FEWEST_READINGS).values("tool")
    return _by_tool(Inspection.objects.readings().filter(tool__in=enough).order_by("-taken_on", "-pk"))


def _by_tool(inspections: QuerySet[Inspection]) -> dict[int, list[wear.DatedReading]]:
    """The readings by the key of their piece: one at the nose and one farther out, where taken."""
    by_tool: dict[int, list[wear.DatedReading]] = defaultdict(list)
    for tool, day, tir, tir_far, far_at, is_bare, holder, lathe, pin in inspections.values_list(*_COLUMNS):
        for swing, distance in ((tir, None), (tir_far, far_at)):
            if swing is not None:
                taken = wear.HowTaken(
                    is_bare=bool(is_bare), holder=holder or "", lathe=lathe or "", pin=pin, distance=distance
                )
                by_tool[tool].append(wear.DatedReading(day, swing, taken))
    return by_tool
