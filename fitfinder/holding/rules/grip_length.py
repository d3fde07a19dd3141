"""How much of the work is held along its axis: as told, or assumed and said; and whether that is enough.

Jaws want a third of what stands out of them, and below a fifth of it the work is thrown; a collet wants two thirds of
its own bearing, or it closes on its front alone. Common practice.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from fitfinder.holding.chains import Missing
from fitfinder.holding.job import Job
from fitfinder.holding.parts import NO_PARTS, Parts, Reason, SetupStep
from fitfinder.holding.rules.bearings import Bearing, Bite
from inventory.measures.length_words import in_unit, measured
from inventory.measures.lengths import NM_PER_INCH, NM_PER_MM, Length
from inventory.reference import holding, practice


class GripCheck(Struct, frozen=True, gc=False):
    """Whether a grip will do: why not, or what it takes beside; what speaks against it, and what has to be told."""

    parts: Parts = NO_PARTS
    against: tuple[Reason, ...] = ()
    untold: tuple[Reason, ...] = ()

    def __add__(self, other: GripCheck) -> GripCheck:
        if other is NOTHING_FOUND:
            return self
        return GripCheck(self.parts + other.parts, self.against + other.against, self.untold + other.untold)


NOTHING_FOUND = GripCheck()
_PLUG_WITHIN = Length.inches("0.0005")
"""Of the bore that it fills (common practice, no source)."""


def gripped_by(job: Job, bearing: Bearing) -> Job:
    """The job with how much of the work this holds."""
    bounds = [bearing.length] if bearing.length is not None else []
    if job.grip is not None:
        return replace(job, gripping=min([job.grip, *bounds]))
    if bearing.by not in (Bite.DRAW_IN, Bite.NUT):
        bounds.append(job.thickness)
    if job.length is not None and not job.is_fed:
        left = job.length - job.stick_out if job.stick_out is not None else None
        bounds.append(left if left else Length(job.length.nm // 3))
    usual = min(bounds, default=job.thickness)
    return replace(job, gripping=_of_a_stub(job, bearing, usual) or usual)


def _of_a_stub(job: Job, bearing: Bearing, usual: Length) -> Length | None:
    """Up to half of short work, where that is what it takes: so that the rest stands out freely, and that a collet
    closes along its bearing. None where the usual does, or where half is not enough."""
    if job.length is None or job.is_fed or job.stick_out is not None or bearing.length is None:
        return None
    most = min(bearing.length, Length(job.length.nm // 2))
    free = job.length.nm - practice.stick_out("chuck or collet").most * job.thickness.nm
    closes = _closes_a_collet(bearing)
    wanted = next((one for one in (max(free, closes), closes) if usual.nm < one <= most.nm), None)
    if wanted is None:
        return None
    mark = NM_PER_MM if job.length.is_metric else NM_PER_INCH // 16
    return min(Length(ceil(wanted / mark) * mark), most)


def _closes_a_collet(bearing: Bearing) -> Fraction:
    """So much closes it along its bearing; nothing of what is no collet."""
    if bearing.length is None or bearing.by not in (Bite.DRAW_IN, Bite.NUT):
        return Fraction(0)
    return holding.value("collet.min_share") * bearing.length.nm


def assumed_grip(job: Job) -> Reason | None:
    """What was assumed of the grip; None where it was told or nothing is gripped along a length."""
    if job.grip is not None or job.gripping is None:
        return None
    asked = ": tell how much there is to grip, it decides here" if _decides(job) else ""
    return Reason(f"{in_unit(job.gripping)} of grip assumed{asked}", has=job.gripping)


def _decides(job: Job) -> bool:
    is_short = job.length is not None and job.length < job.thickness * 2
    return is_short or (job.diameters_out is not None and job.diameters_out > 2)


# Whether it is enough.


def is_thrown(job: Job) -> bool:
    """Whether nothing holds up its end and the grip is below a fifth of what stands out."""
    out = job.stands_out
    return out is not None and job.gripped.nm < holding.value("grip.share_of_stickout_refuse") * out.nm


def is_short(job: Job) -> bool:
    """Whether the grip is below a third of what stands out, with nothing to hold up its end."""
    out = job.stands_out
    return out is not None and job.gripped.nm < holding.value("grip.share_of_stickout") * out.nm


def checked(job: Job, bearing: Bearing, *, is_propped: bool) -> GripCheck:
    """Whether the grip will do; `is_propped` where something holds up the other end."""
    if bearing.by in (Bite.DRAW_IN, Bite.NUT):
        return _in_collet(job, bearing)
    against: list[Reason] = []
    if not is_propped and is_thrown(job):
        reason = _thrown(job)
        # Below the figure of a table it is not sure: what was entered or told is.
        if job.grip is not None or not bearing.is_typical:
            return GripCheck(Parts(why_not=reason))
        against.append(replace(reason, is_mild=True))
    if is_propped and job.gripped.nm < holding.value("grip.with_center_share_of_diameter") * job.thickness.nm:
        least = Length(int(holding.value("grip.with_center_share_of_diameter") * job.thickness.nm))
        words = f"{in_unit(job.gripped)} of grip hardly drives it: with a center at its end {measured(least)} would"
        against.append(Reason(words, needs=least, has=job.gripped))
    if bearing.by is Bite.BORED and _most(job) < least_bored(job):
        least = least_bored(job)
        words = f"{in_unit(job.gripped)} of grip is short for what is bored: {measured(least)} at least"
        against.append(Reason(words, needs=least, has=job.gripped))
    return GripCheck(against=tuple(against))


def _most(job: Job) -> Length:
    """How much can be gripped: as told, else all of its length."""
    return job.gripped if job.grip is not None or job.length is None else max(job.gripped, job.length)


def least_bored(job: Job) -> Length:
    """How deep soft jaws or a bushing are bored at least."""
    return max(
        holding.length("soft_jaw.min_depth"), Length(int(holding.value("soft_jaw.min_depth_share") * job.thickness.nm))
    )


def _thrown(job: Job) -> Reason:
    out = job.stands_out or Length(0)
    least = Length(int(holding.value("grip.share_of_stickout_refuse") * out.nm))
    return Reason(
        f"{in_unit(job.gripped)} of grip for {in_unit(out)} standing out is less than a fifth: grip more, or bring "
        "up a center",
        needs=least,
        has=job.gripped,
    )


def _in_collet(job: Job, bearing: Bearing) -> GripCheck:
    if bearing.length is None:
        return NOTHING_FOUND
    share = Fraction(job.gripped.nm, bearing.length.nm)
    enough = holding.value("collet.min_share")
    if share >= enough:
        return GripCheck(Parts(reasons=_not_promised(job, bearing, share)))
    short = _short_in_collet(job, bearing, int(enough * bearing.length.nm))
    if job.grip is None and job.stick_out is None:
        return GripCheck(untold=(replace(short, words=f"{short}; tell how much there is to grip"),))
    is_drawn = bearing.by is Bite.DRAW_IN
    if share < holding.value("collet.drawin_refuse_share" if is_drawn else "collet.er_refuse_share"):
        return GripCheck(Parts(why_not=short))
    return GripCheck(_with_plug(job) if is_drawn else NO_PARTS, against=(short,))


def _short_in_collet(job: Job, bearing: Bearing, least: int) -> Reason:
    closes = "its front alone closes" if bearing.by is Bite.DRAW_IN else "its nut end alone closes, and ruins it"
    wants = f"which wants {measured(Length(least))}: {closes}"
    return Reason(
        f"{in_unit(job.gripped)} of grip is short for {bearing.of}, {wants}",
        needs=Length(least),
        has=job.gripped,
    )


def _not_promised(job: Job, bearing: Bearing, share: Fraction) -> tuple[Reason, ...]:
    if bearing.by is not Bite.NUT or share >= 1 or job.grip is None:
        return ()
    words = f"{bearing.of} is true when gripped over its whole bore: {in_unit(job.gripped)} promise nothing"
    return (Reason(words, needs=bearing.length, has=job.gripped),)


def _with_plug(job: Job) -> Parts:
    """A plug of the work's size behind it closes the back of the collet."""
    size = in_unit(job.middle)
    return Parts(
        missing=(Missing(f"a plug of {size}, within {measured(_PLUG_WITHIN)}, to go behind the work"),),
        steps=(SetupStep(f"Put a plug of {size} in the back of the collet, so that it closes evenly. Light cuts."),),
    )


# What it bears, and how it tilts.


def rocks_at(jaw_force: Fraction, *, grip: Fraction, stick_out: Fraction, jaws: int) -> Fraction | None:
    """The force across the end of the work at which it rocks in the jaws, in the unit of the force of one jaw; lengths
    in any one unit. None for so many jaws as no factor is on file for."""
    factor = holding.maybe(f"grip.rocking_factor.{jaws}_jaws")
    if factor is None:
        return None
    return factor.value * jaw_force * grip / (stick_out + grip / 2)


def jaw_forces_needed(cutting: Fraction, *, cut_at: Fraction = Fraction(1), is_serrated: bool = False) -> Fraction:
    """What all jaws together have to press with so that a cut does not turn the work in them; `cut_at` is the diameter
    that is cut over the one that is gripped."""
    friction = holding.value("friction.jaw_serrated" if is_serrated else "friction.jaw_smooth")
    return holding.value("grip.safety") * cutting * cut_at / friction
