"""The order that a practitioner tries ways in, the same for Find and for the plan, on one lathe and over all of them.

1. A way that can hold the job before one that cannot, and what is all here before what is not: of that first what a
   colleague has, which is fetched. What nothing is in doubt of goes before what a detail decides that nobody filled in.
2. Safe: nothing leads whose caution forbids the cut.
3. True enough, where a run-out was asked: known to be, typically, open, missed. With nothing asked truth tells nothing
   apart.
4. Free: no other job wants one of its pieces soon.
5. What nothing speaks against. A blank that is bored and a bushing that is made are for when nothing else will do, as
   they use something up; dialling in is for a shape, a throw or a run-out that calls for it, so a universal chuck that
   holds the work goes before it, mounted or not. Of bar of which no length is told nobody knows whether both ends can
   be drilled: centers come behind, as they do for short work of which nothing is asked that they are for. What a chuck
   reaches and does not spoil is not clamped to a plate. A shaft that is turned end for end and has to run true
   goes between centers before it is gripped twice.
6. The fewest people to lift, then the fewest minutes for the lot: what is mounted costs none, what is heavy its hoist.
   For a lot above so many parts it is lifted once and the minutes decide, but for a hoist.
7. The least used up, the fewest pieces to fetch, what is good before what is worn, what is known, the truest,
   the smallest body.

What is alike in all of it keeps its order. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum
from fractions import Fraction
from typing import NamedTuple

from fitfinder.holding.job import Job, WorkShape
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import ColletOnHand
from fitfinder.holding.runout import MEASURED
from fitfinder.holding.way import UsedUp, Way
from inventory.measures.lengths import Length
from inventory.reference import holding, practice
from inventory.reference.kinds import Kind
from inventory.reference.lifting import Lift

_NEVER = Fraction(10**9)
_LARGEST = 10**12
_OPENED = frozenset({Kind.MACHINABLE_COLLET, Kind.STEP_COLLET})


class Truth(IntEnum):
    """How sure it is that a way runs within what was asked."""

    KNOWN = 0
    TYPICAL = 1
    OPEN = 2
    MISSED = 3


class Turn(IntEnum):
    """Jaws with room to spare, jaws near the end of their reach or with a short grip, and only then a plate."""

    WITH_ROOM = 0
    AT_THE_EDGE = 1
    PLATE = 2


class Rank(NamedTuple):
    """Where a way stands; less is better, and what comes first counts first."""

    cannot: bool
    is_away: bool
    to_be_bought: int
    """What is missing and nobody has either."""
    missing: int
    is_doubted: bool
    is_forbidden: bool
    truth: Truth
    is_wanted: bool
    has_against: bool
    is_last_resort: bool
    """What is made or used up for it, also beside what something else speaks against."""
    turn: Turn
    is_dialled_for_nothing: bool
    is_drilled_unseen: bool
    is_out_of_turn: bool
    """Between centers, where a chuck that is heavier to hang holds it."""
    is_gripped_twice: bool
    """A shaft that is turned end for end and has to run true."""
    lift: Lift
    minutes: Fraction
    used_up: UsedUp
    to_fetch: int
    worn: int
    is_open: bool
    known_tir: int
    body: int


def best_first(ways: Iterable[Way]) -> list[Way]:
    return sorted(ways, key=rank)


def rank(way: Way) -> Rank:
    used_up, minutes = used_up_by(way), way.minutes
    return Rank(
        cannot=not way.can,
        is_away=not way.is_here,
        to_be_bought=sum(1 for missing in way.missing if not missing.can_be_fetched),
        missing=len(way.missing),
        is_doubted=bool(way.doubts),
        is_forbidden=way.is_forbidden,
        truth=truth_of(way),
        is_wanted=way.is_wanted,
        has_against=way.is_opposed or used_up is UsedUp.BLANK,
        is_last_resort=way.by.is_last_resort or used_up is UsedUp.BLANK,
        turn=_turn_of(way),
        is_dialled_for_nothing=way.by.is_dialled_in and not _calls_for_dialling(way),
        is_drilled_unseen=way.job.is_bare and way.by.is_between_centers,
        is_out_of_turn=way.by.is_between_centers and not _calls_for_centers(way.job),
        is_gripped_twice=not way.by.carries_both_ends and _is_true_shaft(way.job),
        lift=_lift_of_the_lot(way),
        minutes=_NEVER if minutes is None else minutes,
        used_up=used_up,
        to_fetch=sum(1 for piece in way.in_line if not way.has_on(piece) and not piece.is_with_asker),
        worn=sum(1 for piece in way.pieces if not piece.is_good),
        is_open=way.of_one_gripping.total is None,
        known_tir=0 if way.runout is None else way.runout.known.nm,
        body=_body_of(way),
    )


def _lift_of_the_lot(way: Way) -> Lift:
    """A second pair of hands for a minute does not keep a lot out of the collet; a hoist is another matter."""
    is_lot = way.job.parts > holding.value("lot.collet_from")
    return Lift.ALONE if is_lot and way.lift is Lift.TWO else way.lift


def _turn_of(way: Way) -> Turn:
    if way.method is Method.FACEPLATE:
        return Turn.PLATE
    return Turn.AT_THE_EDGE if any(reason.is_mild for reason in way.but) else Turn.WITH_ROOM


def _body_of(way: Way) -> int:
    """Of chucks that are alike the one with the smallest body is the handiest; one that nobody measured comes last."""
    body = way.hold.piece.body if way.hold is not None else None
    return _LARGEST if body is None else body.nm


def truth_of(way: Way) -> Truth:
    asked = way.job.runs_within if way.job.setups == 1 else way.job.tir
    return truth_of_run(asked, way.runs_as_asked, way.tir_basis)


def truth_of_run(asked: Length | None, meets: bool | None, basis: str) -> Truth:
    """KNOWN where nothing was asked."""
    if asked is None:
        return Truth.KNOWN
    if meets is None:
        return Truth.OPEN
    if not meets:
        return Truth.MISSED
    return Truth.KNOWN if basis == MEASURED else Truth.TYPICAL


def used_up_by(way: Way) -> UsedUp:
    piece = way.hold.piece if way.hold is not None else None
    if piece is not None and piece.kind in _OPENED and not isinstance(piece, ColletOnHand):
        return UsedUp.BLANK
    return way.by.uses_up


def _calls_for_dialling(way: Way) -> bool:
    """Whether a run-out is asked, or the work has an axis or a shape that nothing centers by itself."""
    job = way.job
    asked = job.runs_within if job.setups == 1 else job.tir
    return asked is not None or job.throw is not None or job.is_irregular or _is_in_no_scroll(job)


def _is_in_no_scroll(job: Job) -> bool:
    """Flat bar, and square bar, which three jaws do not center either."""
    return job.shape in (WorkShape.FLAT, WorkShape.SQUARE)


def _calls_for_centers(job: Job) -> bool:
    """Whether a run-out, a second axis, a taper or starts are asked, or the work is too long for a grip alone. Other
    short work goes into a chuck, though that may take two people: the dog would cover half of it."""
    is_short = job.slenderness is not None and job.slenderness <= practice.stick_out("chuck or collet").most + 1
    asked = job.setups > 1 or job.runs_within is not None or job.throw is not None or job.taper is not None
    return asked or job.starts > 1 or not is_short


def _is_true_shaft(job: Job) -> bool:
    """Whether it is longer than a grip holds freely, turned end for end, and its ends are to run true to each other."""
    is_long = job.slenderness is not None and job.slenderness > practice.stick_out("chuck or collet").most + 1
    return is_long and job.is_from_both_ends and job.tir is not None
