"""The order of the grips, best first."""

from __future__ import annotations

from collections.abc import Iterable

from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.routes import standing
from fitfinder.holding.runout import MEASURED, TYPICAL, UNKNOWN
from fitfinder.holding.verdicts import Verdict

MOST_SIZES, MOST_PIECES = 10, 3
MOST_MAKE_DOS = 3
MOST_LEFT_OUT = 6
"""Nearest to the stock first; one more to tell is one more to look for, and helps nobody."""
MOST_NEAR = 3
"""So many sizes beside the stock are told on either side."""


def place(grip: ColletGrip, *, middle_nm: int, asked: bool) -> tuple[bool | int | str, ...]:
    """The sort key: checked chain, free, verdict, the asked TIR, true zone, condition, least change, near, truth."""
    # Some fifty a question: whatever is asked for twice is taken out once, and lengths are compared as bare numbers.
    piece, chain, run = grip.piece, grip.chain, grip.runout
    return (
        not chain.is_checked,
        # A piece that another job wants soon comes behind any free one, but not behind one that may not hold at all.
        grip.verdict is Verdict.MEASURE_FIRST,
        grip.is_wanted,
        grip.verdict.rank,
        _tir_rank(grip) if asked else 0,
        not grip.in_true_zone,
        not piece.is_good or chain.is_worn,
        chain.to_be_fitted + (piece.mounted_on is None or not grip.is_mounted),
        abs(grip.nominal.nm - middle_nm),
        run.basis == UNKNOWN,
        run.known.nm,
        piece.tag,
    )


def _tir_rank(grip: ColletGrip) -> int:
    """Known to meet it, typically meets it, unknown, known to miss it."""
    if grip.meets_tir is False:
        return 3
    if grip.meets_tir is None:
        return 2
    return {MEASURED: 0, TYPICAL: 1}.get(grip.runout.basis, 2)


def best_first(grips: Iterable[ColletGrip], *, middle_nm: int, asked: bool) -> list[ColletGrip]:
    return sorted(grips, key=lambda grip: place(grip, middle_nm=middle_nm, asked=asked))


def shortlist(grips: list[ColletGrip]) -> tuple[list[ColletGrip], int]:
    """Up to ten sizes and up to three pieces of each, in order; and how many were left off."""
    counts: dict[int, int] = {}
    listed: list[ColletGrip] = []
    for grip in grips:
        size = grip.size.id
        if size not in counts and len(counts) >= MOST_SIZES:
            continue
        counts[size] = counts.get(size, 0) + 1
        if counts[size] <= MOST_PIECES:
            listed.append(grip)
    return listed, len(grips) - len(listed)


def best_way(ways: list[ColletGrip]) -> ColletGrip:
    """Of several chains to one piece: checked, in good condition, meeting what was asked, known, least change.

    Here what is known goes before what is not, so that asking for a TIR never hides a reading.
    """
    if len(ways) == 1:
        return ways[0]  # as of most pieces
    return min(
        ways,
        key=lambda grip: (
            *standing(grip.chain),
            grip.meets_tir is not True,
            grip.runout.basis == UNKNOWN,
            grip.runout.known.nm,
            grip.chain.to_be_fitted + (not grip.is_mounted),
            grip.tags,
        ),
    )
