"""What a cut is called, and how fast the skin of a material passes a turning tool."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from functools import cache

from msgspec import Struct

from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference import tables

HSS, CARBIDE = "high-speed steel", "carbide"
CUTTERS = (HSS, CARBIDE)


class Does(StrEnum):
    """What an operation does; the value is the word of pages, tables and exports."""

    FACING = "facing"
    CENTER_DRILLING = "center drilling"
    DRILLING = "drilling"
    REAMING = "reaming"
    COUNTERBORING = "counterboring"
    TAPPING = "tapping"
    BORING = "boring"
    TURNING = "turning"
    CHAMFERING = "chamfering"
    THREADING_OUTSIDE = "threading outside"
    THREADING_INSIDE = "threading inside"
    GROOVING_OUTSIDE = "grooving outside"
    GROOVING_INSIDE = "grooving inside"
    GROOVING_FACE = "grooving face"
    KNURLING = "knurling"
    PARTING = "parting"
    OTHER = "other"

    @property
    def called(self) -> str:
        """In a sentence or a list: `grooving on the face`."""
        return "grooving on the face" if self is Does.GROOVING_FACE else self.value


class TurningSpeed(Struct, frozen=True, kw_only=True):
    """Of one material, in feet a minute with each kind of cutter."""

    material: str
    hss: Fraction
    carbide: Fraction
    source: str
    basis: str

    def per_minute(self, cutter: str) -> Length:
        """What passes in a minute."""
        feet = self.carbide if cutter == CARBIDE else self.hss
        return Length(int(feet * 12 * NM_PER_INCH))


@cache
def _by_material() -> dict[str, TurningSpeed]:
    return {speed.material: speed for speed in tables.read("cutting_speeds", TurningSpeed)}


def materials() -> tuple[str, ...]:
    """All that a sheet can say that a part is made of, in the order of the table."""
    return tuple(_by_material())


def turning_speed(material: str) -> TurningSpeed | None:
    return _by_material().get(material)
