"""What work and chucks weigh: from shape, size, length and material where nobody weighed them.

Weights are whole micrograms, lengths nanometres, sections square nanometres.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from fitfinder.arithmetic.bars import section
from fitfinder.holding.job import Job, WorkShape
from fitfinder.holding.pieces import CHUCK_KINDS, LatheOnHand, Piece
from inventory.measures import masses
from inventory.measures.lengths import Length
from inventory.reference import lifting
from inventory.reference.materials import Material


class Weight(Struct, frozen=True, kw_only=True, gc=False):
    """What something weighs, and how far that is known."""

    ug: int
    material: Material | None = None
    """What it was worked out with; None where it was weighed."""
    is_taken: bool = False
    """Whether neither a material nor a grade says that it is of this material."""
    is_at_most: bool = False
    """Whether it is that of the cylinder around the work."""
    is_about: bool = False
    """Whether it is a rule of thumb."""

    @property
    def lb(self) -> Fraction:
        return Fraction(self.ug, masses.UG_PER_LB)

    @property
    def kg(self) -> Fraction:
        return Fraction(self.ug, masses.UG_PER_KG)

    @property
    def words(self) -> str:
        """`55.7 lb (25.3 kg)`, `at most 96.2 lb (43.6 kg)`, `about 41.0 lb (18.6 kg)`."""
        how = "at most " if self.is_at_most else "about " if self.is_about else ""
        return f"{how}{masses.shown(self.ug)}"

    def of(self, material: Material) -> Weight:
        """The same work, made of something else."""
        assert self.material is not None, "what was weighed is what it is"
        return Weight(ug=round(self.ug * material.density / self.material.density), material=material)


def of_work(job: Job, lathe: LatheOnHand | None = None) -> Weight | None:
    """What the work weighs on this lathe: as told, else worked out; None where its length is not known.

    Bar that is fed is lifted as it lies in the spindle, whole.
    """
    if job.weight_ug is not None:
        return Weight(ug=job.weight_ug)
    length = _length(job, lathe)
    if length is None:
        return None
    material = job.made_of or Material.STEEL
    return Weight(
        ug=round(section_of(job) * length.nm * material.density),
        material=material,
        is_taken=job.made_of is None,
        is_at_most=job.is_irregular,
    )


def of_piece(piece: Piece) -> Weight | None:
    """What a piece weighs, as entered; a chuck else by its body, within some 30 %. None where neither is known."""
    if piece.weight_ug is not None:
        return Weight(ug=piece.weight_ug)
    if piece.kind not in CHUCK_KINDS or piece.body is None:
        return None
    return Weight(ug=lifting.chuck_ug(piece.body), is_about=True)


def section_of(job: Job) -> Fraction:
    """The area of its section, in square nanometres; of irregular work that of the circle around it."""
    size = Fraction(job.middle.nm)
    if job.other_side is not None:
        return size * job.other_side.nm
    if job.shape is WorkShape.TUBE and job.bore is not None:
        return section("round", size) - section("round", Fraction(job.bore.nm))
    return section(job.stock.shape, size)


def _length(job: Job, lathe: LatheOnHand | None) -> Length | None:
    if not job.is_fed or lathe is None or lathe.spindle_length is None:
        return job.length
    return max(job.length or lathe.spindle_length, lathe.spindle_length)
