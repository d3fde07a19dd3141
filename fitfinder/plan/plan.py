"""The plan: one way for each method, best first; page, JSON and command only tell it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from msgspec.structs import replace

from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.job import Job
from fitfinder.holding.ladder import LadderStep, ladder
from fitfinder.holding.lost import lost_beside
from fitfinder.holding.method import Method
from fitfinder.holding.methods.collets import COLLET
from fitfinder.holding.parts import Reason
from fitfinder.holding.preference import best_first
from fitfinder.holding.rules.cautions import DEFER, Caution
from fitfinder.holding.rules.efforts import quicker_from
from fitfinder.holding.way import HoldingMethod, Way
from fitfinder.holding.ways import WAYS
from fitfinder.plan.one_gripping import OneGripping, in_one_gripping

MOST_CROSSINGS = 3


@dataclass(frozen=True)
class Crossing:
    """From `parts` on `many` takes fewer minutes than `few`."""

    few: Way
    many: Way
    parts: int

    def __str__(self) -> str:
        return f"From {self.parts} parts on {self.many.method} is quicker than {self.few.method}."


@dataclass(frozen=True, kw_only=True)
class Plan:
    """`ways` has each method once, best first."""

    job: Job
    ways: tuple[Way, ...]
    one_gripping: OneGripping | None = None
    """How it is done without gripping it again, where it can be."""
    ladder: tuple[LadderStep, ...] = ()
    """What to do, in order, where no collet that is here holds it and one would."""
    cautions: tuple[Caution, ...] = (DEFER,)

    @property
    def is_possible(self) -> bool:
        """Whether any way can hold it, with what is here or not."""
        return any(way.can for way in self.ways)

    @property
    def usable(self) -> tuple[Way, ...]:
        """The ways whose pieces are all here."""
        return tuple(way for way in self.ways if way.is_here)

    @property
    def lead(self) -> Way | None:
        return next(iter(self.usable), None)

    def by(self, method: Method) -> Way:
        return next(way for way in self.ways if way.method is method)

    @property
    def compared(self) -> tuple[Way, ...]:
        """The usable ways whose minutes are worth comparing: not known to miss the TIR, and nothing against them."""
        return tuple(way for way in self.usable if way.runs_as_asked is not False and not way.but)

    @property
    def crossings(self) -> tuple[Crossing, ...]:
        """Where a way is overtaken by another that is here and no less true, as the lot grows: the best way first."""
        able = self.compared
        crossings = []
        for few in able:
            for many in able:
                if few.effort is None or many.effort is None:
                    continue
                parts = quicker_from(few.effort, many.effort, setups=self.job.setups)
                if parts is not None and parts > 1:
                    crossings.append(Crossing(few, many, parts))
        crossings.sort(key=lambda crossing: (crossing.few is not able[0], crossing.parts))
        return tuple(crossings[:MOST_CROSSINGS])

    @property
    def shared_reason(self) -> Reason | None:
        """What stands in the way of most where none is possible: said once. None where each has its own reason."""
        if self.is_possible:
            return None
        ((reason, count),) = Counter(way.why_not for way in self.ways).most_common(1)
        return reason if count > len(self.ways) // 2 else None


def plan(job: Job, crib: PlanCrib) -> Plan:
    """The best of each method over the lathes in question; without any lathe the seats stay unchecked."""
    ways = [_best_by(method, job, crib) for method in WAYS]
    ordered = tuple(_with_what_is_lost(way, job, crib) for way in best_first(ways))
    return Plan(job=job, ways=ordered, one_gripping=in_one_gripping(job, crib), ladder=_ladder(job, crib, ordered))


def way_by(method: Method, job: Job, crib: PlanCrib) -> Way:
    """What the plan has of this one method, but for what is lost beside it."""
    return _best_by(next(one for one in WAYS if one.name is method), job, crib)


def _best_by(method: HoldingMethod, job: Job, crib: PlanCrib) -> Way:
    return best_first(method.ways(job, crib))[0]


def _with_what_is_lost(way: Way, job: Job, crib: PlanCrib) -> Way:
    lost = lost_beside(way, job, crib)
    return replace(way, lost=lost.sentence) if lost is not None else way


def _ladder(job: Job, crib: PlanCrib, ways: Sequence[Way]) -> tuple[LadderStep, ...]:
    """As Find tells it: for work that a collet can hold and none that is here does."""
    collet = next(way for way in ways if way.by is COLLET)
    if not collet.can or (collet.is_here and collet.collet is not None):
        return ()
    return ladder(
        left_out=COLLET.shortlist(job, crib).left_out,
        wants=crib.wants,
        ways=[way for way in ways if way.is_here and way.by is not COLLET],
        make_dos=COLLET.make_dos(job, crib),
        blanks=crib.blanks(job.stock),
    )
