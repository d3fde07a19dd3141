"""What the shop's collets should hold: bar that it keeps, and sizes that people asked for in vain."""

from __future__ import annotations

from dataclasses import dataclass

from fitfinder.stock import Stock
from inventory.lengths import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
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
    def aim(self) -> Length:
        """What a collet's size should be near to: the bar's nominal size, else the middle of its band."""
        band = self.stock.band
        return self.stock.nominal or Length((band.smallest.nm + band.largest.nm) // 2)


@dataclass(frozen=True, slots=True)
class Unreadable:
    """A demand on file that the tables cannot read any more, with the sentence why."""

    name: str
    why: str
