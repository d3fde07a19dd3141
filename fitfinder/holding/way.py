"""One way to hold a job on one lathe: its pieces, its reasons, its steps, and what tells one way from another."""

from __future__ import annotations

from abc import ABC, abstractmethod
from enum import Enum, IntEnum, auto
from fractions import Fraction
from functools import cached_property
from typing import ClassVar

from msgspec import Struct

from fitfinder.holding.at_lathe import CribAtLathe, PlanCrib
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.job import Job
from fitfinder.holding.mechanics import turning_speed, weights
from fitfinder.holding.mechanics.weights import Weight
from fitfinder.holding.method import Method
from fitfinder.holding.parts import Act, Reason, SetupStep
from fitfinder.holding.pieces import REST_KINDS, JawsOnHand, LatheOnHand, Piece
from fitfinder.holding.rules import hazards, lifting, truth
from fitfinder.holding.rules.cautions import Caution
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.rules.speed_limits import SpeedLimit
from fitfinder.holding.rules.truth import BetweenSetups, Regrip
from fitfinder.holding.runout import Runout
from fitfinder.holding.stock import Band
from fitfinder.holding.verdicts import Reach
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind
from inventory.reference.lifting import Lift


class Hold(Struct, frozen=True, kw_only=True, gc=False):
    """What holds the work: the piece, the way to it from the spindle, and within what reach."""

    piece: Piece
    chain: Chain
    reach: Reach | None = None
    band: Band | None = None
    """What the jaws close on: the work, its bore, or the ring around it."""
    is_inside: bool = False
    jaws: JawsOnHand | None = None
    """The jaws that hold it, where they are a set; those that are in the chuck anyway are none."""


UNTOLD = Runout.of()
BESIDE_KINDS = REST_KINDS | {Kind.KEY, Kind.COLLET_NUT, Kind.STOP, Kind.DRILL_CHUCK}


class ThrowBy(Enum):
    """How work is set over for a throw."""

    DIALLING = auto()
    PACKING = auto()
    SECOND_CENTERS = auto()


class UsedUp(IntEnum):
    """What a way leaves less of than there was."""

    NOTHING = 0
    JAWS = 1
    """Soft jaws, which are bored again and again."""
    BLANK = 2
    """A blank, which can only be opened further, or a ring of stock."""


class HoldingMethod(ABC):
    """A way to hold as such, whatever the job: a row of the table in `ways.py`."""

    name: ClassVar[Method]
    is_dialled_in: ClassVar[bool] = False
    is_between_centers: ClassVar[bool] = False
    """Whether its two centers set the axis: tapers by set-over, starts by what drives the dog."""
    carries_both_ends: ClassVar[bool] = False
    """Then nothing stands out that could bend or be thrown."""
    grips_a_length: ClassVar[bool] = True
    """Whether too short a grip could let go."""
    is_bored: ClassVar[bool] = False
    """Whether what grips the work is bored to it first."""
    uses_up: ClassVar[UsedUp] = UsedUp.NOTHING
    is_last_resort: ClassVar[bool] = False
    """Whether something speaks against it whatever is held, so that it comes behind all that nothing speaks against."""
    throw_by: ClassVar[ThrowBy] = ThrowBy.DIALLING
    indicated: ClassVar[str] = "on the work close to what grips it"
    """Where the indicator is put."""

    def ways(self, job: Job, crib: PlanCrib) -> list[Way]:
        """All ways by this method over the lathes in question, or what is missing at each. Never empty."""
        return [self.way(job, here) for here in crib.by_lathe]

    def way(self, job: Job, here: CribAtLathe) -> Way:
        """How this holds the job at one lathe, or why it cannot."""
        start = Way(by=self, job=job, lathe=here.lathe)
        why_not = self.why_not(job, here)
        return start.refused(why_not) if why_not else self.hold(start, here)

    @abstractmethod
    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        """What keeps this from holding the job, whatever pieces are here."""

    def against(self, job: Job) -> Reason | None:
        """What speaks against it for this job, whatever pieces are here."""
        return None

    @abstractmethod
    def hold(self, start: Way, here: CribAtLathe) -> Way:
        """The way with what is here, or with what is missing."""


