"""How jaws meet the work: which chuck reaches it, by which of its jaws, outside or in the bore, and on which flats."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from fitfinder.arithmetic.eccentric import largest_throw
from fitfinder.holding import verdicts
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.job import Job, WorkShape
from fitfinder.holding.parts import Act, Reason, SetupStep
from fitfinder.holding.pieces import CHUCK_KINDS, JawsOnHand, Piece
from fitfinder.holding.self_centering import flats_sit, takes_shape
from fitfinder.holding.stock import Band
from fitfinder.holding.verdicts import Reach, Verdict
from fitfinder.holding.way import Hold
from inventory.measures.lengths import Length, named
from inventory.reference.kinds import JawKind, Kind


class Grasp(NamedTuple):
    """What jaws close on and within which reach; `jaws` is None for those that are in the chuck anyway."""

    reach: Reach
    band: Band
    is_inside: bool = False
    jaws: JawsOnHand | None = None


def grip_of(
    job: Job, chucks: Sequence[Piece], here: CribAtLathe, *, without: str, ring: Band | None = None
) -> Hold | Missing:
    """The best chuck that reaches, seats and can be used; else what is in the way, `without` any chuck that.

    With a `ring` the jaws close on that, around the work.
    """
    shape = WorkShape.ROUND if ring else job.shape
    able = [piece for piece in chucks if _flats_sit(piece, shape)]
    if chucks and not able:
        first = chucks[0]
        return Missing(f"{first.tag}: the flats of {shape.called} bar do not sit on {first.jaws} jaws")
    found: list[Hold] = []
    obstacles: list[tuple[int, Missing]] = []
    for piece in able:
        grasp, chain = next(_grasps(job, piece, here, ring), None), here.chain_to(piece)
        if grasp is None:
            obstacles.append((2, _out_of_reach(job, piece, ring)))
        elif not piece.is_usable:
            obstacles.append((0, Missing("", (piece,))))
        elif isinstance(chain, Missing):
            obstacles.append((1, chain))
        else:
            found.append(hold_by(piece, chain, grasp))
    # Thin work goes into six jaws where there are such: three press it out of round, whatever is mounted.
    gentle = [hold for hold in found if ring is not None or not pressed_thin(job, hold.piece)]
    chuck = here.best(hold.piece for hold in gentle or found)
    if chuck is not None:
        return next(hold for hold in found if hold.piece is chuck)
    return min(obstacles, key=lambda pair: (pair[0], str(pair[1])))[1] if obstacles else Missing(without)


def unusable_chucks(job: Job, rig: Iterable[Piece]) -> list[Piece]:
    """The chucks that would take the shape and the size, and are out, damaged or missing."""
    return [
        chuck
        for chuck in rig
        if chuck.kind in CHUCK_KINDS
        and not chuck.is_usable
        and chuck.outside is not None
        and takes_shape(chuck, job.shape)
        and reaches(job.stock.band, chuck.outside)
    ]


def hold_by(chuck: Piece, chain: Chain, grasp: Grasp) -> Hold:
    reach, band, is_inside, jaws = grasp
    return Hold(piece=chuck, chain=chain, reach=reach, band=band, is_inside=is_inside, jaws=jaws)


def _flats_sit(chuck: Piece, shape: WorkShape) -> bool:
    return chuck.kind == Kind.INDEPENDENT_CHUCK or chuck.jaws is None or flats_sit(chuck.jaws, shape)


def _grasps(job: Job, chuck: Piece, here: CribAtLathe, ring: Band | None) -> Iterator[Grasp]:
    """All by which the chuck would grip it: the jaws that are in first."""
    outside = ring or job.stock.band
    own = _reach(chuck.outside_smallest, chuck.outside_largest)
    if own is not None and reaches(outside, own):
        yield Grasp(own, outside)
    sets = [jaws for jaws in here.jaw_sets if jaws.chuck == chuck.id and not jaws.why_not and jaws.kind != JawKind.SOFT]
    for jaws in sets:
        if jaws.outside is not None and reaches(outside, jaws.outside):
            yield Grasp(jaws.outside, outside, jaws=jaws)
    if job.bore is None or ring is not None:
        return
    bore = Band(job.bore, job.bore)
    own = _reach(chuck.inside_smallest, chuck.inside_largest)
    if own is not None and reaches(bore, own):
        yield Grasp(own, bore, is_inside=True)
    for jaws in sets:
        if jaws.inside is not None and reaches(bore, jaws.inside):
            yield Grasp(jaws.inside, bore, is_inside=True, jaws=jaws)


def _reach(smallest: Length | None, largest: Length | None) -> Reach | None:
    return None if smallest is None or largest is None else Reach(smallest=smallest, largest=largest)


def reaches(band: Band, reach: Reach) -> bool:
    return verdicts.judge(band, reach) in (Verdict.HOLDS, Verdict.AT_THE_LIMIT)


def _out_of_reach(job: Job, chuck: Piece, ring: Band | None) -> Missing:
    if chuck.outside_largest is None or chuck.outside_smallest is None:
        return Missing(f"what {chuck.tag} holds is not filled in")
    return Missing(
        f"no jaws here for {named((ring or job.stock.band).largest)} in: {chuck.tag} holds "
        f"{named(chuck.outside_smallest)} to {named(chuck.outside_largest)} in outside"
    )


def pressed_thin(job: Job, chuck: Piece) -> Reason | None:
    """What few jaws do to a thin wall."""
    wall = job.thin_wall
    if wall is None or chuck.jaws is None or chuck.jaws >= 6:
        return None
    return Reason(
        f"{chuck.jaws} jaws press a wall of {named(wall)} in out of round: six jaws, a plug in the bore or soft jaws "
        "hold it round"
    )


def no_scroll(job: Job) -> Reason | None:
    """Why self-centering jaws cannot hold it."""
    if job.is_irregular:
        return Reason("irregular work has nothing that self-centering jaws could center by")
    if job.throw is None:
        return None
    if job.shape is not WorkShape.ROUND:
        return Reason("packing one jaw for a throw is for round work")
    limit = largest_throw(Fraction(job.stock.band.smallest.nm, 2))
    if job.throw.nm < limit:
        return None
    most = Length(int(limit))
    return Reason(
        f"a throw of {named(job.throw)} in is more than packing one jaw gives: {most.inch_text} in",
        needs=job.throw,
        has=most,
    )


def not_bored_round(job: Job, what: str) -> Reason | None:
    """Why what is bored in place cannot hold it."""
    if job.is_flat_sided:
        return Reason(f"bored round, {what} would touch the corners only")
    return None if job.throw is None else Reason(f"bored in place, {what} would hold on the axis: no throw")


def by_jaws(chuck: Piece, *, is_inside: bool) -> str:
    """`3 jaws, in the bore`."""
    return f"{chuck.jaws} jaws{', in the bore' if is_inside else ''}"


def holds(hold: Hold) -> Reason:
    """What the chuck takes by these jaws."""
    where = "in the bore" if hold.is_inside else "outside"
    jaws = f" with its {hold.jaws.kind} jaws" if hold.jaws else ""
    assert hold.reach is not None
    low, high = named(hold.reach.smallest), named(hold.reach.largest)
    return Reason(f"{hold.piece.tag}{jaws} holds {low} to {high} in {where}")


def jaws_steps(hold: Hold) -> tuple[SetupStep, ...]:
    """Jaws that are not in are put in; then wipe and tighten."""
    tighten = SetupStep("Wipe the jaws and the work, and tighten at each pinion.", act=Act.GRIP)
    if hold.jaws is not None and not hold.jaws.is_in:
        return SetupStep(f"{put_in(hold.jaws, hold.piece)}.", (hold.piece,)), tighten
    return (tighten,)


def put_in(jaws: JawsOnHand, chuck: Piece) -> str:
    place = f" from {jaws.location}" if jaws.location else ""
    return f"Put the {jaws.kind} jaws{place} in {chuck.tag}, each in its own slot"
