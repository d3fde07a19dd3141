"""The plan: one entry for each method, best first; page, JSON and command only render it."""

from __future__ import annotations

from msgspec import Struct

from fitfinder.holding.cautions import DEFER, Caution
from fitfinder.holding.pieces import LatheOnHand
from fitfinder.plan.centers import between_centers, mandrel
from fitfinder.plan.chucks import independent, soft_jaws, split_bushing, universal
from fitfinder.plan.collets import collet
from fitfinder.plan.efforts import quicker_from
from fitfinder.plan.faceplate import faceplate
from fitfinder.plan.floor import Floor
from fitfinder.plan.job import Job
from fitfinder.plan.ways import Way, best_first

_METHODS = (universal, independent, collet, between_centers, faceplate, soft_jaws, split_bushing, mandrel)


class Crossing(Struct, frozen=True):
    """From `parts` on `many` takes fewer minutes than `few`."""

    few: Way
    many: Way
    parts: int

    @property
    def sentence(self) -> str:
        return f"From {self.parts} parts on {self.many.method} is quicker than {self.few.method}."


class Plan(Struct, frozen=True, kw_only=True):
    """`ways` has each method once, best first."""

    job: Job
    ways: tuple[Way, ...]
    crossings: tuple[Crossing, ...]
    cautions: tuple[Caution, ...] = (DEFER,)

    @property
    def is_possible(self) -> bool:
        """Whether any way can hold it, with what is here or not."""
        return any(way.can for way in self.ways)

    @property
    def usable(self) -> tuple[Way, ...]:
        """The ways whose pieces are all here."""
        return tuple(way for way in self.ways if way.is_here)


def plan(job: Job, floor: Floor) -> Plan:
    """The best of each method over the lathes in question; without any lathe the seats stay unchecked."""
    lathes: tuple[LatheOnHand | None, ...] = floor.crib.lathes or (None,)
    ways = [best_first([method(job, floor, lathe) for lathe in lathes])[0] for method in _METHODS]
    ranked = tuple(best_first(ways))
    return Plan(job=job, ways=ranked, crossings=tuple(_crossings(ranked)))


def _crossings(ways: tuple[Way, ...]) -> list[Crossing]:
    """Where the best way is overtaken by another that is here and no less true, as the lot grows; what has something
    against it overtakes nothing."""
    able = [way for way in ways if way.is_here and way.true_enough is not False and not way.but]
    found = []
    for few in able:
        for many in able:
            parts = quicker_from(few.effort, many.effort, setups=few.job.setups)
            if parts is not None and parts > 1:
                found.append(Crossing(few, many, parts))
    return sorted(found, key=lambda crossing: (crossing.few is not able[0], crossing.parts))[:3]
