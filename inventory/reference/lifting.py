"""Who or what lifts what is put on a lathe, by the working figures; and what a chuck weighs that nobody weighed."""

from __future__ import annotations

from enum import IntEnum
from fractions import Fraction

from inventory.measures import masses
from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference import holding, practice


class Lift(IntEnum):
    """What it takes to lift something over the bed; more is worse."""

    ALONE = 1
    TWO = 2
    HOIST = 3

    @property
    def words(self) -> str:
        return {Lift.ALONE: "one person", Lift.TWO: "two people or a cradle", Lift.HOIST: "a hoist"}[self]

    @classmethod
    def of(cls, micrograms: int) -> Lift:
        """The limits themselves are still lifted."""
        lb = Fraction(micrograms, masses.UG_PER_LB)
        if lb > alone().limit:
            return cls.HOIST if lb > practice.caution("two people or a cradle").limit else cls.TWO
        return cls.ALONE


def alone() -> practice.WorkingNumber:
    """What one person lifts over the bed, in pounds."""
    return practice.caution("lift alone")


def chuck_ug(body: Length) -> int:
    """What a chuck of this body weighs, within some 30 %."""
    inches = Fraction(body.nm, NM_PER_INCH)
    return round(holding.value("chuck.weight_factor") * inches**3 * masses.UG_PER_LB)
