"""Work off the axis: the speed at which it pulls by its own weight, and the first speed under power.

Lengths are in inches, speeds in turns in a minute.
"""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.quantities import PI, root
from fitfinder.holding.mechanics.whirl import GRAVITY
from inventory.reference import holding


def own_weight_rpm(offset: Fraction) -> Fraction:
    """The speed at which what lies so far off the axis pulls outward by its own weight."""
    return 30 / PI * root(GRAVITY / offset)


def first_rpm(offset: Fraction) -> int:
    """The first speed under power, before it is balanced: it pulls by a quarter of its weight. Rounded down."""
    return int(holding.value("unbalance.first_share") * own_weight_rpm(offset))
