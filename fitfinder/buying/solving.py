"""The door to the solver: HiGHS through scipy, which is only loaded when something is to be bought."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, isfinite
from time import monotonic

from msgspec import Struct

SLIP = 1e-3
"""How far a whole number may be off in the solver's floating point; a bound is rounded only beyond that."""
_QUARTER = 0.25
"""Limits are whole numbers, so that a quarter more lets nothing in, and a slip of the solver keeps nothing out."""
_SOLVED = 0


class Solved(Struct, frozen=True):
    """The chosen columns (None where nothing was found in time), and the value that none can be better than."""

    picked: list[int] | None
    bound: float | None
    is_done: bool

    @property
    def least(self) -> int:
        """The bound of what is minimised, as a whole number."""
        return 0 if self.bound is None else ceil(self.bound - SLIP)


class Puzzle(Struct, frozen=True, kw_only=True):
    """Columns and what they cover: `covers` has for each column the rows, numbered from 0 on."""

    covers: Sequence[Sequence[int]]
    values: dict[str, Sequence[int]]
    weights: Sequence[int]


class Limit(Struct, frozen=True):
    """What some of the columns may come to together: a value for each of them, and the most."""

    values: dict[int, int]
    most: int


def load() -> None:
    """Load the solver now, which takes about a second the first time."""
    import scipy.optimize
    import scipy.sparse  # noqa: F401


def least(puzzle: Puzzle, what: str, *, limits: Sequence[Limit] = (), until: float, met: int | None = None) -> Solved:
    """Minimise a value over the choices that cover every row, or rows of the weight `met`, within the limits."""
    return _solve(puzzle, puzzle.values[what], limits=limits, until=until, met=met, every=met is None)


def most(puzzle: Puzzle, *, limits: Sequence[Limit], until: float) -> Solved:
    """Cover the most weight within the limits. The bound is that weight's, below zero."""
    return _solve(puzzle, None, limits=limits, until=until, met=None, every=False)


def _solve(puzzle: Puzzle, costs, *, limits, until, met, every) -> Solved:
    seconds = until - monotonic()
    if seconds <= 0:
        return Solved(None, None, False)
    import numpy
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_matrix

    count, rows = len(puzzle.covers), len(puzzle.weights)
    # A row's own variable says how far it is met: never more than it is covered, and whole where the columns are.
    met_columns = 0 if every else rows
    entries = [(row, place, 1) for place, covered in enumerate(puzzle.covers) for row in covered]
    entries += [(row, count + row, -1) for row in range(met_columns)]
    lower, upper = [1.0 if every else 0.0] * rows, [numpy.inf] * rows
    for limit in limits:
        entries += [(len(lower), place, value) for place, value in limit.values.items()]
        lower.append(-numpy.inf)
        upper.append(limit.most + _QUARTER)
    if met is not None:
        entries += [(len(lower), count + row, weight) for row, weight in enumerate(puzzle.weights)]
        lower.append(met - _QUARTER)
        upper.append(numpy.inf)
    down, across, values = zip(*entries, strict=True)
    matrix = coo_matrix((values, (down, across)), shape=(len(lower), count + met_columns), dtype=float).tocsr()
    objective = [0] * count + [-weight for weight in puzzle.weights] if costs is None else [*costs] + [0] * met_columns
    found = milp(
        numpy.array(objective, dtype=float),
        integrality=numpy.array([1] * count + [0] * met_columns),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(matrix, lower, upper),
        options={"mip_rel_gap": 0, "time_limit": max(seconds, 0.01)},
    )
    picked = None if found.x is None else [place for place in range(count) if found.x[place] > 0.5]
    # Cut off early, it may know no bound yet, or an infinite one.
    bound = found.mip_dual_bound
    return Solved(picked, None if bound is None or not isfinite(bound) else float(bound), found.status == _SOLVED)
