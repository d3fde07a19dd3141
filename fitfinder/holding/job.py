"""The job that is to be held: the stock, its length, how many, and what is to be made of it."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from math import isqrt

from msgspec import Struct

from fitfinder.holding.stock import Stock
from inventory.measures import masses
from inventory.measures.length_words import in_unit, runout_text
from inventory.measures.lengths import Length
from inventory.reference import holding
from inventory.reference.bars import material_of
from inventory.reference.materials import Material


class WorkShape(StrEnum):
    """The shapes that can be planned for; the value is the word of addresses, JSON and commands."""

    ROUND = "round"
    HEX = "hex"
    SQUARE = "square"
    FLAT = "rectangular"
    TUBE = "tube"
    CASTING = "casting"
    """A casting, or a forging: round to what swings it, and irregular."""

    @property
    def called(self) -> str:
        """What the shop calls it."""
        return "flat" if self is WorkShape.FLAT else self.value


FLAT_SIDED = frozenset({WorkShape.HEX, WorkShape.SQUARE, WorkShape.FLAT})


class Job(Struct, frozen=True, kw_only=True, gc=False):
    """What is to be held. `stock` is its outside as the finder takes it: of a tube round, of a flat the longer side.
    `tir` is what the work may run out between set-ups. None is not told."""

    shape: WorkShape
    stock: Stock
    read_as: str
    other_side: Length | None = None
    bore: Length | None = None
    length: Length | None = None
    stick_out: Length | None = None
    grip: Length | None = None
    """How much there is to grip, as told."""
    gripping: Length | None = None
    """How much of it is held, worked out once what holds it is known."""
    weight_ug: int | None = None
    """As told; `weights` works it out where it is not."""
    material: Material | None = None
    parts: int = 1
    setups: int = 1
    tir: Length | None = None
    runs_within: Length | None = None
    """What one gripping may run out to the spindle; with several set-ups the plan asks `tir`, between them."""
    throw: Length | None = None
    taper: Fraction | None = None
    """20 is a taper of 1:20 on the diameter."""
    taper_length: Length | None = None
    """How long the taper itself is, along the axis."""
    turned: Length | None = None
    """The finished diameter that the second set-up grips."""
    starts: int = 1
    is_on_turned: bool = False
    """Whether the set-ups after the first grip what the first one turned."""
    is_from_both_ends: bool = False
    is_fed: bool = False
    is_irregular: bool = False
    is_casting: bool = False
    """Whether it was asked as a casting; an address may say irregular of any shape."""

    @classmethod
    def of_stock(cls, stock: Stock, *, runs_within: Length | None = None) -> Job:
        """Work of which no more is known than the stock; `runs_within` is the TIR that is asked of it."""
        return cls(shape=WorkShape(stock.shape), stock=stock, read_as=stock.read_as, runs_within=runs_within)

    @property
    def is_stock_alone(self) -> bool:
        """Whether no more is known of it than Find knows."""
        return self == Job.of_stock(self.stock, runs_within=self.runs_within)

    @property
    def is_bare(self) -> bool:
        """Whether nothing is told beside the stock."""
        return self.length is None and self.stick_out is None and self.grip is None

    @property
    def is_flat_sided(self) -> bool:
        return self.shape in FLAT_SIDED

    @property
    def thickness(self) -> Length:
        """The least across: what bends first."""
        return self.other_side or self.stock.band.smallest

    @property
    def middle(self) -> Length:
        """The size that is bored to: its name, else the middle of its band."""
        return self.stock.nominal or Length(self.stock.band.middle_nm)

    @property
    def made_of(self) -> Material | None:
        """The material as told, else as the grade says; None where neither does."""
        if self.material is not None:
            return self.material
        return material_of(self.stock.grade.grade) if self.stock.grade is not None else None

    @property
    def circle(self) -> Length:
        """The circle that it swings when it runs true, rounded up."""
        if self.other_side is None:
            return self.stock.across_corners
        square = self.stock.band.largest.nm**2 + self.other_side.nm**2
        root = isqrt(square)
        return Length(root if root * root == square else root + 1)

    @property
    def swing(self) -> Length:
        """The circle that it swings, set over by the throw."""
        return self.circle if self.throw is None else self.circle + self.throw * 2

    @property
    def wall(self) -> Length | None:
        """Of a tube, or of round work with a bore, rounded down."""
        if self.shape not in (WorkShape.TUBE, WorkShape.ROUND) or self.bore is None:
            return None
        return Length((self.stock.band.smallest.nm - self.bore.nm) // 2)

    @property
    def thin_wall(self) -> Length | None:
        """The wall of a tube that is thin; None of all else."""
        wall = self.wall
        return (
            wall
            if wall is not None and wall.nm < holding.value("thin.first_sign") * self.stock.band.smallest.nm
            else None
        )

    @property
    def gripped(self) -> Length:
        """How much is held; until what holds it is known as told, else one diameter (common practice)."""
        return self.gripping or self.grip or self.thickness

    @property
    def stands_out(self) -> Length | None:
        """How far it stands out of what grips it: as told, else what the grip leaves of the length. What is left of bar
        that is fed lies in the spindle: of it the length tells nothing."""
        if self.stick_out is not None:
            return self.stick_out
        if self.length is None or self.is_fed:
            return None
        return max(self.length - (self.grip or self.gripped), Length(0))

    @property
    def diameters_out(self) -> Fraction | None:
        """The stick-out in thicknesses of the work; None where the length is not told."""
        return None if self.stands_out is None else Fraction(self.stands_out.nm, self.thickness.nm)

    @property
    def slenderness(self) -> Fraction | None:
        """The whole length in thicknesses of the work; None where it is not told."""
        return None if self.length is None else Fraction(self.length.nm, self.thickness.nm)

    def thicknesses(self, times: Fraction) -> str:
        """`5.0 diameters`, and of work that has none `5.0 times its thickness`."""
        is_round = self.shape in (WorkShape.ROUND, WorkShape.TUBE) and not self.is_irregular
        return f"{in_tenths(times)} {'diameters' if is_round else 'times its thickness'}"

    @property
    def words(self) -> list[str]:
        """What is asked beside size and shape, in few words."""
        words = [f"{in_unit(self.length)} long"] if self.length is not None else []
        words.append(f"{self.parts} part{'s' if self.parts > 1 else ''}")
        words.append(f"{self.setups} set-up{'s' if self.setups > 1 else ''}")
        if self.tir is not None:
            words.append(f"{runout_text(self.tir)} TIR {'in one gripping' if self.setups == 1 else 'between them'}")
        words += [f"throw {in_unit(self.throw)}"] if self.throw is not None else []
        words += (
            ["a taper" + (f" {in_unit(self.taper_length)} long" if self.taper_length else "")] if self.taper else []
        )
        words += [f"turned to {in_unit(self.turned)} first"] if self.turned is not None else []
        words += [f"{self.starts} starts"] if self.starts > 1 else []
        words += [self.material.value] if self.material is not None else []
        words += [masses.shown(self.weight_ug)] if self.weight_ug is not None else []
        words += ["uneven, like a casting"] if self.is_irregular and not self.is_casting else []
        words += ["fed through the spindle"] if self.is_fed else []
        return words + (["from both ends"] if self.is_from_both_ends else [])


def in_tenths(number: Fraction) -> str:
    """`3.5`."""
    tenths = round(number * 10)
    return f"{tenths // 10}.{tenths % 10}"
