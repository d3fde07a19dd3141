"""The cheapest cover where every column covers a run of neighbouring rows: a shortest path, exact and without a solver.

So it is wherever every lathe takes the same series: bars that lie in no other are in one order by both of their limits,
and what a collet holds of them is a run.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from fitfinder.buying.reducing import Column, bits

Key = tuple[int, int, int]


def swept(columns: Sequence[Column], places: Sequence[int], rows: int) -> list[int] | None:
    """The choice with the least key (cents, then pieces, then misfit), None where a column skips a row.

    Each of `rows` is covered by one of the columns at `places`.
    """
    numbers = {row: number for number, row in enumerate(bits(rows))}
    starting: list[list[tuple[int, int]]] = [[] for _ in numbers]
    for place in places:
        covers = columns[place].covers & rows
        if not covers:
            continue
        first, last = (covers & -covers).bit_length() - 1, covers.bit_length() - 1
        if ((1 << last + 1) - (1 << first)) & rows != covers:
            return None
        starting[numbers[first]].append((numbers[last] + 1, place))
    return _shortest(columns, starting)


def _shortest(columns, starting: list[list[tuple[int, int]]]) -> list[int]:
    """The way over all rows; `starting` has for each row the ends of the runs that begin there, and their columns."""
    best: list[Key] = [(0, 0, 0)]
    came: list[tuple[int, int]] = [(0, -1)]
    open_runs: list[tuple[Key, int, int, int]] = []
    for row, runs in enumerate(starting):
        for end, place in runs:
            heapq.heappush(open_runs, (_added(best[row], columns[place].key), place, row, end))
        while open_runs[0][3] <= row:
            heapq.heappop(open_runs)
        # Cheapest of all runs that reach over this row, each with what it costs to get to its start.
        key, place, start, _ = open_runs[0]
        best.append(key)
        came.append((start, place))
    chosen, at = [], len(starting)
    while at:
        at, place = came[at]
        chosen.append(place)
    return chosen


def _added(one: Key, other: Key) -> Key:
    return (one[0] + other[0], one[1] + other[1], one[2] + other[2])
