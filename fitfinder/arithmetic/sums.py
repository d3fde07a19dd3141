"""Every sum of the shop by its name, in the order in which they are listed."""

from __future__ import annotations

from fitfinder.arithmetic import bars, bending, centers, eccentric, indexing, speeds, tapers, truth
from fitfinder.arithmetic.frame import Sum
from fitfinder.questions import QuestionError
from inventory.measures.lengths import shorten

SUMS: dict[str, Sum] = {
    one.name: one
    for one in (
        *truth.SUMS,
        *eccentric.SUMS,
        *tapers.SUMS,
        *centers.SUMS,
        *indexing.SUMS,
        *speeds.SUMS,
        *bending.SUMS,
        *bars.SUMS,
    )
}


def sum_named(name: str) -> Sum:
    """The sum of this name. Raises QuestionError where there is none."""
    asked = SUMS.get(name.strip().lower())
    if asked is None:
        message = f"“{shorten(name)}” is no sum of this book. It has {', '.join(SUMS)}."
        raise QuestionError(message, field="name", read=shorten(name))
    return asked
