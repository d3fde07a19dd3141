"""The speeds that a way must not go above: what is marked or taken for it, what is out of balance, what whirls."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from fitfinder.arithmetic.speeds import rpm_of
from fitfinder.holding.mechanics.bending import in_inches, made_of
from fitfinder.holding.mechanics.unbalance import first_rpm
from fitfinder.holding.mechanics.whirl import Carried, safe_rpm, sound_speed
from fitfinder.holding.pieces import CENTER_KINDS, CHUCK_KINDS, Piece
from fitfinder.holding.rules.behind import behind
from fitfinder.holding.rules.center_drilling import hole_in
from fitfinder.holding.rules.speed_limits import SpeedCause, SpeedLimit
from fitfinder.holding.rules.swing import swept_by_jaws
from inventory.measures import amounts
from inventory.measures.display import now
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import NM_PER_INCH, NM_PER_MM, Length
from inventory.reference import holding, practice
from inventory.reference.kinds import Kind
from inventory.reference.lifting import Lift

if TYPE_CHECKING:
    from fitfinder.holding.way import Way

_TURNING = CHUCK_KINDS | {Kind.FACEPLATE}
"""What has a rim and clamps the work, or drives it."""


def limits_of(way: Way) -> tuple[SpeedLimit, ...]:
    """The lowest first."""
    limits = [
        *_marked(way),
        *_unmarked(way),
        *_unbalanced(way),
        *_behind(way),
        *_whirls(way),
        *_dead_center(way),
        *_dog(way),
    ]
    return tuple(sorted((*limits, *_of_the_lathe(way, limits)), key=lambda limit: limit.rpm))


def offset_of(way: Way) -> Length | None:
    """How far the weight lies off the axis: by the throw, of lopsided work so far as is taken; None of what is even."""
    if way.job.throw is not None:
        return way.job.throw
    is_lopsided = way.job.is_irregular and way.by.is_dialled_in
    if not is_lopsided:
        return None
    return holding.length(f"unbalance.assumed_offset{'.si' if way.job.stock.band.largest.is_metric else ''}")


def _marked(way: Way) -> Iterator[SpeedLimit]:
    marked = [(piece, piece.max_rpm) for piece in way.pieces if piece.max_rpm is not None]
    why = _why_half(way) if marked else ""
    for piece, rpm in marked:
        yield SpeedLimit(rpm=rpm, cause=SpeedCause.MARKED, piece=piece)
        if why and piece.kind in _TURNING:
            half = int(rpm * holding.value("speed.share_jaws_out"))
            yield SpeedLimit(rpm=half, cause=SpeedCause.HALVED, words=why, piece=piece)


def _why_half(way: Way) -> str:
    """Why only half of a mark counts; empty where all of it does."""
    reasons = []
    swept, body = swept_by_jaws(way.hold), way.hold.piece.body if way.hold is not None else None
    if swept is not None and body is not None and swept > body:
        reasons.append(f"its jaws reach beyond its body, about {in_unit(_rounded(swept))} across")
    if offset_of(way) is not None:
        reasons.append("the work is out of balance")
    if _is_long(way):
        reasons.append("the work is long")
    if way.weight is not None and Lift.of(way.weight.ug) is Lift.HOIST:
        reasons.append(f"the work weighs {way.weight.words}")
    return " and ".join(reasons)


def _is_long(way: Way) -> bool:
    out = way.job.slenderness if way.by.carries_both_ends else way.job.diameters_out
    return out is not None and out > practice.stick_out("chuck and tailstock center").limit


def _rounded(length: Length) -> Length:
    """To a tenth of an inch, or 2 mm: it is a rule of thumb."""
    mark = 2 * NM_PER_MM if now().is_metric else NM_PER_INCH // 10
    return Length(round(Fraction(length.nm, mark)) * mark)


def _unmarked(way: Way) -> Iterator[SpeedLimit]:
    for piece in way.pieces:
        across = rim_of(piece)
        if piece.max_rpm is not None or across is None:
            continue
        rim = holding.value("speed.faceplate_rim" if piece.kind == Kind.FACEPLATE else "speed.unmarked_rim")
        rpm = round(rpm_of(rim, Fraction(across.nm, 10**9)))
        words = f"{rim} m/s at a rim of {in_unit(across)}"
        yield SpeedLimit(rpm=rpm, cause=SpeedCause.UNMARKED, words=words, piece=piece)


def rim_of(piece: Piece) -> Length | None:
    """How far across it is: by its body, of a chuck else by the largest that it holds."""
    if piece.kind not in _TURNING:
        return None
    return piece.body or (piece.outside_largest if piece.kind in CHUCK_KINDS else None)


def _unbalanced(way: Way) -> Iterator[SpeedLimit]:
    offset = offset_of(way)
    if offset is not None and offset.nm > 0:
        yield SpeedLimit(rpm=first_rpm(in_inches(offset)), cause=SpeedCause.UNBALANCED)


def _behind(way: Way) -> Iterator[SpeedLimit]:
    bar = behind(way.job, way.lathe) if way.by.grips_a_length else None
    if bar is not None and bar.is_far and bar.rpm is not None:
        yield SpeedLimit(rpm=bar.rpm, cause=SpeedCause.BEHIND)


def _whirls(way: Way) -> Iterator[SpeedLimit]:
    """In front of the spindle it counts only for the most slender work between centers without a steady."""
    job, slender = way.job, way.job.slenderness
    if not way.by.is_between_centers or slender is None or slender <= holding.value("whirl.say_above"):
        return
    sound = sound_speed(made_of(job))
    if sound is None or job.length is None:
        return
    # Beside a follow rest a steady only held the ends while they were drilled.
    if way.has(Kind.STEADY_REST) and not way.has(Kind.FOLLOW_REST):
        return
    across, length = in_inches(job.thickness), in_inches(job.length)
    rpm = safe_rpm(Carried.SIMPLY, outside=across, length=length, sound=sound)
    yield SpeedLimit(rpm=rpm, cause=SpeedCause.WHIRLS)


def _dead_center(way: Way) -> Iterator[SpeedLimit]:
    """Under heavy work a center that does not turn is kept slow at the mouth of its hole."""
    tail = next((piece for piece in reversed(way.pieces) if piece.kind in CENTER_KINDS), None)
    each = end_load(way)
    if tail is None or tail.kind == Kind.LIVE_CENTER or each is None or each <= holding.value("center.max_each_end"):
        return
    hole = hole_in(way.job.thickness)
    if hole is None:
        return
    feet = holding.value("center.dead_max_surface")
    rpm = int(rpm_of(feet * Fraction("0.3048") / 60, Fraction(hole.hole.nm, 10**9)))
    words = f"{amounts.surface_speed(feet)} at the mouth of its hole"
    yield SpeedLimit(rpm=rpm, cause=SpeedCause.DEAD_CENTER, words=words, piece=tail)


def _dog(way: Way) -> Iterator[SpeedLimit]:
    """The same on a plate, in a chuck and on a mandrel: what catches a sleeve is the dog."""
    dog = next((piece for piece in way.pieces if piece.kind == Kind.LATHE_DOG), None)
    if dog is not None:
        yield SpeedLimit(rpm=int(holding.value("speed.dog")), cause=SpeedCause.DOG, piece=dog)


def _of_the_lathe(way: Way, limits: Iterable[SpeedLimit]) -> Iterator[SpeedLimit]:
    """Where all else would let it turn faster than the lathe does."""
    fastest = way.lathe.fastest_rpm if way.lathe is not None else None
    lowest = min((limit.rpm for limit in limits), default=None)
    if way.lathe is not None and fastest is not None and lowest is not None and fastest < lowest:
        yield SpeedLimit(rpm=fastest, cause=SpeedCause.LATHE, words=f"the fastest of {way.lathe.name}")


def end_load(way: Way) -> Fraction | None:
    """What each of two centers carries, in pounds; None where the weight is not known or they do not carry it."""
    return way.weight.lb / 2 if way.by.is_between_centers and way.weight is not None else None
