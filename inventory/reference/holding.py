"""The figures of the rules of holding: weights, grip, overhang, whirl, speed, thin walls, by key.

Minutes, lifting and run-outs, which a shop may have its own of or which every page tells, are in `practice`.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables


class HoldingFigure(Struct, frozen=True, kw_only=True):
    """One figure: `density.steel`, 0.2836, `lb/in^3`."""

    key: str
    value: Fraction
    unit: str
    source: str
    basis: str

    @property
    def length(self) -> Length:
        """Of a figure in `in` or `mm`. Raises KeyError for any other unit."""
        return {"in": Length.inches, "mm": Length.mm}[self.unit](self.value)


def figure(key: str) -> HoldingFigure:
    """Raises KeyError where there is none by this key."""
    return _figures()[key]


def maybe(key: str) -> HoldingFigure | None:
    """The figure, or None where there is none by this key."""
    return _figures().get(key)


def value(key: str) -> Fraction:
    """The bare number of a figure, in its unit. Raises KeyError where there is none by this key."""
    return figure(key).value


@cache
def length(key: str) -> Length:
    """A figure that is a length. Raises KeyError where there is none by this key, or it is no length."""
    return figure(key).length


@cache
def _figures() -> dict[str, HoldingFigure]:
    return {entry.key: entry for entry in tables.read("holding", HoldingFigure)}
