"""Arithmetic of the shop: set-over, packing, indexing, balance, speed and what else is worked out at the lathe.

`SUMS` has every sum by name; `sum_named("set-over").worked({"length": "10", "ratio": "20"})` does one with texts as a
person types them. The functions beside them take plain fractions, in metres, newtons, kilograms and seconds unless
they say otherwise, or in any one unit where only lengths meet.
"""

from fitfinder.arithmetic import balance, bars, centers, cutting, eccentric, indexing, tapers, truth
from fitfinder.arithmetic.balance import counterweight, pull
from fitfinder.arithmetic.bars import corners_of, flats_of, section
from fitfinder.arithmetic.centers import compound_angle, cone_depth, cone_mouth
from fitfinder.arithmetic.cutting import deflection, rpm_of, surface_speed_of
from fitfinder.arithmetic.eccentric import (
    flat_packing,
    flat_throw,
    largest_packing,
    largest_throw,
    narrow_packing,
    narrow_throw,
)
from fitfinder.arithmetic.indexing import index_sequence, possible_starts, step
from fitfinder.arithmetic.quantities import Kind, Quantity
from fitfinder.arithmetic.sums import Key, Sum, Worked
from fitfinder.arithmetic.tapers import half_angle, morse_diameter, set_over, taper_between, taper_of_angle
from fitfinder.arithmetic.truth import jaw_move, offset_of, tir_of
from fitfinder.holding.stock import QuestionError
from inventory.measures.lengths import shorten

_ROOMS = (truth, eccentric, tapers, centers, indexing, balance, cutting, bars)
SUMS: dict[str, Sum] = {one.name: one for room in _ROOMS for one in room.SUMS}


def sum_named(name: str) -> Sum:
    """The sum of this name. Raises QuestionError where there is none."""
    found = SUMS.get(name.strip().lower())
    if found is None:
        message = f"“{shorten(name)}” is no sum of this book. It has {', '.join(SUMS)}."
        raise QuestionError(message, field="name", read=shorten(name))
    return found


__all__ = [
    "SUMS",
    "Key",
    "Kind",
    "Quantity",
    "QuestionError",
    "Sum",
    "Worked",
    "compound_angle",
    "cone_depth",
    "cone_mouth",
    "corners_of",
    "counterweight",
    "deflection",
    "flat_packing",
    "flat_throw",
    "flats_of",
    "half_angle",
    "index_sequence",
    "jaw_move",
    "largest_packing",
    "largest_throw",
    "morse_diameter",
    "narrow_packing",
    "narrow_throw",
    "offset_of",
    "possible_starts",
    "pull",
    "rpm_of",
    "section",
    "set_over",
    "step",
    "sum_named",
    "surface_speed_of",
    "taper_between",
    "taper_of_angle",
    "tir_of",
]
