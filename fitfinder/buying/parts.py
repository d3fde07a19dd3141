"""The solver's work in parts, so that a long sum can be left between two of them and gone on with later.

A sum that is gone on with begins at its beginning, and gets from here what was solved before. So it comes to the same
parts in the same order, as long as it is asked the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from time import monotonic

from fitfinder.buying.solving import Solved, load


class Paused(Exception):
    """Raised in place of a part that this turn has no time for."""


class Parts:
    """What was solved so far, in order. One object serves one turn; `pause_at` is its end, None where it has none.

    A turn ends behind the first part that goes beyond it, so that each gets on. The `is_short` one is a try: a part
    that its end cuts off is not kept, and neither is one begun behind it.
    """

    def __init__(self, done: Iterable[Solved] = (), *, pause_at: float | None = None, is_short: bool = False) -> None:
        self.done = list(done)
        self.names: list[str] = []
        self._pause_at, self._is_short, self._before = pause_at, is_short, len(self.done)

    @property
    def is_over(self) -> bool:
        """Whether the time of this turn is used up."""
        return self._pause_at is not None and monotonic() >= self._pause_at

    def solved(self, name: str, part: Callable[[float], Solved], *, until: float) -> Solved:
        """The next part, as it was solved before, or by `part` until then. Raises Paused."""
        place = len(self.names)
        self.names.append(name)
        if place < len(self.done):
            return self.done[place]
        self._pause_if_due()
        if self._is_short and self._pause_at is not None:
            # Loading the solver is paid once after each start, and says nothing of the sum.
            began = monotonic()
            load()
            self._pause_at += monotonic() - began
        is_cut = self._is_short and self._pause_at is not None and self._pause_at < until
        found = part(self._pause_at if is_cut else until)
        if is_cut and not found.is_done:
            raise Paused
        self.done.append(found)
        return found

    def _pause_if_due(self) -> None:
        has_got_on = self._is_short or len(self.done) > self._before
        if has_got_on and self.is_over:
            raise Paused
