"""One way to hold a job, as the plan tells it."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from fitfinder.holding.cautions import Caution
from fitfinder.holding.pieces import JawSet, LatheOnHand, Piece
from fitfinder.holding.runout import Runout
from fitfinder.plan import truth
from fitfinder.plan.efforts import Effort
from fitfinder.plan.job import Job
from fitfinder.plan.truth import Regrip
from inventory.measures.lengths import Length

METHODS = (
    "universal chuck", "independent chuck", "collet", "between centers", "faceplate", "soft jaws", "split bushing",
    "mandrel",
)  # fmt: skip
"""Each stands once in every plan."""


class Way(Struct, frozen=True, kw_only=True):
    """A method on one lathe. `why_not` tells why it cannot hold the job at all; `missing` names what is not here.

    `pieces` run from the spindle to the work, then what supports it; `runout` is that of one gripping.
    """

    method: str
    job: Job
    lathe: LatheOnHand | None
    why_not: str = ""
    variant: str = ""
    pieces: tuple[Piece, ...] = ()
    off: tuple[Piece, ...] = ()
    """What is on the lathe now and comes off first."""
    jaws: JawSet | None = None
    """What has to go into the chuck first; None where the jaws that are in it do."""
    missing: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    runout: Runout | None = None
    regrip: Regrip = Regrip.ADDS
    effort: Effort | None = None
    but: tuple[str, ...] = ()
    """What speaks against it where another would do: it ranks behind all that have nothing against them."""
    reasons: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    steps: tuple[str, ...] = ()
    """What is done to set it up, in order, after the pieces are fitted."""

    @property
    def can(self) -> bool:
        return not self.why_not

    @property
    def is_here(self) -> bool:
        return self.can and not self.missing

    @property
    def name(self) -> str:
        """`Universal chuck, 3 jaws`."""
        return f"{self.method.capitalize()}{f', {self.variant}' if self.variant else ''}"

    @property
    def keys(self) -> tuple[Piece, ...]:
        return tuple(piece for piece in self.pieces if piece.kind == "key")

    @property
    def in_line(self) -> tuple[Piece, ...]:
        """The pieces without the keys that tighten them."""
        return tuple(piece for piece in self.pieces if piece.kind != "key")

    @property
    def tags(self) -> tuple[str, ...]:
        return tuple(piece.tag for piece in self.pieces)

    @property
    def tir(self) -> Length | None:
        """What one gripping runs out with one set-up; with several, what the work runs out between them."""
        if not self.can or self.runout is None:
            return None
        if self.job.setups == 1:
            return self.runout.total
        return truth.between_setups(self.job, self.regrip, self.runout)

    @property
    def tir_basis(self) -> str:
        return self.runout.basis if self.can and self.runout is not None else "unknown"

    @property
    def true_enough(self) -> bool | None:
        if self.job.setups == 1:
            return True  # nothing is gripped twice
        if not self.can or self.runout is None:
            return None
        return truth.is_true_enough(self.job, self.regrip, self.runout)

    @property
    def minutes(self) -> Fraction | None:
        """For the whole lot; None where the way cannot be used."""
        if not self.can or self.effort is None:
            return None
        return self.effort.total(parts=self.job.parts, setups=self.job.setups)

    @property
    def lowest_marked_speed(self) -> tuple[int, Piece] | None:
        """The lowest marked maximum in the chain and what it stands on; unmarked pieces are in `unmarked`."""
        marked = [(piece.max_rpm, piece) for piece in self.pieces if piece.max_rpm is not None]
        return min(marked, key=lambda pair: pair[0], default=None)


_TRUTH_ORDER = {True: 0, None: 1, False: 2}


def best_first(ways: list[Way]) -> list[Way]:
    """Those that can before those that cannot; here before not here; true enough; with nothing against it; then the
    fewest minutes."""
    return sorted(ways, key=_rank)


def _rank(way: Way) -> tuple:
    return (
        not way.can,
        not way.is_here,
        _TRUTH_ORDER[way.true_enough],
        len(way.missing),
        bool(way.but),
        bool(way.doubts),
        way.minutes if way.minutes is not None else Fraction(10**9),
        METHODS.index(way.method),
    )
