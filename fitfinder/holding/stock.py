"""A piece of stock: its shape, and the band that its size lies in."""

from __future__ import annotations

import re
from enum import StrEnum
from functools import cached_property
from math import isqrt

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import holding
from inventory.reference.bars import BarBand


class StockShape(StrEnum):
    """The shape of stock in section; the value is the word that pages and JSON use."""

    ROUND = "round"
    HEX = "hex"
    SQUARE = "square"
    FLAT = "rectangular"


SHAPES = (StockShape.ROUND, StockShape.HEX, StockShape.SQUARE)
"""Those that a collet holds."""


class Band(Struct, frozen=True, gc=False):
    """The low and the high limit between which the stock really lies; both may be reached."""

    smallest: Length
    largest: Length

    @property
    def middle_nm(self) -> int:
        return (self.smallest.nm + self.largest.nm) // 2


class PieceNamed(Struct, frozen=True, kw_only=True):
    """A piece that was named by its tag in place of a size; `what` says it in words. Not all have a size."""

    tag: str
    what: str
    shape: StockShape | None = None
    nominal: Length | None = None

    @property
    def words(self) -> str:
        """`C-0024 is a 3/4 round 5C collet`."""
        return f"{self.tag} is {self.called}"

    @property
    def called(self) -> str:
        """`a 3/4 round 5C collet`, `an 11 mm round ER32 collet`."""
        return f"{'an' if _AS_SPOKEN.match(self.what) else 'a'} {self.what}"


_AS_SPOKEN = re.compile(r"(?!uni)[aeiou]|8|1[18](?![0-9])|(?:ER|MT|R8|[FHLNSX][A-Z0-9])", re.ASCII)
"""What begins with a vowel when it is said."""


class Stock(Struct, frozen=True, kw_only=True, dict=True):
    """A piece of stock. `read_as` says in words how the question was understood; hex and square across flats."""

    shape: StockShape
    band: Band
    read_as: str
    nominal: Length | None = None
    grade: BarBand | None = None
    of_piece: PieceNamed | None = None

    @property
    def is_rough(self) -> bool:
        """Of a grade that may be so far out of round, as hot rolled bar is, which is scaled too: three jaws or four
        independent ones come before all else (common practice)."""
        return self.out_of_round is not None and self.out_of_round > holding.length("bar.rough_out_of_round")

    @cached_property
    def corner_band(self) -> Band:
        """The band across corners; of round stock the band itself."""
        if self.shape == StockShape.ROUND:
            return self.band
        return Band(across_corners(self.shape, self.band.smallest), across_corners(self.shape, self.band.largest))

    @property
    def out_of_round(self) -> Length | None:
        return self.grade.out_of_round if self.grade else None

    @cached_property
    def across_corners(self) -> Length:
        """The largest circle that the stock needs, rounded up: its own size where it is round."""
        return across_corners(self.shape, self.band.largest)


def across_corners(shape: StockShape, flats: Length) -> Length:
    """Across corners of sharp hex (2/√3) or square (√2) stock, rounded up to the nanometre."""
    if shape == StockShape.HEX:
        return Length(_root_up(4 * flats.nm * flats.nm, 3))
    if shape == StockShape.SQUARE:
        return Length(_root_up(2 * flats.nm * flats.nm, 1))
    return flats


def _root_up(square: int, divisor: int) -> int:
    root = isqrt(square // divisor)
    return root if root * root * divisor == square else root + 1
