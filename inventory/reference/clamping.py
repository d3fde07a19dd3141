"""From a series' figures to the range that one of its collets may grip."""

from __future__ import annotations

from msgspec import Struct

from inventory.measures.lengths import Length


class ClampingRange(Struct, frozen=True):
    """Smallest and largest size a collet may grip; both limits count as inside."""

    smallest: Length
    largest: Length


class Figures(Struct, frozen=True, kw_only=True):
    """How far the collets of a series close and open from their nominal, and where they run as marked.

    `small_closes_by` counts for nominals up to and including `small_upto`. A true zone that nobody has
    figures for is None.
    """

    closes_by: Length
    opens_by: Length
    small_closes_by: Length | None = None
    small_upto: Length | None = None
    true_under: Length | None = None
    true_over: Length | None = None

    def clamping_range(self, nominal: Length) -> ClampingRange:
        """[nominal - closes_by, nominal + opens_by], the closing being smaller at small sizes."""
        closes_by = self.closes_by
        if self.small_upto is not None and self.small_closes_by is not None and nominal <= self.small_upto:
            closes_by = self.small_closes_by
        return ClampingRange(nominal - closes_by, nominal + self.opens_by)

    def true_zone(self, nominal: Length) -> ClampingRange | None:
        """Where a collet of this nominal runs as marked, or None where that is unknown."""
        if self.true_under is None or self.true_over is None:
            return None
        return ClampingRange(nominal - self.true_under, nominal + self.true_over)
