"""Inspections as the plain readings that a trend is made of."""

from collections import defaultdict

from django.db.models import Count

from inventory.inspections import wear
from inventory.inspections.limits import Limits, limits_of
from inventory.models import Inspection, Tool

_COLUMNS = ("tool_id", "taken_on", "tir", "tir_far", "far_at", "is_bare", "in_holder__tag", "on_lathe__name", "pin")


def readings_of(tool: Tool) -> list[wear.Reading]:
    """All dated readings that stand, newest first."""
    return readings_by_tool(tool.inspections.readings().order_by("-taken_on", "-pk"))[tool.pk]


def readings_by_tool(looks) -> dict[int, list[wear.Reading]]:
    """The readings of these looks by the key of their piece: one for the nose and one farther out, where taken."""
    found = defaultdict(list)
    for tool, day, tir, tir_far, far_at, is_bare, holder, lathe, pin in looks.values_list(*_COLUMNS):
        for swing, distance in ((tir, None), (tir_far, far_at)):
            if swing is not None:
                setup = wear.Setup(
                    is_bare=bool(is_bare), holder=holder or "", lathe=lathe or "", pin=pin, distance=distance
                )
                found[tool].append(wear.Reading(day, swing, setup))
    return found


def with_enough_readings():
    """The keys of the pieces that have as many readings as a forecast takes."""
    counted = Inspection.objects.readings().order_by().values("tool").annotate(looks=Count("pk"))
    return counted.filter(looks__gte=wear.FEWEST_READINGS).values("tool")


def trend_of(tool: Tool, limits: Limits | None = None) -> wear.Trend:
    limits = limits or limits_of(tool)
    return wear.trend(readings_of(tool), limit=limits.limit)
