"""Number and letter drill gauge sizes (ASME B94.11M)."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables


class Gauge(Struct, frozen=True, kw_only=True):
    """A drill gauge size: `name` is a number from 80 to 1 or a letter from A to Z."""

    name: str
    diameter: Length
    source: str
    basis: str


def gauge_size(name: str) -> Length | None:
    """The diameter of a gauge size, `7` or `F`; None where there is no such size."""
    return _diameters().get(name.upper())


@cache
def gauges() -> tuple[Gauge, ...]:
    """All 106 sizes from the smallest (number 80) to the largest (letter Z)."""
    return tables.read("drills", Gauge)


@cache
def _diameters() -> dict[str, Length]:
    return {gauge.name: gauge.diameter for gauge in gauges()}