class Way(Struct, frozen=True, kw_only=True, dict=True):
    """A method on one lathe. `why_not` tells why it cannot hold the job at all; `missing` what is not here.

    `pieces` run from the spindle to the work, then what supports it; `runout` is that of one gripping.
    """

    by: HoldingMethod
    job: Job
    lathe: LatheOnHand | None
    why_not: Reason | None = None
    variant: str = ""
    collet: ColletGrip | None = None
    """How the collet fits that holds it."""
    hold: Hold | None = None
    """None where centers hold the work, and where nothing does."""
    pieces: tuple[Piece, ...] = ()
    off: tuple[Piece, ...] = ()
    """What is on the lathe now and comes off first."""
    missing: tuple[Missing, ...] = ()
    doubts: tuple[Reason, ...] = ()
    runout: Runout | None = None
    regrip: Regrip = Regrip.ADDS
    head: Length | None = None
    """What the center in the headstock runs out; zero of one that was cut in place."""
    effort: Effort | None = None
    but: tuple[Reason, ...] = ()
    """What speaks against it where another would do: it ranks behind all that have nothing against them."""
    reasons: tuple[Reason, ...] = ()
    lost: str = ""
    """What would have held it in its place and is lost, told as a sentence without its end."""
    steps: tuple[SetupStep, ...] = ()
    """What is done to set it up, in order, after the pieces are fitted."""

    def refused(self, why_not: Reason) -> Way:
        """The same method, which cannot hold the job."""
        return Way(by=self.by, job=self.job, lathe=self.lathe, why_not=why_not, reasons=(why_not,))

    @property
    def method(self) -> Method:
        return self.by.name

    @property
    def can(self) -> bool:
        return self.why_not is None

    @property
    def is_here(self) -> bool:
        return self.can and not self.missing

    @property
    def name(self) -> str:
        """`Universal chuck, 3 jaws`."""
        return f"{self.method.capitalize()}{f', {self.variant}' if self.variant else ''}"

    @property
    def is_opposed(self) -> bool:
        """Whether anything speaks against it for which another way altogether would do."""
        return any(not reason.is_mild for reason in self.but)

    @property
    def jaws_to_put_in(self) -> JawsOnHand | None:
        """What has to go into the chuck first; None where the jaws that are in it do."""
        jaws = self.hold.jaws if self.hold is not None else None
        return None if jaws is None or jaws.is_in else jaws

    @property
    def keys(self) -> tuple[Piece, ...]:
        return tuple(piece for piece in self.pieces if piece.kind == Kind.KEY)

    @property
    def in_line(self) -> tuple[Piece, ...]:
        """The pieces without the keys that tighten them."""
        return tuple(piece for piece in self.pieces if piece.kind != Kind.KEY)

    @property
    def beside(self) -> tuple[Piece, ...]:
        """Those of its pieces that neither hold nor carry the work: rests, a center that steadies its end, keys, and
        what its center is drilled with."""
        if self.hold is not None:
            in_chain = (*self.hold.chain.links, self.hold.piece)
            return tuple(piece for piece in self.pieces if piece not in in_chain)
        return tuple(piece for piece in self.pieces if piece.kind in BESIDE_KINDS)

    @property
    def holding(self) -> tuple[Piece, ...]:
        """Those that hold or carry the work, from the spindle outward."""
        beside = self.beside
        return tuple(piece for piece in self.pieces if piece not in beside)

    @property
    def tags(self) -> tuple[str, ...]:
        return tuple(piece.tag for piece in self.pieces)

    def has(self, *kinds: Kind) -> bool:
        """Whether a piece of one of these kinds is part of it."""
        return any(piece.kind in kinds for piece in self.pieces)

    def has_on(self, piece: Piece) -> bool:
        """Whether the piece is on the lathe of this way now."""
        return self.lathe is not None and piece.mounted_on == self.lathe.id

    def used_to(self, act: Act) -> tuple[Piece, ...]:
        """The pieces with which its steps do this."""
        return tuple(piece for step in self.steps if step.act is act for piece in step.uses)

    def does(self, act: Act) -> bool:
        return any(step.act is act for step in self.steps)

    @property
    def tir(self) -> Length | None:
        """What one gripping runs out with one set-up; with several, what the work runs out between them."""
        if not self.can or self.runout is None:
            return None
        return self.of_one_gripping.total if self.between is None else self.between.tir

    @property
    def tir_of(self) -> str:
        """Between what `tir` is told: Find tells that of one gripping, and with one set-up the plan does."""
        return "of one gripping" if self.job.setups == 1 else "between set-ups"

    @property
    def is_promised(self) -> bool:
        """Whether what one gripping runs out counts for this size; of a collet outside its true zone it does not."""
        return self.job.setups > 1 or self.collet is None or self.collet.in_true_zone

    @property
    def between(self) -> BetweenSetups | None:
        """What its set-ups may run out to each other, and why; None with one of them."""
        if not self.can or self.runout is None:
            return None
        return truth.between_setups(self.job, self.regrip, self.runout, head=self.head)

    @property
    def tir_basis(self) -> str:
        if not self.can or self.runout is None:
            return "unknown"
        return self.of_one_gripping.basis if self.job.setups == 1 else self.runout.basis

    @property
    def of_one_gripping(self) -> Runout:
        """What is known of one gripping; of a collet what it runs out where it is true, promised here or not."""
        return self.collet.runout if self.collet is not None else self.runout or UNTOLD

    @property
    def meets(self) -> bool | None:
        """Whether one gripping runs within what was asked of it; None where nothing was, or that is open."""
        if self.collet is not None:
            return self.collet.meets_tir
        return self.of_one_gripping.meets(self.job.runs_within)

    @property
    def runs_as_asked(self) -> bool | None:
        """Whether it runs within the TIR that was asked: with one set-up that of its gripping, else between them."""
        if self.job.setups == 1:
            return True if self.job.runs_within is None else self.meets
        return self.true_enough

    @property
    def true_enough(self) -> bool | None:
        """Between set-ups: with one of them nothing is gripped twice."""
        if self.job.setups == 1:
            return True
        return None if self.between is None else self.between.meets(self.job.tir)

    @property
    def minutes(self) -> Fraction | None:
        """For the whole lot; None where the way cannot be used."""
        if not self.can or self.effort is None:
            return None
        return self.effort.total(parts=self.job.parts, setups=self.job.setups)

    @property
    def grip(self) -> Length | None:
        """How much of the work is held; None where nothing grips it along a length, or what does is not known."""
        return self.job.gripping if self.can else None

    @property
    def stick_out(self) -> Length | None:
        """How far it stands out of its grip; None as for the grip, or where the length is not told."""
        return self.job.stands_out if self.grip is not None else None

    @property
    def weight(self) -> Weight | None:
        """What the work weighs; None where its length is not told."""
        return weights.of_work(self.job, self.lathe)

    @property
    def is_wanted(self) -> bool:
        """Whether somebody else's job wants one of its pieces soon."""
        return any(piece.is_wanted for piece in self.pieces)

    @property
    def lifted(self) -> list[lifting.Lifted]:
        """What is lifted for it now, the heaviest first; what is on the lathe already is not."""
        return lifting.lifted(self._put_on, self.off, self.weight)

    @property
    def lift(self) -> Lift:
        """What the heaviest of it takes."""
        return lifting.hardest([*self._put_on, *self.off], self.weight)

    @property
    def _put_on(self) -> list[Piece]:
        """Its pieces that are not on the lathe already."""
        return [piece for piece in self.pieces if not self.has_on(piece)]

    # Asked only of the ways that are told, of which there are a few among dozens.
    @cached_property
    def speeds(self) -> tuple[SpeedLimit, ...]:
        """What it must not go above, the lowest first; without pieces there is nothing that turns."""
        return turning_speed.limits_of(self) if self.pieces else ()

    @cached_property
    def cautions(self) -> tuple[Caution, ...]:
        """What can hurt."""
        return hazards.for_way(self) if self.pieces else ()

    @property
    def is_forbidden(self) -> bool:
        """Whether no cut is taken as it is."""
        return bool(self.pieces) and hazards.is_forbidden(self)

    @property
    def speed_limit(self) -> SpeedLimit | None:
        """The lowest of the speeds that it must not go above; None where none is known."""
        return next(iter(self.speeds), None)
