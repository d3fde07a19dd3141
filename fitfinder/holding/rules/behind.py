"""Bar that shows behind the spindle: how much, and at what speed it whips."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from fitfinder.holding.job import Job
from fitfinder.holding.mechanics.bending import in_inches, made_of
from fitfinder.holding.mechanics.whirl import Carried, longest_at, safe_rpm, sound_speed
from fitfinder.holding.parts import Reason
from fitfinder.holding.pieces import LatheOnHand
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference import holding


class Behind(Struct, frozen=True, kw_only=True, gc=False):
    """`shows` is what reaches out of the spindle, `from_jaws` what is carried by the jaws alone where no bushing fits
    the bar at the rear end. The speeds are None where the stiffness of the material is not on file."""

    shows: Length
    from_jaws: Length
    rpm: int | None
    rpm_in_bushing: int | None
    is_far: bool
    """Whether more shows than is only said."""
    is_taken: bool = False
    """Whether nobody wrote down how long the spindle is."""


def spindle_length(lathe: LatheOnHand | None) -> tuple[Length | None, bool]:
    """How long its spindle is, and whether that is taken: about as long as the lathe swings (common practice, no
    source)."""
    if lathe is None:
        return None, False
    return (lathe.swing_over_bed, True) if lathe.spindle_length is None else (lathe.spindle_length, False)


def behind(job: Job, lathe: LatheOnHand | None) -> Behind | None:
    """None where nothing shows or that is not known. Fed bar is taken at its longest, before the first part is off."""
    (through, is_taken), out = spindle_length(lathe), job.stands_out
    if job.is_fed and out is None:
        out = Length(0)
    if job.length is None or out is None or through is None or job.length - out <= through:
        return None
    from_jaws = job.length - out
    shows = from_jaws - through
    return Behind(
        shows=shows,
        from_jaws=from_jaws,
        rpm=_safe(job, from_jaws),
        rpm_in_bushing=_safe(job, shows),
        is_far=shows.nm > holding.value("behind.say_up_to") * job.thickness.nm,
        is_taken=is_taken,
    )


def why_not(job: Job, lathe: LatheOnHand | None) -> Reason | None:
    """Why bar that shows is thrown even at the slowest speed, with a bushing at the rear end."""
    bar = behind(job, lathe)
    if bar is None or lathe is None or lathe.slowest_rpm is None or bar.rpm_in_bushing is None:
        return None
    if not bar.is_far or bar.is_taken or lathe.slowest_rpm <= bar.rpm_in_bushing:
        return None
    return Reason(
        f"{in_unit(bar.shows)} would show behind the spindle of {lathe.name} and whip above {bar.rpm_in_bushing} "
        f"rpm: its slowest speed is {lathe.slowest_rpm} rpm"
    )


def may_show(job: Job, rpm: int) -> Length | None:
    """How much may show at this speed, from a bushing that fits; None where that is not on file."""
    sound = sound_speed(made_of(job))
    if sound is None:
        return None
    longest = longest_at(
        Carried.OVERHUNG, Fraction(rpm), outside=in_inches(job.thickness), sound=sound, bore=_bore(job)
    )
    return Length(int(longest * NM_PER_INCH))


def _safe(job: Job, length: Length) -> int | None:
    sound = sound_speed(made_of(job))
    if sound is None:
        return None
    fields = {"outside": in_inches(job.thickness), "length": in_inches(length), "sound": sound, "bore": _bore(job)}
    return safe_rpm(Carried.OVERHUNG, **fields)


def _bore(job: Job) -> Fraction:
    return in_inches(job.bore or Length(0))
