"""Many sizes in a few words: `1/16 to 1-1/8 every 1/64; 3 to 25.5 mm every 0.5 mm`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length

FEWEST = 3
"""Fewer sizes in even steps are told one by one."""


def runs_of(sizes: Sequence[Length]) -> str:
    """The sizes in order; those of one unit together, as a ladder stands in each."""
    inches = [size for size in sizes if not size.is_metric]
    metric = [size for size in sizes if size.is_metric]
    return "; ".join(", ".join(map(_words, _runs(of_unit))) for of_unit in (inches, metric) if of_unit)


def _runs(sizes: Sequence[Length]) -> Iterator[Sequence[Length]]:
    """As many sizes as follow each other by the same step, from the smallest on."""
    start = 0
    while start < len(sizes):
        end = start + 1
        while end < len(sizes) and (
            end - start < 2 or sizes[end].nm - sizes[end - 1].nm == sizes[start + 1].nm - sizes[start].nm
        ):
            end += 1
        if end - start < FEWEST:
            end = start + 1
        yield sizes[start:end]
        start = end


def _words(run: Sequence[Length]) -> str:
    if len(run) < FEWEST:
        return nominal(run[0])
    return f"{nominal(run[0])} to {nominal(run[-1])} every {nominal(run[1] - run[0])}"
