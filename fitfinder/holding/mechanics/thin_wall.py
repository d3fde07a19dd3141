"""What jaws press a thin wall out of round, by the theory of thin rings.

A ring under n equal jaws, each pressing with W, is lobed by p = k W R³ / (E I) peak to valley on its radius, without
friction; I = b h³ / 12, R its mean radius, h its wall and b its width. It is bored round while it is pressed and
springs to p afterwards. Inches and pounds inside, lengths outside.
"""

from __future__ import annotations

from fractions import Fraction

from fitfinder.holding.job import Job
from fitfinder.holding.parts import Reason
from fitfinder.holding.rules.grip_length import jaw_forces_needed
from inventory.measures import amounts
from inventory.measures.length_words import fine
from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference import holding
from inventory.reference.materials import Material

CUT = Fraction(50)
"""What a light cut presses with along its circle, in pounds: the jaws hold against that. Common practice, no source."""
MINDED = Length.inches("0.001")
"""What is minded where no TIR is asked."""
INSTEAD = (
    "clamped on its face; bored pie jaws or a bushing that wrap 300 degrees of it; six jaws; "
    "an expanding arbor or mandrel in its bore; a plug in its bore; a light grip for the last cut"
)


def lobes(
    force: Fraction, *, jaws: int, radius: Fraction, wall: Fraction, width: Fraction, modulus: Fraction
) -> Fraction | None:
    """Peak to valley on the radius, in the unit of the lengths; `force` is that of one jaw, `radius` the mean one.

    None for so many jaws as no factor is on file for.
    """
    factor = holding.maybe(f"ring.k.{jaws}_jaws")
    if factor is None:
        return None
    return factor.value * force * radius**3 / (modulus * width * wall**3 / 12)


def springs(job: Job, jaws: int | None) -> Length | None:
    """How far out of round so many jaws press a tube that they hold against a light cut; None of what is no tube, or
    where a figure is not on file."""
    wall, modulus = job.wall, (job.made_of or Material.STEEL).modulus
    if wall is None or job.bore is None or modulus is None or jaws is None or wall.nm <= 0:
        return None
    press = lobes(
        jaw_forces_needed(CUT) / jaws,
        jaws=jaws,
        radius=_inches(job.stock.band.smallest + job.bore) / 4,
        wall=_inches(wall),
        width=_inches(_width(job)),
        modulus=modulus,
    )
    return None if press is None else Length(round(press * NM_PER_INCH))


def pressed(job: Job, jaws: int | None) -> Reason | None:
    """What speaks against so many hard jaws; None where they press it by no more than half of what is asked."""
    press = springs(job, jaws)
    if press is None or not is_minded(job, press):
        return None
    each = round(jaw_forces_needed(CUT) / jaws) if jaws else 0
    words = f"{jaws} jaws with {amounts.force(each)} each press it {fine(press)} out of round, and it springs to that"
    return Reason(words, needs=_asked(job), has=press)


def instead(job: Job, jaws: int | None) -> tuple[Reason, ...]:
    """What holds it without pressing it out of round, the best first."""
    return (Reason(f"instead, in this order: {INSTEAD}"),) if pressed(job, jaws) is not None else ()


def wrapped(job: Job, jaws: int | None) -> tuple[Reason, ...]:
    """What bored jaws want of a wall that as many hard ones press out of round."""
    if pressed(job, jaws) is None:
        return ()
    return (
        Reason(
            f"a thin wall: bored as pie jaws that wrap {int(holding.value('thin.wrap'))} degrees of it they keep it "
            "round; narrow soft jaws press it as hard ones do"
        ),
    )


def is_minded(job: Job, press: Length) -> bool:
    asked = _asked(job)
    return press > MINDED if asked is None else press * 2 > asked


def _asked(job: Job) -> Length | None:
    return job.tir if job.tir is not None else job.runs_within


def _width(job: Job) -> Length:
    """How much of it the jaws bend: a ring, up to a diameter long, all over; a longer tube where they grip it. What
    stiffens that beside the jaws is left out, so that a tube is not told to be rounder than it comes out."""
    is_ring = job.length is not None and job.length <= job.stock.band.smallest
    return job.length if is_ring and job.length is not None else job.gripped


def _inches(length: Length) -> Fraction:
    return Fraction(length.nm, NM_PER_INCH)
