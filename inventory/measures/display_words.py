"""What is said beside a field of the units that a bare number is in."""

from __future__ import annotations

from inventory.measures.display import now
from inventory.measures.lengths import RunoutUnit, Unit

NAMES = {Unit.INCH: "inches", Unit.MM: "millimetres"}
RUNOUT_NAMES = {
    RunoutUnit.INCH: "inches",
    RunoutUnit.THOU: "thousandths of an inch",
    RunoutUnit.MM: "millimetres",
    RunoutUnit.MICRON: "micrometres",
}


def bare_of_address() -> str:
    return _bare(now().bare)


def bare() -> str:
    display = now()
    words = _bare(display.unit)
    if display.runout != display.unit:
        words += f" A bare run-out is in {RUNOUT_NAMES[display.runout]}."
    return words


def _bare(unit: Unit) -> str:
    other = Unit.INCH if unit is Unit.MM else Unit.MM
    return f"A bare number is in {NAMES[unit]}; write {other.value} where it is in {NAMES[other]}."


def bare_runout() -> str:
    return f"A bare number is in {RUNOUT_NAMES[now().runout]}."


def runout_unit() -> str:
    return RUNOUT_NAMES[now().runout]


def other_unit() -> str:
    return NAMES[Unit.INCH if now().is_metric else Unit.MM]
