"""A sum for a person at a terminal."""

from __future__ import annotations

from fitfinder.arithmetic import SUMS, Quantity, Sum, Worked


def sum_text(asked: Sum, worked: Worked) -> str:
    """Results first, then how they came about."""
    lines = [f"{asked.results[name]}: {said(value)}" for name, value in worked.result.items()]
    given = ", ".join(f"{name} {said(value)}" for name, value in worked.inputs.items())
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


def said(value) -> str:
    """One value in words: both units of a quantity, a list of numbers, `none` where there is no answer."""
    if isinstance(value, Quantity):
        return value.both
    if value is None:
        return "none"
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)
