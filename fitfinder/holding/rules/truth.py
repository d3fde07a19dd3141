"""How far work may run out between set-ups, by what happens to it in between.

One gripping puts the axis of the surface that is gripped up to half of its TIR off the spindle's, in any direction.
What is turned then runs true to the spindle. So two grippings of one surface lie up to the whole TIR apart, which the
indicator reads as twice the TIR, and a second gripping of what the first turned reads it once. That holds for all that
is gripped, dialled in or bored in place alike: bored jaws are true when they are bored, not when they close again.
Between its centers work returns to its axis; turned end for end, what the center in the headstock runs out comes in
at either end. Geometry; `tests/outside/test_regripping_by_vectors.py` tries all directions.
"""

from __future__ import annotations

from enum import IntEnum, StrEnum

from msgspec import Struct

from fitfinder.holding import runout
from fitfinder.holding.job import Job
from fitfinder.holding.runout import Runout
from inventory.measures.length_words import runout_text
from inventory.measures.lengths import Length
from inventory.reference import holding, practice


def trued(words: str, method: str) -> Runout:
    """What is dialled in or cut in place runs out what is typical of the method, whatever lies before it. Raises
    KeyError where no figure of it is on file."""
    return runout.restarted(words, practice.run_out(method).typical)


class Regrip(StrEnum):
    """What a way does to the axis when the work is gripped again."""

    ADDS = "adds its run-out at each gripping"
    RESTARTS = "is dialled in anew at each gripping"
    RETURNS = "returns to its axis"
    STAYS = "stays on its arbor"


class Counted(IntEnum):
    """How often what one gripping runs out comes in between two set-ups."""

    NEVER = 0
    ONCE = 1
    TWICE = 2


_TIMES = {Counted.ONCE: "regrip.on_turned", Counted.TWICE: "regrip.same_surface"}


class BetweenSetups(Struct, frozen=True, kw_only=True, gc=False):
    """What two set-ups may run out to each other at most, and why, as a reason among others.

    `tir` is None where a share of it is not known; `at_least` is what is known of it then.
    """

    regrip: Regrip
    counted: Counted
    is_on_turned: bool
    tir: Length | None
    at_least: Length

    def meets(self, asked: Length | None) -> bool | None:
        """Whether it stays within what was asked; None where nothing was, or where that is open."""
        if asked is None:
            return None
        if self.tir is not None:
            return self.tir <= asked
        return False if self.at_least > asked else None

    @property
    def why(self) -> str:
        if self.regrip is Regrip.RETURNS and self.tir is not None and self.tir.nm == 0:
            return "turned end for end on a center that was cut in place, it keeps its axis"
        return _WHY[self.regrip, self.counted, self.is_on_turned]

    def __str__(self) -> str:
        if self.tir is None:
            return f"{self.why}: not known"
        swing = runout_text(self.tir)
        return f"{self.why}: {swing if swing.startswith('under') else f'up to {swing}'} TIR"


_ADDS_ONCE = "gripped on what the first set-up turned, its run-out comes in once"
_DIALLED_ONCE = "dialled in on what the first set-up turned, what is left comes in once"
_WHY = {
    (Regrip.ADDS, Counted.TWICE, False): "gripped again on the same surface, its run-out comes in twice",
    (Regrip.ADDS, Counted.TWICE, True): "of what is gripped on the turned, two later set-ups differ by it twice",
    (Regrip.ADDS, Counted.ONCE, True): _ADDS_ONCE,
    (Regrip.RESTARTS, Counted.TWICE, False): (
        "dialled in on the same surface, what is left comes in twice; dial on what was turned, and it is once"
    ),
    (Regrip.RESTARTS, Counted.TWICE, True): "of what is dialled in on the turned, two later set-ups differ by it twice",
    (Regrip.RESTARTS, Counted.ONCE, True): _DIALLED_ONCE,
    **{
        (Regrip.RETURNS, Counted.TWICE, turned): "turned end for end, its center in the headstock comes in twice"
        for turned in (False, True)
    },
    **{
        (Regrip.RETURNS, Counted.NEVER, turned): "put back between its centers, it returns to its axis"
        for turned in (False, True)
    },
    **{
        (Regrip.STAYS, Counted.ONCE, turned): "it stays on its arbor: to the bore, what that runs out comes in once"
        for turned in (False, True)
    },
}


def between_setups(job: Job, regrip: Regrip, run: Runout, *, head: Length | None = None) -> BetweenSetups | None:
    """The worst case of the two set-ups that differ most; None with one set-up, where nothing is gripped twice.

    `run` is that of one gripping, `head` what the center in the headstock runs out; None is not known.
    """
    if job.setups == 1:
        return None
    counted = _counted(job, regrip)
    if regrip is Regrip.RETURNS:
        tir = holding.length("regrip.centers_repeat") if counted is Counted.NEVER else _times(head, counted)
        at_least = tir or Length(0)
    else:
        tir, at_least = _times(run.total, counted), _times(run.known, counted) or Length(0)
    return BetweenSetups(regrip=regrip, counted=counted, is_on_turned=job.is_on_turned, tir=tir, at_least=at_least)


def _counted(job: Job, regrip: Regrip) -> Counted:
    if regrip is Regrip.RETURNS:
        return Counted.TWICE if job.is_from_both_ends else Counted.NEVER
    if regrip is Regrip.STAYS or (job.is_on_turned and job.setups == 2):
        return Counted.ONCE
    # Of three and more on what the first turned, the second and the third differ by their own run-out each.
    return Counted.TWICE


def _times(tir: Length | None, counted: Counted) -> Length | None:
    return None if tir is None else Length(int(tir.nm * holding.value(_TIMES[counted])))
