"""A band of stock against the range that a collet or chuck may grip."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from msgspec import Struct

from fitfinder.holding.stock import Band
from inventory.measures.lengths import Length

ZERO = Length(0)


class Verdict(StrEnum):
    """How stock of a band fits a range; the order is from best to worst."""

    HOLDS = "holds"
    AT_THE_LIMIT = "at the limit"
    MEASURE_FIRST = "measure first"
    DOES_NOT_HOLD = "does not hold"

    def __init__(self, _words: str) -> None:
        # Looked at for every size and piece of a question.
        self.rank = len(type(self).__members__)


class Outcome(StrEnum):
    """What a question comes to: the verdict of the best collet that can be used, or what there is instead."""

    HOLDS = "holds"
    AT_THE_LIMIT = "at the limit"
    MEASURE_FIRST = "measure first"
    BLANK = "blank"
    CHUCK = "chuck"
    """Or centers."""
    NOTHING = "nothing"

    @property
    def is_held(self) -> bool:
        """Whether a collet holds it, clear of its limits or at one."""
        return self in (Outcome.HOLDS, Outcome.AT_THE_LIMIT)


class Reach(Struct, frozen=True, kw_only=True, gc=False):
    """The clamping range of a piece, its edge allowances, and its true zone where that is known."""

    smallest: Length
    largest: Length
    edge_bottom: Length = ZERO
    edge_top: Length = ZERO
    true_from: Length | None = None
    true_to: Length | None = None


class Fit(NamedTuple):
    """How stock of a band fits a range."""

    band: Band
    verdict: Verdict
    margin: Length
    in_true_zone: bool


def fit(band: Band, reach: Reach) -> Fit:
    return Fit(band, judge(band, reach), margin(band, reach), in_true_zone(band, reach))


def judge(band: Band, reach: Reach) -> Verdict:
    """The verdict; limits themselves count as inside, edge allowances themselves as clear."""
    # For every size and many pieces of a question: lengths are compared as bare numbers.
    low, high, smallest, largest = band.smallest.nm, band.largest.nm, reach.smallest.nm, reach.largest.nm
    if high < smallest or low > largest:
        return Verdict.DOES_NOT_HOLD
    if low < smallest or high > largest:
        return Verdict.MEASURE_FIRST
    is_clear = low - smallest >= reach.edge_bottom.nm and largest - high >= reach.edge_top.nm
    return Verdict.HOLDS if is_clear else Verdict.AT_THE_LIMIT


def margin(band: Band, reach: Reach) -> Length:
    """How far the band stays inside the nearer limit; below zero, how far it reaches out."""
    return Length(min(band.smallest.nm - reach.smallest.nm, reach.largest.nm - band.largest.nm))


def misses_by(band: Band, reach: Reach) -> Length:
    """Above zero, how much too big the stock is; below zero, how much too small; zero where it overlaps."""
    if band.smallest > reach.largest:
        return band.smallest - reach.largest
    if band.largest < reach.smallest:
        return band.largest - reach.smallest
    return ZERO


def in_true_zone(band: Band, reach: Reach) -> bool:
    """Whether the whole band lies where the collet runs as marked; an unknown zone promises nothing."""
    if reach.true_from is None or reach.true_to is None:
        return False
    return reach.true_from.nm <= band.smallest.nm and band.largest.nm <= reach.true_to.nm
