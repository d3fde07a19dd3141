"""How far work may run out between set-ups, by what happens to it in between.

With one set-up nothing is gripped twice. Gripped twice on the same surface, what a self-centering way runs out comes
in each time; gripped the second time on what the first turned, only the second counts. What is dialled in or bored
in place starts anew; between centers the work returns to its axis. Common practice, and geometry.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fitfinder.holding import runout
from fitfinder.holding.job import Job
from fitfinder.holding.runout import Runout
from inventory.measures.lengths import Length
from inventory.reference import practice


def trued(words: str, method: str) -> Runout:
    """What is dialled in or cut in place runs out what is typical of the method, whatever lies before it. Raises
    KeyError where no figure of it is on file."""
    return runout.restarted(words, practice.run_out(method).typical)


class Regrip(StrEnum):
    """What a way does to the axis when the work is gripped again."""

    ADDS = "adds its run-out at each gripping"
    RESTARTS = "is trued anew at each gripping"
    RETURNS = "returns to its axis"


@dataclass(frozen=True)
class BetweenSetups:
    """What two set-ups may run out to each other, as a reason among others; `tir` is None where it is not known."""

    regrip: Regrip
    tir: Length | None

    def __str__(self) -> str:
        if self.tir is None:
            return f"between set-ups it {self.regrip}: how much is not known"
        return f"between set-ups it {self.regrip}: up to {self.tir.inch_text} in TIR"


def told_between(job: Job, regrip: Regrip, run: Runout) -> tuple[BetweenSetups, ...]:
    """The reason for the table; none with one set-up."""
    return () if job.setups == 1 else (BetweenSetups(regrip, between_setups(job, regrip, run)),)


def between_setups(job: Job, regrip: Regrip, run: Runout) -> Length | None:
    """The most that two set-ups may run out to each other; zero with one set-up, None where it is not known.

    Worst case of the two set-ups that differ most.
    """
    if job.setups == 1:
        return Length(0)
    if run.total is None:
        return None
    if regrip is Regrip.ADDS and not (job.is_on_turned and job.setups == 2):
        return run.total * 2
    return run.total


def is_true_enough(job: Job, regrip: Regrip, run: Runout) -> bool | None:
    """With one set-up always; with several and nothing asked, or nothing known, None."""
    if job.setups == 1:
        return True
    if job.tir is None:
        return None
    between = between_setups(job, regrip, run)
    if between is not None:
        return between <= job.tir
    # What is known of the links alone may miss it already.
    return False if run.known > job.tir else None
