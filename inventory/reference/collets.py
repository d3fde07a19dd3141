"""Collet series: sizes made, gripping window, true zone, edge allowance, what passes, typical run-out.

These are where a shop starts; a size marked or measured on the piece beats them.
"""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables


class ColletSeries(Struct, frozen=True, kw_only=True):
    """One series in one shape (`round`, `hex` or `square`). None is unknown, never zero.

    Sizes are diameters, or across flats. A collet of nominal N grips from N - `closes_by` to N + `opens_by`;
    up to a nominal of `small_upto` (included) it closes by `small_closes_by` only. It runs as marked from
    N - `true_under` to N + `true_over`. `edge_bottom` and `edge_top` say how near to a limit is too near to
    be sure: an ER has none at the top, where it would flag every nominal bar, as no bar of an h tolerance is over
    nominal. `smallest` and `largest` are nominal sizes, `clamps_down_to` is the smallest work that a standard
    gives for the series. `passes` is the round through bore (a hex or square bar passes by its corners),
    `passes_with_stop_thread` the bore where a stop thread is cut in it. The usual sizes go from `ladder_from`
    by `ladder_step` to `ladder_to`, which can be below `largest` where that one is off the ladder.
    """

    code: str
    shape: str
    standard: str
    smallest: Length | None
    largest: Length | None
    clamps_down_to: Length | None
    passes: Length | None
    passes_with_stop_thread: Length | None
    closes_by: Length
    opens_by: Length
    small_closes_by: Length | None
    small_upto: Length | None
    true_under: Length | None
    true_over: Length | None
    edge_bottom: Length
    edge_top: Length
    ladder_step: Length | None
    ladder_from: Length | None
    ladder_to: Length | None
    typical_tir: Length | None
    closing_thread: str
    has_blanks: bool
    source: str
    basis: str


@cache
def collet_series() -> tuple[ColletSeries, ...]:
    """All series, one entry for each code and shape: the draw-in ones, ER8 to ER50, then those of tool holders."""
    return tables.read("collets", ColletSeries)


def builtin_series(code: str, shape: str) -> ColletSeries | None:
    """The figures that a series starts with; None where no table has it."""
    return _by_code().get((code, shape))


@cache
def codes_of_the_series() -> frozenset[str]:
    return frozenset(series.code for series in collet_series())


@cache
def _by_code() -> dict[tuple[str, str], ColletSeries]:
    return {(series.code, series.shape): series for series in collet_series()}
