"""A sum as the plain object that other programs read, and as text for a person at a terminal."""

from __future__ import annotations

from fitfinder.arithmetic.frame import Result, Sum, WorkedSum
from fitfinder.arithmetic.quantities import Quantity
from fitfinder.arithmetic.sums import SUMS


def sum_json(worked: WorkedSum) -> dict[str, object]:
    """The whole sum; each input and result has `value` and `unit`, numbers as text unless they are counted."""
    return {
        "name": worked.name,
        "inputs": {name: _value_json(value) for name, value in worked.inputs.items()},
        "result": {name: _value_json(value) for name, value in worked.result.items()},
        "formula": worked.formula,
        "source": worked.source,
        "notes": list(worked.notes),
    }


def sums_json() -> dict[str, object]:
    """All sums with the keys that they take."""
    return {
        "sums": [
            {"name": one.name, "about": one.about, "keys": [key.name for key in one.keys], "result": list(one.results)}
            for one in SUMS.values()
        ]
    }


def sum_text(asked: Sum, worked: WorkedSum) -> str:
    """Results first, then how they came about."""
    lines = [f"{asked.results[name]}: {value_text(value)}" for name, value in worked.result.items()]
    given = ", ".join(f"{name} {value_text(value)}" for name, value in worked.inputs.items())
    lines += ["", f"{asked.title}; {given}", f"Formula: {worked.formula}", f"Source: {worked.source}"]
    return "\n".join(lines + [f"- {note}" for note in worked.notes])


def sums_text() -> str:
    """All sums, with their keys."""
    widest = max(map(len, SUMS))
    return "\n".join(
        line
        for one in SUMS.values()
        for line in (f"{one.name:<{widest}}  {one.about}", f"{'':<{widest}}  keys: {one.usage}")
    )


def value_text(value: Result) -> str:
    """One value in words: both units of a quantity, a list of numbers, `none` where there is no answer."""
    if isinstance(value, Quantity):
        return value.both
    if value is None:
        return "none"
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _value_json(value: Result) -> dict[str, object]:
    if isinstance(value, Quantity):
        return {"value": value.text, "unit": value.unit}
    return {"value": value, "unit": None}
