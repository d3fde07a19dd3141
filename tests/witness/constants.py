"""The figures of trade that stand in the code of `fitfinder` itself, and the code with one of them falsified."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from fractions import Fraction
from importlib import import_module

from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference.tables import as_number
from tests.witness.figures import Figure, forget
from tests.witness.lies import Lie

CHECKED_IN = {
    ("fitfinder.arithmetic.bending", "_BENDS"): "test_shop_arithmetic",
    ("fitfinder.arithmetic.centers", "USUAL_ANGLE"): "test_figures_in_code",
    ("fitfinder.arithmetic.eccentric", "_FLAT"): "test_shop_arithmetic",
    ("fitfinder.holding.rules.center_drilling", "SHORT_OUT"): "test_figures_in_code",
    ("fitfinder.holding.rules.hazards", "_ONE_JAW"): "test_figures_in_code",
    ("fitfinder.holding.methods.split_bushing", "WALL"): "test_figures_in_code",
    ("fitfinder.holding.rules.self_centering", "FLATS"): "test_figures_in_code",
    ("fitfinder.holding.mechanics.thin_wall", "CUT"): "test_thin_rings_by_energy",
    ("fitfinder.holding.mechanics.thin_wall", "MINDED"): "test_figures_in_code",
    ("fitfinder.holding.texts.thread_texts", "SCREWS"): "test_figures_in_code",
    ("fitfinder.holding.texts.thread_texts", "_TO_THE_INCH_OF_LARGE"): "test_figures_in_code",
    ("fitfinder.holding.mechanics.throws", "PACKED_JAWS"): "test_figures_in_code",
    ("fitfinder.holding.mechanics.whirl", "GRAVITY"): "test_figures_in_code",
}
"""Where each stands, and the file of checks that has its witness. What a page is like, as how many rows it shows, is no
figure of trade."""
Number = Fraction | int | Length
Value = Number | tuple[int, ...]


def constants() -> Iterator[Figure]:
    for module, name in CHECKED_IN:
        for row, (key, value) in enumerate(_numbers_in(getattr(import_module(module), name))):
            text = str(Fraction(value.nm, NM_PER_INCH) if isinstance(value, Length) else value)
            yield Figure(module, row, name, 0, key, text, text, "published")


@contextmanager
def falsified_in_code(figure: Figure, lie: Lie) -> Iterator[None]:
    """As if the code said otherwise, wherever it is known by this name."""
    honest = getattr(import_module(figure.table), figure.column)
    other = _with(honest, iter(range(10**6)), figure.row, _signed(lie.text))
    homes = [
        module
        for module in list(sys.modules.values())
        if module.__name__.startswith("fitfinder.") and vars(module).get(figure.column) is honest
    ]
    for module in homes:
        setattr(module, figure.column, other)
    forget()
    try:
        yield
    finally:
        for module in homes:
            setattr(module, figure.column, honest)
        forget()


def _numbers_in(value: Value | Mapping[object, Value], key: str = "") -> Iterator[tuple[str, Number]]:
    if isinstance(value, Mapping):
        for inner, below in value.items():
            yield from _numbers_in(below, str(inner))
    elif isinstance(value, tuple):
        for below in value:
            yield key, below
    else:
        yield key, value


def _with(value, places: Iterator[int], row: int, number: Fraction):
    """The same, with another number in the place of this row."""
    if isinstance(value, Mapping):
        return {key: _with(below, places, row, number) for key, below in value.items()}
    if isinstance(value, tuple):
        return tuple(_with(below, places, row, number) for below in value)
    if next(places) != row:
        return value
    if isinstance(value, Length):
        return Length(int(number * NM_PER_INCH))
    return int(number) if isinstance(value, int) and number.denominator == 1 else number


def _signed(text: str) -> Fraction:
    """The tables have no number below zero; a lie about the sign is one."""
    return -as_number(text[1:]) if text.startswith("-") else as_number(text)
