"""What the shop's collets should hold: bar that it keeps, and sizes that people asked for in vain."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from fitfinder.holding.stock import Stock
from inventory.measures.lengths import Length


class Demand(Struct, frozen=True, kw_only=True):
    """Bar that should be held, all of its band, and how much that matters.

    `weight` is a whole number above zero. `lathe` is the one lathe that it was asked for, empty where any will do.
    `asked` says how often people asked for it, 0 for bar that the shop keeps.
    """

    stock: Stock
    weight: int = 1
    lathe: str = ""
    asked: int = 0
    note: str = ""

    @property
    def name(self) -> str:
        return f"{self.stock.read_as}, on {self.lathe}" if self.lathe else self.stock.read_as

    @property
    def short_name(self) -> str:
        """Its size and shape, without what it is made of and how that is known: `7/16 in round`."""
        shape = self.stock.shape
        size = f"{self.stock.read_as.partition(f' {shape},')[0]} {shape}"
        return f"{size}, on {self.lathe}" if self.lathe else size

    @property
    def why(self) -> str:
        """Who asks for it, and how much that matters."""
        if self.asked:
            return f"looked for {self.asked} time{'' if self.asked == 1 else 's'}"
        return f"in stock, weight {self.weight}"

    @property
    def aim(self) -> Length:
        """What a collet's size should be near to: the bar's nominal size, else the middle of its band."""
        band = self.stock.band
        return self.stock.nominal or Length((band.smallest.nm + band.largest.nm) // 2)


def in_short(demands: Iterable[Demand], *, most: int = 4) -> str:
    """Sizes with who asks for them, the weightiest first: `13/16 in round (in stock, weight 5; looked for 2 times)`."""
    reasons: dict[str, list[str]] = {}
    for demand in sorted(demands, key=lambda demand: -demand.weight):
        reasons.setdefault(demand.short_name, []).append(demand.why)
    sizes = [f"{name} ({'; '.join(why)})" for name, why in reasons.items()]
    return ", ".join(sizes[:most]) + (f" and {len(sizes) - most} more" if len(sizes) > most else "")


class Unreadable(Struct, frozen=True):
    """A demand on file that the tables cannot read any more, with the sentence why."""

    name: str
    why: str
