"""What a faceplate takes: clamps beside the work, else bolts through its own holes; and what balances it."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.speeds import counterweight
from fitfinder.holding.job import Job
from fitfinder.holding.mechanics.bending import in_inches
from fitfinder.holding.mechanics.weights import Weight
from fitfinder.holding.parts import NO_PARTS, Parts, Reason, SetupStep
from fitfinder.holding.pieces import Piece
from inventory.measures import amounts
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import Length
from inventory.reference import holding

_OVERHANG = Fraction(11, 10)
"""Work that is bolted inside may be so much larger than the plate: a make-do, common practice, no source."""


def clamp_room(plate: Length) -> Length:
    """What a clamp's foot, bolt and nut take at the rim."""
    return holding.length("faceplate.clamp_room.si" if plate.is_metric else "faceplate.clamp_room")


def on_plate(job: Job, plate: Piece) -> Parts:
    """Whether there is room on the plate, and how the work is held to it then."""
    if plate.body is None:
        return Parts(reasons=(Reason(f"how large {plate.tag} is is not filled in: clamps want room beside the work"),))
    beside = plate.body - clamp_room(plate.body) * 2
    if job.swing <= beside:
        return NO_PARTS
    size = f"{plate.tag} is {in_unit(plate.body)} across"
    if job.swing <= plate.body:
        why = f"beside {in_unit(job.swing)} no clamp sits, {size}: only bolted through holes of its own"
        return Parts(but=(Reason(why, needs=job.swing, has=beside),))
    if job.swing.nm <= plate.body.nm * _OVERHANG:
        why = f"{in_unit(job.swing)} stands over the rim, {size}: a make-do, with bolts inside"
        return Parts(but=(Reason(why, needs=job.swing, has=plate.body),))
    why_not = Reason(f"{in_unit(job.swing)} is larger than the plate: {size}", needs=job.swing, has=plate.body)
    return Parts(why_not=why_not)


def too_tall(job: Job) -> Reason | None:
    """What work wants that stands farther from the plate than twice its width."""
    if job.length is None or job.length <= job.circle * 2:
        return None
    return Reason(
        f"it stands {in_unit(job.length)} out and is {in_unit(job.circle)} wide: an angle plate or a steady too"
    )


def balanced(job: Job, plate: Piece, weight: Weight | None) -> SetupStep:
    """With the weight that evens it out, where that of the work is known."""
    still = "until the spindle stops anywhere by itself, in neutral with the power off"
    if job.throw is None or weight is None or plate.body is None:
        return SetupStep(f"Counterweight it {still}.")
    radius = Length(plate.body.nm // 2) - clamp_room(plate.body)
    pounds = counterweight(weight.lb, in_inches(job.throw), in_inches(radius))
    return SetupStep(
        f"Counterweight it by about {amounts.weight(pounds)} at {in_unit(radius)} from the axis, opposite "
        f"to the throw, {still}."
    )
