"""A band of stock against the range that a collet or chuck may grip."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fitfinder.stock import Band
from inventory.lengths import Length

ZERO = Length(0)


class Verdict(StrEnum):
    """How stock of a band fits a range; the order is from best to worst."""

    HOLDS = "holds"
    AT_THE_LIMIT = "at the limit"
    MEASURE_FIRST = "measure first"
    DOES_NOT_HOLD = "does not hold"

    @property
    def rank(self) -> int:
        return list(Verdict).index(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """The clamping range of a piece, its edge allowances, and its true zone where that is known."""

    smallest: Length
    largest: Length
    edge_bottom: Length = ZERO
    edge_top: Length = ZERO
    true_from: Length | None = None
    true_to: Length | None = None


def judge(band: Band, reach: Reach) -> Verdict:
    """The verdict; limits themselves count as inside, edge allowances themselves as clear."""
    if band.largest < reach.smallest or band.smallest > reach.largest:
        return Verdict.DOES_NOT_HOLD
    if band.smallest < reach.smallest or band.largest > reach.largest:
        return Verdict.MEASURE_FIRST
    clear_below = band.smallest - reach.smallest >= reach.edge_bottom
    clear_above = reach.largest - band.largest >= reach.edge_top
    return Verdict.HOLDS if clear_below and clear_above else Verdict.AT_THE_LIMIT


def margin(band: Band, reach: Reach) -> Length:
    """How far the band stays inside the nearer limit; below zero, how far it reaches out."""
    return min(band.smallest - reach.smallest, reach.largest - band.largest)


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
    return reach.true_from <= band.smallest and band.largest <= reach.true_to
