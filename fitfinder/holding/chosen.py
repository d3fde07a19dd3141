"""Ways of which each piece that may hold the work is one of its own: a chuck or a plate, where it serves best."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import ClassVar, NamedTuple

from fitfinder.holding.at_lathe import CribAtLathe, PlanCrib
from fitfinder.holding.chains import Chain
from fitfinder.holding.job import Job
from fitfinder.holding.pieces import Piece
from fitfinder.holding.preference import Truth, truth_of_run
from fitfinder.holding.runout import Runout
from fitfinder.holding.way import HoldingMethod, Way
from inventory.reference.kinds import Kind
from inventory.reference.lifting import Lift


class SeatedPiece(NamedTuple):
    """A piece on one of the lathes that it goes on."""

    here: CribAtLathe
    piece: Piece
    chain: Chain

    @property
    def pieces(self) -> tuple[Piece, ...]:
        return (*self.chain.links, self.piece)


class ChosenPiece(HoldingMethod):
    chosen_from: ClassVar[tuple[Kind, ...]]

    @abstractmethod
    def runout_of(self, piece: Piece, chain: Chain) -> Runout:
        """What one gripping in this piece runs out."""

    @abstractmethod
    def hold_in(self, start: Way, here: CribAtLathe, pieces: Sequence[Piece]) -> Way:
        """The way by the best of these pieces, or what is missing."""

    def hold(self, start: Way, here: CribAtLathe) -> Way:
        return self.hold_in(start, here, here.of_kind(*self.chosen_from))

    def way_by(self, piece: Piece, job: Job, here: CribAtLathe) -> Way:
        """How just this piece holds the job at one lathe, or why it cannot."""
        start = Way(by=self, job=job, lathe=here.lathe)
        why_not = self.why_not(job, here)
        return start.refused(why_not) if why_not else self.hold_in(start, here, [piece])

    def ways(self, job: Job, crib: PlanCrib) -> list[Way]:
        """One for each piece that is all here, by each way to it; where none is, what is missing at each lathe."""
        able = [here for here in crib.by_lathe if self.why_not(job, here) is None]
        seated = [
            SeatedPiece(here, piece, chain)
            for here in able
            for piece, chain in here.chains_to(here.of_kind(*self.chosen_from)).items()
        ]
        if job.is_stock_alone:
            seated = self._where_best(job, seated)
        ways = [self.way_by(one.piece, job, one.here) for one in seated]
        return [way for way in ways if way.is_here] or super().ways(job, crib)

    def _where_best(self, job: Job, seated: Iterable[SeatedPiece]) -> list[SeatedPiece]:
        """Each piece by each way to it only on the lathe that it serves best.

        In a shop of twenty lathes a chuck goes on most of them. Of work of which only the stock is known just these
        tell one lathe from another, in the order of the preference; what is alike keeps its place.
        """
        alike: dict[tuple[int, ...], list[SeatedPiece]] = {}
        for one in seated:
            alike.setdefault(tuple([piece.id for piece in one.pieces]), []).append(one)
        taken_off = _TakenOff()
        best = [group[0] if len(group) == 1 else self._best(job, group, taken_off) for group in alike.values()]
        best_ids = set(map(id, best))
        return [one for one in seated if id(one) in best_ids]

    def _best(self, job: Job, group: list[SeatedPiece], taken_off: _TakenOff) -> SeatedPiece:
        here, pieces = group[0].here, group[0].pieces
        put_on = here.lift_of((*pieces, *here.keys_for(pieces)[0]), ())
        return min(group, key=lambda one: self._place(job, one, max(put_on, taken_off.lift(one))))

    def _place(self, job: Job, one: SeatedPiece, lift: Lift) -> tuple[bool, Truth, Lift, Fraction, bool, int]:
        run = self.runout_of(one.piece, one.chain)
        effort = one.here.fitting(one.piece, one.chain) + one.here.hoisting(lift)
        return (
            not one.chain.is_checked,
            truth_of_run(job.runs_within, run.meets(job.runs_within), run.basis),
            lift,
            effort.fit,
            run.total is None,
            run.known.nm,
        )


class _TakenOff:
    """What the heaviest takes of what comes off a lathe, which is the same for all loose pieces of a seat."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, tuple[str, ...]], Lift] = {}

    def lift(self, one: SeatedPiece) -> Lift:
        seats = tuple([piece.mounts_in.code for piece in one.pieces if piece.mounts_in is not None])
        key = id(one.here), seats
        if key not in self._known:
            self._known[key] = one.here.lift_of((), one.here.coming_off(one.pieces))
        return self._known[key]
