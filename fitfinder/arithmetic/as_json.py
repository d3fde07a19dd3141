"""A sum as the plain object that other programs read."""

from __future__ import annotations

from fitfinder.arithmetic import SUMS, Quantity, Worked


def sum_json(worked: Worked) -> dict:
    """The whole sum; each input and result has `value` and `unit`, numbers as text unless they are counted."""
    return {
        "name": worked.name,
        "inputs": {name: _told(value) for name, value in worked.inputs.items()},
        "result": {name: _told(value) for name, value in worked.result.items()},
        "formula": worked.formula,
        "source": worked.source,
        "notes": list(worked.notes),
    }


def sums_json() -> dict:
    """All sums with the keys that they take."""
    return {
        "sums": [
            {"name": one.name, "about": one.about, "keys": [key.name for key in one.keys], "result": list(one.results)}
            for one in SUMS.values()
        ]
    }


def _told(value) -> dict:
    if isinstance(value, Quantity):
        return {"value": value.text, "unit": value.unit}
    return {"value": value, "unit": None}
