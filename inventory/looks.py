"""Inspections as the plain readings that a trend is made of."""

from inventory import wear
from inventory.limits import Limits, limits_of
from inventory.models import Inspection, Tool


def readings_of(look: Inspection) -> list[wear.Reading]:
    """One for the nose and one for the distance, where they were taken; the holder and lathe are at hand."""
    taken = [(look.tir, None), (look.tir_far, look.far_at)]
    return [
        wear.Reading(
            look.taken_on,
            tir,
            wear.Setup(
                is_bare=bool(look.is_bare),
                holder=look.in_holder.tag if look.in_holder else "",
                lathe=look.on_lathe.name if look.on_lathe else "",
                pin=look.pin,
                distance=distance,
            ),
        )
        for tir, distance in taken
        if tir is not None
    ]


def trend_of(tool: Tool, limits: Limits | None = None) -> wear.Trend:
    limits = limits or limits_of(tool)
    looks = tool.inspections.readings().select_related("in_holder", "on_lathe")
    return wear.trend([reading for look in looks for reading in readings_of(look)], limit=limits.limit)
