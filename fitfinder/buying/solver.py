"""The door to the solver: HiGHS through scipy, which is only loaded when something is to be chosen.

It works in floating point. So its word is taken for *which* columns to choose and for a bound; whoever asks works out
in whole numbers what the choice comes to, and leaves the bound room for a slip.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction
from math import isfinite

from msgspec import Struct

_THOUSANDTHS = 1000
"""The solver lets differences below a millionth go, so it is asked in thousandths of what the columns cost."""
_QUARTER = 0.25
"""Limits are whole numbers, so that a quarter more lets nothing in, and a slip of the solver keeps nothing out."""
_SOLVED = 0


class Limit(Struct, frozen=True):
    """What some of the columns may come to together: a value for each of them, and the most."""

    values: Mapping[int, int]
    most: int


class Solved(Struct, frozen=True):
    """The chosen columns, None where none were found in time; and the cost that no choice can be below, if known.

    `is_done` is False where time ran out before all other choices were ruled out.
    """

    picked: list[int] | None
    bound: Fraction | None
    is_done: bool


def least(
    rows: Sequence[Collection[int]],
    costs: Sequence[Fraction],
    *,
    worths: Sequence[int] | None = None,
    limits: Sequence[Limit] = (),
    seconds: float,
) -> Solved:
    """The columns of the least cost of which one or more stand in every row, within the limits.

    With `worths` a row may be left out; what counts then is the cost less the worth of the rows that are covered.
    """
    if not rows:
        return Solved([], Fraction(0), True)
    if seconds <= 0:
        return Solved(None, None, False)
    import numpy
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    # A row's own variable says how far it is covered: never more than its columns are chosen, so whole where they are.
    count, own = len(costs), 0 if worths is None else len(rows)
    entries = [(row, column, 1) for row, columns in enumerate(rows) for column in columns]
    entries += [(row, count + row, -1) for row in range(own)]
    entries += [
        (len(rows) + at, column, value) for at, limit in enumerate(limits) for column, value in limit.values.items()
    ]
    down, across, values = zip(*entries, strict=True)
    shape = (len(rows) + len(limits), count + own)
    lowest = [1 if worths is None else 0] * len(rows) + [-numpy.inf] * len(limits)
    highest = [numpy.inf] * len(rows) + [limit.most + _QUARTER for limit in limits]
    aim = [float(cost * _THOUSANDTHS) for cost in costs] + [-worth * _THOUSANDTHS for worth in worths or ()]
    result = milp(
        numpy.array(aim),
        integrality=[1] * count + [0] * own,
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(coo_array((values, (down, across)), shape=shape).tocsr(), lowest, highest),
        options={"mip_rel_gap": 0, "time_limit": seconds},
    )
    picked = None if result.x is None else [column for column in range(count) if result.x[column] > 0.5]
    bound = result.mip_dual_bound  # cut off early, it may be none yet, or an infinite one
    is_known = bound is not None and isfinite(bound)
    return Solved(picked, Fraction(bound) / _THOUSANDTHS if is_known else None, result.status == _SOLVED)
