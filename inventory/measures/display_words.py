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


def bare() -> str:
    display = now()
    here = "mm" if display.is_metric else "in"
    other = "in" if display.is_metric else "mm"
    words = f"A bare number is in {NAMES[display.unit]}; write {other} where it is in {other_unit()}."
    if display.runout != here:
        words += f" A bare run-out is in {RUNOUT_NAMES[display.runout]}."
    return words


def bare_runout() -> str:
    return f"A bare number is in {RUNOUT_NAMES[now().runout]}."


def runout_unit() -> str:
    return RUNOUT_NAMES[now().runout]


def other_unit() -> str:
    return NAMES[Unit.INCH if now().is_metric else Unit.MM]
