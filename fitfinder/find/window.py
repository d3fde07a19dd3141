"""Where things stand in the picture of the stock in its clamping range. Whole pixels, so no float is made."""

from __future__ import annotations

from msgspec import Struct

from fitfinder.holding.grips import Grip
from fitfinder.holding.stock import Band, across_corners
from inventory.measures.lengths import Length

LEFT, WIDTH = 30, 298
"""The clamping range is drawn from LEFT over WIDTH of a picture 358 wide; what is outside shows in the margins."""


class Window(Struct, frozen=True, kw_only=True):
    """Positions from the left, and the words that say the same as the picture."""

    left: int
    right: int
    stock_from: int
    stock_width: int
    zone_from: int | None
    zone_width: int | None
    nominal: int | None
    words: str

    @property
    def width(self) -> int:
        return self.right - self.left

    @property
    def stock_middle(self) -> int:
        return self.stock_from + self.stock_width // 2


def window(grip: Grip, band: Band, shape: str) -> Window:
    """The stock's band inside the clamping range of a collet, to scale across the range."""
    reach = grip.reach
    if grip.piece.size.shape != shape:
        band = Band(across_corners(shape, band.smallest), across_corners(shape, band.largest))
    span = max(1, (reach.largest - reach.smallest).nm)

    def at(length: Length) -> int:
        place = LEFT + (length - reach.smallest).nm * WIDTH // span
        return max(4, min(354, place))

    start = at(band.smallest)
    zone = (at(reach.true_from), at(reach.true_to)) if reach.true_from is not None else None
    words = (
        f"Stock {band.smallest.inch_text}"
        + (f" to {band.largest.inch_text}" if band.largest != band.smallest else "")
        + f" in the clamping range {reach.smallest.inch_text} to {reach.largest.inch_text}"
        + (f"; runs as marked from {reach.true_from.inch_text} to {reach.true_to.inch_text}" if zone else "")
    )
    return Window(
        left=LEFT,
        right=LEFT + WIDTH,
        stock_from=start,
        stock_width=max(4, at(band.largest) - start),
        zone_from=zone[0] if zone else None,
        zone_width=max(1, zone[1] - zone[0]) if zone else None,
        nominal=at(grip.nominal) if grip.nominal is not None else None,
        words=words,
    )
