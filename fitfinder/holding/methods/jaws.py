"""How jaws meet the work: which chuck reaches it, by which of its jaws, outside or in the bore, and on which flats."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from fitfinder.holding import verdicts
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.job import Job, WorkShape
from fitfinder.holding.mechanics import thin_wall
from fitfinder.holding.mechanics.throws import beyond_packing
from fitfinder.holding.parts import Act, Reason, SetupStep
from fitfinder.holding.pieces import CHUCK_KINDS, JawsOnHand, Piece
from fitfinder.holding.rules import bearings, grip_length
from fitfinder.holding.rules.cautions import is_near_the_end
from fitfinder.holding.rules.self_centering import flats_sit, takes_shape
from fitfinder.holding.stock import Band
from fitfinder.holding.verdicts import Reach, Verdict
from fitfinder.holding.way import Hold
from inventory.measures.length_words import in_unit, measured, span_of_sizes
from inventory.measures.lengths import Length
from inventory.reference.kinds import JawKind, Kind
from inventory.reference.place_words import place_words


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
    holds: list[Hold] = []
    obstacles: list[tuple[int, Missing]] = []
    for piece in able:
        grasp = _best_grasp(_grasps(job, piece, here, ring))
        if grasp is None:
            obstacles.append((2, _out_of_reach(job, piece, ring)))
        elif not piece.is_usable:
            obstacles.append((0, Missing("", (piece,))))
        elif isinstance(chain := here.chain_to(piece), Missing):
            obstacles.append((1, chain))
        else:
            holds.append(hold_by(piece, chain, grasp))
    if len(holds) == 1:
        return holds[0]
    if holds:
        return min(
            holds, key=lambda hold: _choice(hold, against(job, hold) if ring is None else _near_the_end(hold), here)
        )
    return min(obstacles, key=lambda pair: (pair[0], str(pair[1])))[1] if obstacles else Missing(without)


def _choice(
    hold: Hold, speaks_against: Iterable[Reason], here: CribAtLathe
) -> tuple[bool, bool, bool, int, bool, int, int, str]:
    """Which chuck of several: with nothing against it, wanted by no other job, on the lathe, lifted by the
    fewest people, good, the truest, with the smallest body; by its tag only where all else is alike."""
    chuck, unknown = hold.piece, 10**12
    return (
        any(True for _ in speaks_against),
        chuck.is_wanted,
        not here.has_on(chuck),
        here.lift_of([chuck], ()),
        not chuck.is_good,
        chuck.tir.nm if chuck.tir is not None else unknown,
        chuck.body.nm if chuck.body is not None else unknown,
        chuck.tag,
    )


def _best_grasp(grasps: Iterable[Grasp]) -> Grasp | None:
    """By the jaws that are in, unless others reach it with more room."""
    return min(grasps, key=lambda grasp: is_near_the_end(grasp.band.largest, grasp.reach.largest), default=None)


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
        f"no jaws here for {in_unit((ring or job.stock.band).largest)}: {chuck.tag} holds "
        f"{span_of_sizes(chuck.outside_smallest, chuck.outside_largest)} outside"
    )


def against(job: Job, hold: Hold) -> list[Reason]:
    """What speaks against these jaws, where others would do."""
    return [*_near_the_end(hold), *_rough(job, hold), *_pressed(job, hold)]


def instead(job: Job, hold: Hold) -> tuple[Reason, ...]:
    """What holds a thin wall better than these jaws."""
    if job.wall is None:
        return ()
    return thin_wall.instead(_in(job, hold), hold.piece.jaws)


def _near_the_end(hold: Hold) -> Iterator[Reason]:
    if hold.reach is None or hold.band is None or not is_near_the_end(hold.band.largest, hold.reach.largest):
        return
    held, largest = in_unit(hold.band.largest), in_unit(hold.reach.largest)
    words = f"{held} is in the last tenth of what the jaws of {hold.piece.tag} reach, {largest}"
    yield Reason(words, needs=hold.band.largest, has=hold.reach.largest, is_mild=True)


def _rough(job: Job, hold: Hold) -> Iterator[Reason]:
    """Three points always bear, and jaws that move by themselves find the work."""
    jaws, off = hold.piece.jaws, job.stock.out_of_round
    if not job.stock.is_rough or off is None or hold.piece.kind == Kind.INDEPENDENT_CHUCK or jaws is None or jaws <= 3:
        return
    half = Length(off.nm // 2)
    yield Reason(f"rough bar is up to {measured(off)} out of round: some of {jaws} jaws stand off by {measured(half)}")


def _pressed(job: Job, hold: Hold) -> Iterator[Reason]:
    reason = thin_wall.pressed(_in(job, hold), hold.piece.jaws) if job.wall is not None else None
    if reason is not None:
        yield reason


def _in(job: Job, hold: Hold) -> Job:
    return grip_length.gripped_by(job, bearings.of_jaws(hold.piece, hold.jaws))


def no_rough(job: Job, what: str) -> Reason | None:
    """Why what is bored in place is no good for rough bar."""
    off = job.stock.out_of_round
    if not job.stock.is_rough or off is None:
        return None
    return Reason(f"rough bar is scaled and up to {measured(off)} out of round: it spoils the bore of {what}")


def no_scroll(job: Job) -> Reason | None:
    """Why self-centering jaws cannot hold it."""
    if job.is_irregular:
        return Reason("irregular work has nothing that self-centering jaws could center by")
    if job.throw is None:
        return None
    if job.shape is not WorkShape.ROUND:
        return Reason("packing one jaw for a throw is for round work")
    return beyond_packing(job)


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
    reach = span_of_sizes(hold.reach.smallest, hold.reach.largest)
    return Reason(f"{hold.piece.tag}{jaws} holds {reach} {where}")


def jaws_steps(hold: Hold) -> tuple[SetupStep, ...]:
    """Jaws that are not in are put in; then wipe and tighten."""
    tighten = SetupStep("Wipe the jaws and the work, and tighten at each pinion.", act=Act.GRIP)
    if hold.jaws is not None and not hold.jaws.is_in:
        return SetupStep(f"{put_in(hold.jaws, hold.piece)}.", (hold.piece,)), tighten
    return (tighten,)


def put_in(jaws: JawsOnHand, chuck: Piece) -> str:
    place = f" from {place_words(jaws.location)}" if jaws.location else ""
    return f"Put the {jaws.kind} jaws{place} in {chuck.tag}, each in its own slot"
