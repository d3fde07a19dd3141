"""The speed of the spindle for one cut: by the surface speed of the material, and never above what is marked."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from fitfinder.arithmetic.quantities import PI
from fitfinder.cutting.cut import CutSetup, SpeedMark
from inventory.measures import amounts
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference import holding
from inventory.reference.cutting import HSS, Does, turning_speed

_SHARES = {
    Does.CENTER_DRILLING: "drilling",
    Does.DRILLING: "drilling",
    Does.REAMING: "reaming",
    Does.COUNTERBORING: "counterboring",
    Does.TAPPING: "tapping",
    Does.THREADING_OUTSIDE: "threading",
    Does.THREADING_INSIDE: "threading",
    Does.GROOVING_OUTSIDE: "grooving",
    Does.GROOVING_INSIDE: "grooving",
    Does.GROOVING_FACE: "grooving",
    Does.PARTING: "parting",
    Does.KNURLING: "knurling",
}
"""What is cut at a share of the turning speed; all else is at the whole of it."""


class SpeedAdvice(Struct, frozen=True, kw_only=True):
    """What the table says for a cut, and what holds it back."""

    by_table: int
    """Turns in a minute, rounded down."""
    per_minute: Length
    diameter: Length
    source: str
    mark: SpeedMark | None = None

    @property
    def rpm(self) -> int:
        return self.by_table if self.mark is None else min(self.by_table, self.mark.rpm)

    @property
    def surface_words(self) -> str:
        """`by 100 ft/min at 3/4 in`."""
        feet = Fraction(self.per_minute.nm, 12 * NM_PER_INCH)
        return f"by {amounts.surface_speed(feet)} at {in_unit(self.diameter)}"

    @property
    def by_table_words(self) -> str:
        """`509 rpm by 100 ft/min at 3/4 in`."""
        return f"{self.by_table} rpm {self.surface_words}"

    @property
    def words(self) -> str:
        """`509 rpm by 100 ft/min at 3/4 in; at most 1800 rpm, marked on K-0082`."""
        by_table = self.by_table_words
        return by_table if self.mark is None else f"{by_table}; at most {self.mark.rpm} rpm, {self.mark.why}"


def share_of_turning(does: Does) -> Fraction:
    name = _SHARES.get(does)
    return Fraction(1) if name is None else holding.value(f"cutting.share.{name}")


def advice(
    does: Does,
    *,
    material: str,
    cutter: str = HSS,
    diameter: Length,
    setup: CutSetup,
    own: Mapping[tuple[str, str], Length],
) -> SpeedAdvice | None:
    """By the shop's own surface speed where it has one (`own`), else by the table; None for an unknown material."""
    table = turning_speed(material)
    if table is None or does is Does.OTHER:
        return None
    turning = own.get((material, cutter))
    per_minute = Length(int((turning or table.per_minute(cutter)).nm * share_of_turning(does)))
    return SpeedAdvice(
        by_table=max(1, int(per_minute.nm / (PI * diameter.nm))),
        per_minute=per_minute,
        diameter=diameter,
        source=table.source if turning is None else "the shop's own surface speed",
        mark=setup.lowest,
    )
