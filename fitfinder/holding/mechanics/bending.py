"""How far work gives way under the cut, and by how much its diameter comes out wrong.

Lengths are in inches, forces in pounds, moduli in psi. The beam formulas are those of the shop's sums.
"""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.bending import Held, deflection
from fitfinder.arithmetic.quantities import root
from fitfinder.holding.job import Job
from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference import holding
from inventory.reference.materials import Material


def cutting_force(job: Job) -> Fraction:
    """What a working cut presses across this work: so much for each inch of its diameter."""
    return holding.value("deflection.force") * in_inches(job.thickness)


def gives_way(job: Job, length: Length, held: Held) -> Length | None:
    """How far the work gives way under a working cut: at its end where that is free, else in the middle. None where
    the stiffness of its material is not on file."""
    modulus = made_of(job).modulus
    if modulus is None:
        return None
    bent = deflection(
        force=cutting_force(job),
        length=in_inches(length),
        diameter=as_stiff_as(in_inches(job.thickness), in_inches(job.bore or Length(0))),
        modulus=modulus,
        held=held,
    )
    return Length(round(bent * NM_PER_INCH))


def as_stiff_as(outside: Fraction, bore: Fraction) -> Fraction:
    """The solid round bar that is as stiff as this tube; of no bore the same."""
    return outside if not bore else root(root(outside**4 - bore**4))


def made_of(job: Job) -> Material:
    """Steel where nothing says otherwise: the weight says so too."""
    return job.made_of or Material.STEEL


def in_inches(length: Length) -> Fraction:
    return Fraction(length.nm, NM_PER_INCH)
