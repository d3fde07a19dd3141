"""Whether the work can be finished in one gripping, from bar that is long enough and parted off last.

Then nothing is gripped again, whatever its set-ups would run out to each other: a practitioner looks for that first.
"""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace

from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.job import Job, WorkShape
from fitfinder.holding.preference import best_first
from fitfinder.holding.way import Way
from fitfinder.holding.ways import WAYS
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import Length
from inventory.reference import holding, practice

BAR = frozenset({WorkShape.ROUND, WorkShape.HEX, WorkShape.SQUARE, WorkShape.TUBE})


@dataclass(frozen=True)
class OneGripping:
    """The way in which it is done, how far the bar stands out of it, and how long it has to be at least."""

    way: Way
    stands_out: Length
    bar: Length

    def __str__(self) -> str:
        where = f" on {self.way.lathe.name}" if self.way.lathe else ""
        return (
            f"In one gripping nothing runs out to each other: from bar of {in_unit(self.bar)} or more, "
            f"{in_unit(self.stands_out)} standing out, parted off last. {self.way.name}{where}."
        )


def in_one_gripping(job: Job, crib: PlanCrib) -> OneGripping | None:
    """The best way that is all here; None where there is none, and where one gripping is all that was asked.

    Work with a throw has an axis of its own for it; a casting is no bar, and a finished bore means that it is cut off
    already.
    """
    out = _standing_out(job)
    if out is None or job.setups == 1:
        return None
    once = replace(job, length=None, stick_out=out, grip=None, setups=1, tir=None, runs_within=None)
    able = [way for method in WAYS if method.grips_a_length for way in method.ways(once, crib) if way.is_here]
    best = next(iter(best_first(way for way in able if not _is_doubtful(way))), None)
    if best is None or best.grip is None:
        return None
    return OneGripping(best, out, out + best.grip)


def _standing_out(job: Job) -> Length | None:
    """The work and the room to part it off; None where that would want a center, against which nothing is parted."""
    if job.length is None or job.shape not in BAR or job.throw is not None or job.is_irregular or job.is_from_both_ends:
        return None
    if job.bore is not None and job.shape is not WorkShape.TUBE:
        return None
    out = job.length + holding.length("parting.room")
    return out if out.nm <= practice.stick_out("chuck or collet").most * job.thickness.nm else None


def _is_doubtful(way: Way) -> bool:
    """Whether something speaks against it, is not known of it, or forbids it."""
    return bool(way.but) or bool(way.doubts) or way.is_forbidden
