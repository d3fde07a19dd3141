"""What can hurt because it turns: speed, what is out of balance, bar behind the spindle, what unscrews, what does not
swing clear. Each with the number of this set-up; silent where nothing calls for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from fitfinder.holding.mechanics.turning_speed import offset_of
from fitfinder.holding.pieces import CHUCK_KINDS
from fitfinder.holding.rules import behind, cautions, swing
from fitfinder.holding.rules.cautions import COMMON, Caution
from fitfinder.holding.rules.speed_limits import SpeedCause, SpeedLimit
from inventory.measures.length_words import about, in_unit
from inventory.measures.lengths import Length
from inventory.reference import holding, practice
from inventory.reference.kinds import Kind

if TYPE_CHECKING:
    from fitfinder.holding.way import Way

MARKED_KINDS = CHUCK_KINDS | {
    Kind.FACEPLATE, Kind.CLOSER, Kind.COLLET_CHUCK, Kind.LIVE_CENTER, Kind.BULL_NOSE_CENTER,
}  # fmt: skip
"""What turns with the work and carries a marked maximum where its maker gave one."""
MECHANICS = "mechanics: the force grows with the square of the speed"
BEAM = "mechanics: a slender bar whirls; half of its critical speed is common practice"


def nose(way: Way) -> Iterator[Caution]:
    yield from cautions.threaded_nose(way.lathe, way.pieces)


def speed(way: Way) -> Iterator[Caution]:
    """The lowest marked maximum is a hard stop; what turns without a marking is a question, not infinity."""
    lowest = {limit.cause: limit for limit in reversed(way.speeds)}
    marked, halved = lowest.get(SpeedCause.MARKED), lowest.get(SpeedCause.HALVED)
    if marked is not None and marked.piece is not None and _can_go_above(way, marked):
        yield Caution(f"{marked.piece.tag} is marked {marked.rpm} rpm at most.", "marking on the piece")
    if halved is not None and _can_go_above(way, halved):
        yield half_of_mark(halved)
    yield from _dog(lowest.get(SpeedCause.DOG))
    yield from _unmarked(way)
    whirls = lowest.get(SpeedCause.WHIRLS)
    if whirls is not None and _can_go_above(way, whirls):
        yield Caution(f"So slender, it whirls: stay under {whirls.rpm} rpm, or set a steady.", BEAM)
    slow = lowest.get(SpeedCause.DEAD_CENTER)
    if slow is not None and slow.piece is not None and _can_go_above(way, slow):
        yield Caution(f"{slow.piece.tag} does not turn under so much weight: {slow.rpm} rpm, {slow.words}.", COMMON)


def _dog(limit: SpeedLimit | None) -> Iterator[Caution]:
    if limit is not None and limit.piece is not None:
        yield Caution(
            f"{limit.piece.tag} swings: {limit.rpm} rpm at most. Sleeves buttoned, a guard round the dog's tail, hands "
            "away.",
            COMMON,
        )


def half_of_mark(limit: SpeedLimit) -> Caution:
    tag = limit.piece.tag if limit.piece is not None else "it"
    return Caution(f"Half of the mark of {tag}, {limit.rpm} rpm: {limit.words}.", COMMON)


def _can_go_above(way: Way, limit: SpeedLimit) -> bool:
    fastest = way.lathe.fastest_rpm if way.lathe is not None else None
    return fastest is None or fastest > limit.rpm


def _unmarked(way: Way) -> Iterator[Caution]:
    unmarked = [piece.tag for piece in way.pieces if piece.kind in MARKED_KINDS and piece.max_rpm is None]
    if not unmarked:
        return
    until = [limit for limit in way.speeds if limit.cause is SpeedCause.UNMARKED]
    rim = f" Until then {until[0].rpm} rpm at most: {until[0].words}." if until else ""
    text = f"What speed {' and '.join(unmarked)} may run is not known here: look for the marking first.{rim}"
    yield Caution(text, COMMON)


def unbalance(way: Way) -> Iterator[Caution]:
    first = next((limit for limit in way.speeds if limit.cause is SpeedCause.UNBALANCED), None)
    offset = offset_of(way)
    if first is None or offset is None:
        return
    far = f"{in_unit(offset)} off the axis"
    if way.job.throw is None:
        far += ", as is taken until somebody finds it,"
    yield Caution(
        "It runs out of balance: counterweight it until it stands anywhere by hand. Before that "
        f"{first.rpm} rpm at most: {far} it pulls by a quarter of its weight there. Stand out of its plane.",
        MECHANICS,
    )


def behind_spindle(way: Way) -> Iterator[Caution]:
    """Bar that is fed, and bar that reaches through the spindle with what does not stand out of the grip."""
    bar = behind.behind(way.job, way.lathe) if way.by.grips_a_length else None
    if bar is None and not way.job.is_fed:
        return
    yield Caution(
        f"{_shows(way, bar)}No bar shows behind the spindle unless it runs in a guarded, lined tube, with a bushing "
        f"at the rear end: it can whip and kill.{_whips(way, bar) if bar is not None else _may_show(way)}",
        practice.figure("caution", "bar showing behind the spindle").source,
    )


def _shows(way: Way, bar: behind.Behind | None) -> str:
    if bar is None or way.lathe is None:
        return ""
    if not bar.is_taken:
        return f"About {_about(bar.shows)} show behind the spindle of {way.lathe.name}. "
    return (
        f"{_about(bar.from_jaws)} lie inside {way.lathe.name}, whose spindle has no length filled in: about "
        f"{_about(bar.shows)} may show behind it. "
    )


def _whips(way: Way, bar: behind.Behind) -> str:
    if not bar.is_far or bar.rpm is None or bar.rpm_in_bushing is None:
        return ""
    free = f"as it runs free for {_about(bar.from_jaws)} from the jaws."
    fastest = way.lathe.fastest_rpm if way.lathe is not None else None
    if fastest is not None and bar.rpm_in_bushing >= fastest:
        # With the bushing no speed of this lathe whips it.
        return f" Straight bar without that bushing: under {bar.rpm} rpm, {free}" if bar.rpm < fastest else ""
    return (
        f" Straight bar: under {bar.rpm_in_bushing} rpm with that bushing, and under {bar.rpm} rpm without one, {free}"
    )


def _may_show(way: Way) -> str:
    """What of fed bar of which no length is told may show at the lathe's fastest speed."""
    fastest = way.lathe.fastest_rpm if way.lathe is not None else None
    most = behind.may_show(way.job, fastest) if fastest is not None else None
    if most is None:
        return ""
    return f" At {fastest} rpm no more than {about(most)} of it, even straight and in a bushing."


def _about(length: Length) -> str:
    """As it is named where that is a fraction; four places would promise what nobody measured."""
    return about(length) if "." in in_unit(length) else in_unit(length)


def clearance(way: Way) -> Iterator[Caution]:
    """What the hand has to turn past bed and slide before the power does."""
    if way.lathe is None:
        return
    room = swing.clears_by(way.job.swing, way.lathe)
    if room is not None:
        leave, under = in_unit(holding.length("swing.clearance")), swing.under(way.job.swing, way.lathe)
        words = f"It clears the {under} of {way.lathe.name} by {in_unit(room)} only, less than {leave}"
        yield Caution(f"{words}: turn it by hand first.", COMMON)
    swept = swing.swept_by_jaws(way.hold)
    if swept is None or way.hold is None or swing.clears_by(swept, way.lathe) is None:
        return
    yield Caution(
        f"The open jaws of {way.hold.piece.tag} sweep about {about(swept)}, and {way.lathe.name} takes "
        f"{swing.room_in_words(swept, way.lathe)}: turn it by hand first.",
        "geometry",
    )
