"""What can hurt in one way of the plan, from its own numbers; silent where nothing calls for it."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.holding.cautions import COMMON, Caution, jaws_near_their_end
from fitfinder.holding.pieces import CHUCK_KINDS, COLLET_KINDS
from fitfinder.plan.support import across, diameters_out, in_tenths
from inventory.measures import masses
from inventory.measures.lengths import named
from inventory.reference import practice

MARKED_KINDS = CHUCK_KINDS | {"faceplate", "closer", "collet chuck", "live center", "bull-nose center"}
"""What turns with the work and carries a marked maximum where its maker gave one."""
_AT_BOTH_ENDS = ("between centers", "mandrel")


def for_way(way, grip, floor) -> tuple[Caution, ...]:
    """`grip` has the chuck, its chain and its reach; None where centers hold the work."""
    found = [
        *_lifting(way, floor),
        *_nose(way),
        *_speed(way),
        *_stick_out(way),
        *_short_grip(way),
        *_unbalance(way),
        *_behind(way),
        *_centers(way),
    ]
    if grip is not None:
        found += [*_jaw_end(way, grip), *_undersize(way, grip)]
    return tuple(found)


def _lifting(way, floor) -> list[Caution]:
    limit = practice.caution("lift alone")
    pounds = limit.most
    here = way.lathe.id if way.lathe else None
    heavy = [
        (piece.tag, piece.weight_ug)
        for piece in way.pieces
        if piece.weight_ug is not None and (here is None or piece.mounted_on != here)
    ]
    heavy += [
        (f"{piece.tag}, which comes off first,", piece.weight_ug) for piece in way.off if piece.weight_ug is not None
    ]
    if way.job.weight_ug is not None:
        heavy.append(("The work", way.job.weight_ug))
    too_heavy = [(name, masses.shown(weight)) for name, weight in heavy if weight > pounds * masses.UG_PER_LB]
    if not too_heavy:
        return []
    (first, weight), *others = too_heavy
    words = ", ".join([f"{first} weighs {weight}", *(f"and {name} {weight}" for name, weight in others)])
    return [
        Caution(
            f"{words}: not one person over the bed. Board on the ways, two people or a hoist, power isolated.",
            f"working rule of {pounds} lb for one person reaching over the bed; {limit.source}",
        )
    ]


def _nose(way) -> list[Caution]:
    on_nose = [piece for piece in way.pieces if piece.mounts_in is not None and piece.mounts_in.is_thread]
    if way.lathe is None or not on_nose:
        return []
    return [
        Caution(
            f"{way.lathe.name} has a threaded nose: {on_nose[0].tag} can unscrew. No reverse under power, no hard "
            "braking; check the register.",
            COMMON,
        )
    ]


def _speed(way) -> list[Caution]:
    """The lowest marked maximum is a hard stop; what turns without a marking is a question, not infinity."""
    found = []
    if way.lowest_marked_speed is not None:
        rpm, piece = way.lowest_marked_speed
        fastest = way.lathe.fastest_rpm if way.lathe else None
        if fastest is None or fastest > rpm:
            found.append(Caution(f"{piece.tag} is marked {rpm} rpm at most.", "marking on the piece"))
    unmarked = [piece.tag for piece in way.pieces if piece.kind in MARKED_KINDS and piece.max_rpm is None]
    if unmarked:
        text = f"What speed {' and '.join(unmarked)} may run is not known here: look for the marking first."
        found.append(Caution(text, COMMON))
    return found


def _stick_out(way) -> list[Caution]:
    """Long work that nothing holds up: what should is missing, or there is no such way."""
    out = diameters_out(way.job)
    free = practice.stick_out("chuck or collet")
    if out is None or out <= free.typical or way.method in _AT_BOTH_ENDS or _is_propped(way):
        return []
    return [
        Caution(
            f"It stands out {across(way.job, out)} with nothing to hold up its end: above "
            f"{in_tenths(free.typical)} it bends, climbs and is thrown. No cut without a center or a rest.",
            COMMON,
        )
    ]


def _short_grip(way) -> list[Caution]:
    out, job = way.job.stands_out, way.job
    share = practice.grip("share of the stick-out, no center").low
    if out is None or way.method in (*_AT_BOTH_ENDS, "faceplate") or _is_propped(way):
        return []
    if Fraction(job.gripped.nm) >= share * out.nm:
        return []
    return [
        Caution(
            f"{named(job.gripped)} in of grip is short for {named(out)} in standing out: grip more, or bring up a "
            "center.",
            COMMON,
        )
    ]


def _is_propped(way) -> bool:
    return any(piece.kind.endswith(("center", "rest")) for piece in way.pieces)


def _unbalance(way) -> list[Caution]:
    job = way.job
    if job.throw is None and not (job.is_irregular and way.method in ("faceplate", "independent chuck")):
        return []
    return [
        Caution(
            "It runs out of balance: counterweight it, start at the lowest speed, and stand out of its plane.",
            "geometry: the force grows with the square of the speed",
        )
    ]


def _behind(way) -> list[Caution]:
    """Bar that is fed, and bar that reaches through the spindle with what does not stand out of the grip."""
    job, through = way.job, way.lathe.spindle_length if way.lathe else None
    inside = None if job.length is None or job.stick_out is None else job.length - job.stick_out
    shows = inside is not None and through is not None and inside > through
    if not job.is_fed and not shows:
        return []
    limit = practice.figure("caution", "bar showing behind the spindle")
    how_much = f"About {named(inside - through)} in show behind the spindle of {way.lathe.name}. " if shows else ""
    return [
        Caution(
            f"{how_much}No bar shows behind the spindle unless it runs in a guarded, lined tube: it can whip and kill.",
            limit.source,
        )
    ]


def _centers(way) -> list[Caution]:
    found = []
    dead = [piece for piece in way.pieces if piece.kind in ("dead center", "extended-point center")]
    for piece in dead:
        if any(f"lubricant on {piece.tag}," in step for step in way.steps):
            found.append(Caution(f"{piece.tag} does not turn: without lubricant it welds itself to the work.", COMMON))
    if any("60 degree point" in step for step in way.steps):
        found.append(Caution("A soft center that was taken out is cut again in place, or it runs out.", COMMON))
    return found


def _jaw_end(way, grip) -> list[Caution]:
    if grip.chuck.kind not in CHUCK_KINDS or grip.reach is None:
        return []
    return jaws_near_their_end(grip.chuck.tag, held=grip.band.largest, largest=grip.reach.largest)


def _undersize(way, grip) -> list[Caution]:
    if grip.chuck.kind not in COLLET_KINDS:
        return []
    if way.job.stock.band.smallest >= grip.reach.smallest + grip.reach.edge_bottom:
        return []
    low, high = named(grip.reach.smallest), named(grip.reach.largest)
    stock = f"stock of {low} in" if low == high else f"stock from {low} to {high} in"
    return [
        Caution(
            f"Close {grip.chuck.tag} only on {stock}: closed empty or on less it takes a set or breaks.",
            COMMON,
        )
    ]
