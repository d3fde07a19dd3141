"""Where things stand in the picture of the stock in its clamping range. Whole pixels, so no float is made."""

from __future__ import annotations

from msgspec import Struct

from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.stock import Band
from fitfinder.holding.verdicts import Reach
from inventory.measures.length_words import figures
from inventory.measures.lengths import Length

LEFT, WIDTH = 30, 298
"""The clamping range is drawn from LEFT over WIDTH of a picture 358 wide; what is outside shows in the margins."""
NOMINAL_UPTO = 270
"""A nominal size further right would be written over the limit."""


class Window(Struct, frozen=True, kw_only=True):
    """Positions from the left, and the words that say the same as the picture."""

    left: int
    right: int
    stock_from: int
    stock_width: int
    zone_from: int | None
    zone_width: int | None
    nominal: int
    smallest: str
    largest: str
    marked: str
    """The nominal size, empty where there is no room for it."""
    words: str

    @property
    def width(self) -> int:
        return self.right - self.left

    @property
    def stock_middle(self) -> int:
        return self.stock_from + self.stock_width // 2


def window(grip: ColletGrip) -> Window:
    """The stock's band inside the clamping range of a collet, to scale across the range."""
    reach, band = grip.reach, grip.held
    span = max(1, (reach.largest - reach.smallest).nm)

    def at(length: Length) -> int:
        place = LEFT + (length - reach.smallest).nm * WIDTH // span
        return max(4, min(354, place))

    start = at(band.smallest)
    nominal = at(grip.nominal)
    zone_from = at(reach.true_from) if reach.true_from is not None else None
    zone_to = at(reach.true_to) if reach.true_to is not None else None
    return Window(
        left=LEFT,
        right=LEFT + WIDTH,
        stock_from=start,
        stock_width=max(4, at(band.largest) - start),
        zone_from=zone_from,
        zone_width=max(1, zone_to - zone_from) if zone_from is not None and zone_to is not None else None,
        nominal=nominal,
        smallest=figures(reach.smallest),
        largest=figures(reach.largest),
        marked=figures(grip.nominal) if nominal < NOMINAL_UPTO else "",
        words=_words(band, reach),
    )


def _words(band: Band, reach: Reach) -> str:
    words = f"Stock {figures(band.smallest)}"
    if band.largest != band.smallest:
        words += f" to {figures(band.largest)}"
    words += f" in the clamping range {figures(reach.smallest)} to {figures(reach.largest)}"
    if reach.true_from is not None and reach.true_to is not None:
        words += f"; runs as marked from {figures(reach.true_from)} to {figures(reach.true_to)}"
    return words
