"""What self-centering jaws take and how truly they run, by how many they are."""

from __future__ import annotations

from fitfinder.holding.pieces import Piece
from fitfinder.holding.stock import StockShape
from inventory.measures.lengths import Length
from inventory.reference import practice
from inventory.reference.kinds import Kind

FLATS: dict[str, int] = {StockShape.HEX: 6, StockShape.SQUARE: 4, StockShape.FLAT: 2}


def takes_shape(chuck: Piece, shape: str) -> bool:
    """Whether its jaws take stock of this shape; independent jaws take any, and what is not counted takes no flats."""
    if chuck.kind == Kind.INDEPENDENT_CHUCK or shape not in FLATS:
        return True
    return chuck.jaws is not None and flats_sit(chuck.jaws, shape)


def flats_sit(jaws: int, shape: str) -> bool:
    """Whether every jaw of a self-centering chuck meets a flat: the jaw count divides the flats.

    Round sits in any. Common practice; of a rectangle only two opposite flats are alike. A hex in four jaws is a
    make-do and not counted.
    """
    return shape not in FLATS or FLATS[shape] % jaws == 0


def typical_of_jaws(jaws: int | None) -> Length | None:
    """What a universal chuck of so many jaws typically runs out; three where no figure is on file, or none is told."""
    for count in (jaws, 3):
        try:
            return practice.run_out(f"universal {count}-jaw").typical
        except KeyError:
            continue
    return None
