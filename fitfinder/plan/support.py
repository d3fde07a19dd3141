"""What holds up work that is long for its thickness: a center in the tailstock, a steady or a follow rest."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from fitfinder.holding.pieces import CENTER_KINDS, LatheOnHand, Piece
from fitfinder.plan.efforts import Effort
from fitfinder.plan.floor import Floor, because, best, sleeves_to, takes_bore
from fitfinder.plan.job import Job
from inventory.measures.lengths import named
from inventory.reference import practice

DRILLED = "center drilled"


class Support(Struct, frozen=True, kw_only=True):
    """What is added to a way. `why_not` tells where no support makes it possible."""

    pieces: tuple[Piece, ...] = ()
    missing: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    effort: Effort = Effort()
    why_not: str = ""
    has_center: bool = False


def diameters_out(job: Job) -> Fraction | None:
    """The stick-out in thicknesses of the work; None where the length is not told."""
    return None if job.stands_out is None else Fraction(job.stands_out.nm, job.thickness.nm)


def slenderness(job: Job) -> Fraction | None:
    """The whole length in thicknesses of the work; None where it is not told."""
    return None if job.length is None else Fraction(job.length.nm, job.thickness.nm)


def support(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Support:
    """For work that is gripped at one end."""
    out = diameters_out(job)
    if out is None:
        return Support(reasons=("the length is not told, so the stick-out is not checked",))
    free = practice.stick_out("chuck or collet").typical
    if out <= free:
        return Support()
    centered = practice.stick_out("chuck and tailstock center").high
    told = f"stands out {across(job, out)}"
    if job.is_fed:
        return _with_rest(job, floor, lathe, told)
    if out <= centered:
        return _with_center(job, floor, lathe, told)
    return _joined(_with_center(job, floor, lathe, told), _with_rest(job, floor, lathe, told))


def between_centers(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Support:
    """For work that both ends carry: a rest above so many diameters, and a word of care on the way there."""
    slender, limit = slenderness(job), practice.stick_out("between centers")
    if slender is None:
        return Support()
    told = f"{in_tenths(slender)} times as long as it is thick"
    if slender > limit.high:
        return _with_rest(job, floor, lathe, told)
    if slender > limit.typical:
        return Support(reasons=(f"{told}: take light cuts, or set a follow rest",))
    return Support()


def tailstock_center(job: Job, floor: Floor, lathe: LatheOnHand | None, *, but=()) -> list[Piece] | str:
    """The center for this work in this tailstock after the sleeves that it needs, or what is missing. `but` are
    pieces that are used elsewhere already."""
    if lathe is None or lathe.tailstock_taper is None:
        return f"the tailstock taper of {lathe.name if lathe else 'the lathe'} is not described"
    seat = lathe.tailstock_taper.code
    if job.shape == "tube":
        fitting = [piece for piece in floor.of_kind("bull-nose center") if takes_bore(piece, job.bore)]
        want = f"no bull-nose center for a bore of {named(job.bore)} in"
    else:
        fitting = floor.of_kind(*CENTER_KINDS)
        want = "no center"
    known = [piece for piece in fitting if piece.mounts_in and piece not in but]
    seated = [piece for piece in known if piece.mounts_in.code == seat]
    usable = [piece for piece in seated if piece.is_usable and piece.mounted_on in (None, lathe.id)]
    found = best((piece for piece in usable if piece.kind == "live center"), lathe) or best(usable, lathe)
    if found is not None:
        return [found]
    why = because(seated) or _without_sleeve(known, seat, floor, lathe)
    return _sleeved(known, seat, floor, lathe, but) or f"{want} for the {seat} tailstock of {lathe.name}{why}"


def _sleeved(known: list[Piece], seat: str, floor: Floor, lathe: LatheOnHand, but) -> list[Piece]:
    """The best center that goes in by sleeves, after them; empty where there is none."""
    ways = {}
    for piece in known:
        sleeves = sleeves_to(piece, seat, floor, lathe)
        is_free = piece.is_usable and piece.mounted_on in (None, lathe.id)
        if is_free and not isinstance(sleeves, str) and not set(sleeves) & set(but):
            ways[piece] = sleeves
    found = best((piece for piece in ways if piece.kind == "live center"), lathe) or best(ways, lathe)
    return [*ways[found], found] if found is not None else []


def _without_sleeve(known: list[Piece], seat: str, floor: Floor, lathe: LatheOnHand) -> str:
    for piece in known:
        sleeves = sleeves_to(piece, seat, floor, lathe)
        if piece.is_usable and isinstance(sleeves, str):
            return f": {sleeves}"
    return ""


def _with_center(job: Job, floor: Floor, lathe: LatheOnHand | None, told: str) -> Support:
    if why := too_long(job, lathe):
        return Support(why_not=why)
    found = tailstock_center(job, floor, lathe)
    is_drilled = job.shape != "tube"
    effort = Effort(per_part=floor.minutes.of(DRILLED), names=(DRILLED,)) if is_drilled else Effort()
    reasons = (f"{told}: a tailstock center holds it up",)
    if isinstance(found, str):
        return Support(missing=(found,), reasons=reasons, effort=effort, has_center=True)
    center = found[-1]
    steps = [f"Center-drill the end, then bring up {center.tag}."] if is_drilled else [f"Bring up {center.tag}."]
    if center.kind != "live center" and center.kind != "bull-nose center":
        steps.append(f"Put lubricant on {center.tag}, and look at it again once it is warm.")
    return Support(pieces=tuple(found), reasons=reasons, steps=tuple(steps), effort=effort, has_center=True)


def _with_rest(job: Job, floor: Floor, lathe: LatheOnHand | None, told: str) -> Support:
    rests = [piece for piece in floor.of_kind("steady rest", "follow rest") if _is_of(piece, lathe)]
    reaching = [piece for piece in rests if _reaches(piece, job)]
    rest = best((piece for piece in reaching if piece.is_usable), lathe)
    effort = Effort(set_up=floor.minutes.of("steady rest"), names=("steady rest",))
    reasons = (f"{told}: a rest holds it up",)
    if job.is_flat_sided:
        reasons += ("a rest runs on a turned round, so turn one for its fingers first",)
    if rest is None:
        name = lathe.name if lathe else "the lathe"
        missing = f"no rest of {name} takes {named(job.circle)} in{because(reaching)}"
        return Support(missing=(missing,), reasons=reasons, effort=effort)
    steps = (f"Set the fingers of {rest.tag} to the running work, with lubricant.",)
    return Support(pieces=(rest,), reasons=reasons, steps=steps, effort=effort)


def _is_of(piece: Piece, lathe: LatheOnHand | None) -> bool:
    return piece.belongs_to is None or (lathe is not None and piece.belongs_to == lathe.id)


def _reaches(piece: Piece, job: Job) -> bool:
    low, high = piece.outside_smallest, piece.outside_largest
    return low is not None and high is not None and low <= job.thickness and job.circle <= high


def too_long(job: Job, lathe: LatheOnHand | None) -> str:
    """Why the work does not go between the centers of this lathe; empty where it does or that is not known."""
    most = lathe.between_centers if lathe else None
    if most is None or job.length is None or job.length <= most:
        return ""
    return f"{named(job.length)} in is longer than the {named(most)} in between the centers of {lathe.name}"


def _joined(one: Support, other: Support) -> Support:
    return Support(
        pieces=one.pieces + other.pieces,
        missing=one.missing + other.missing,
        reasons=one.reasons + other.reasons,
        steps=one.steps + other.steps,
        effort=one.effort + other.effort,
        why_not=one.why_not or other.why_not,
        has_center=one.has_center or other.has_center,
    )


def across(job: Job, times: Fraction) -> str:
    """`5.0 diameters`, and of work that has none `5.0 times its thickness`."""
    is_round = job.shape in ("round", "tube") and not job.is_irregular
    return f"{in_tenths(times)} {'diameters' if is_round else 'times its thickness'}"


def in_tenths(diameters: Fraction) -> str:
    """`3.5`."""
    tenths = round(diameters * 10)
    return f"{tenths // 10}.{tenths % 10}"
