"""What holds up work that is long for its thickness: a center in the tailstock, a steady or a follow rest."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from fitfinder.holding import limits
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Missing
from fitfinder.holding.efforts import Effort
from fitfinder.holding.job import Job, WorkShape, in_tenths
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import CENTER_KINDS, REST_KINDS, Piece
from fitfinder.holding.seats import away, takes_bore
from inventory.measures.lengths import Length, named
from inventory.reference import practice
from inventory.reference.kinds import Kind


def at_one_end(job: Job, here: CribAtLathe) -> Parts:
    """For work that is gripped at one end."""
    out = job.diameters_out
    if out is None:
        return Parts(reasons=(Reason("the length is not told, so the stick-out is not checked"),))
    if out <= practice.stick_out("chuck or collet").most:
        return Parts()
    words = f"stands out {job.thicknesses(out)}"
    if job.is_fed:
        return _with_rest(job, here, words)
    if out <= practice.stick_out("chuck and tailstock center").limit:
        return _with_center(job, here, words)
    return _with_center(job, here, words) + _with_rest(job, here, words)


def at_both_ends(job: Job, here: CribAtLathe) -> Parts:
    """For work between centers: a rest above so many diameters, and a word of care on the way there."""
    slender, limit = job.slenderness, practice.stick_out("between centers")
    if slender is None or slender <= limit.most:
        return Parts()
    words = f"{in_tenths(slender)} times as long as it is thick"
    if slender > limit.limit:
        return _with_rest(job, here, words)
    return Parts(reasons=(Reason(f"{words}: take light cuts, or set a follow rest"),))


def tailstock_center(
    here: CribAtLathe, *, bore: Length | None = None, but: Collection[Piece] = ()
) -> tuple[Piece, ...] | Missing:
    """The center for this tailstock after the sleeves that it needs, or what is missing. With a `bore` it is one that
    carries a tube by it; `but` are pieces that are used elsewhere already."""
    lathe = here.lathe
    if lathe is None or lathe.tailstock_taper is None:
        return Missing(f"the tailstock taper of {lathe.name if lathe else 'the lathe'} is not described")
    seat = lathe.tailstock_taper.code
    if bore is not None:
        fitting = [piece for piece in here.of_kind(Kind.BULL_NOSE_CENTER) if takes_bore(piece, bore)]
        want = f"no bull-nose center for a bore of {named(bore)} in"
    else:
        fitting, want = here.of_kind(*CENTER_KINDS), "no center"
    known = [piece for piece in fitting if piece.mounts_in and piece not in but]
    seated = [piece for piece in known if piece.mounts_in and piece.mounts_in.code == seat]
    found = _live_first(here, (piece for piece in seated if here.is_free(piece)))
    if found is not None:
        return (found,)
    if sleeved := _sleeved(known, seat, here, but):
        return sleeved
    why = f"{want} for the {seat} tailstock of {lathe.name}"
    lacking = _without_sleeve(known, seat, here) if not away(seated) else None
    return Missing(f"{why}: {lacking}") if lacking else Missing(why, away(seated))


def lubricated(center: Piece) -> SetupStep:
    """What a center that does not turn wants."""
    return SetupStep(f"Put lubricant on {center.tag}, and look at it again once it is warm.", (center,), Act.LUBRICATE)


def _live_first(here: CribAtLathe, centers: Iterable[Piece]) -> Piece | None:
    found = list(centers)
    return here.best(piece for piece in found if piece.kind == Kind.LIVE_CENTER) or here.best(found)


def _sleeved(known: list[Piece], seat: str, here: CribAtLathe, but: Collection[Piece]) -> tuple[Piece, ...]:
    """The best center that goes in by sleeves, after them; empty where there is none."""
    ways = {}
    for piece in known:
        sleeves = here.sleeves_to(piece, seat)
        if here.is_free(piece) and not isinstance(sleeves, Missing) and not set(sleeves) & set(but):
            ways[piece] = sleeves
    found = _live_first(here, ways)
    return (*ways[found], found) if found is not None else ()


def _without_sleeve(known: list[Piece], seat: str, here: CribAtLathe) -> Missing | None:
    """The sleeve that the first of these centers lacks."""
    for piece in known:
        sleeves = here.sleeves_to(piece, seat)
        if piece.is_usable and isinstance(sleeves, Missing):
            return sleeves.wanted_by(piece)
    return None


def _with_center(job: Job, here: CribAtLathe, words: str) -> Parts:
    if why := limits.too_long(job, here.lathe):
        return Parts(why_not=why)
    is_drilled = job.shape is not WorkShape.TUBE
    found = tailstock_center(here, bore=None if is_drilled else job.bore)
    effort = Effort(per_part=here.minutes.of("center drilled")) if is_drilled else Effort()
    reasons = (Reason(f"{words}: a tailstock center holds it up"),)
    if isinstance(found, Missing):
        return Parts(missing=(found,), reasons=reasons, effort=effort)
    center = found[-1]
    if is_drilled:
        steps = [SetupStep(f"Center-drill the end, then bring up {center.tag}.", (center,), Act.CENTER_DRILL)]
    else:
        steps = [SetupStep(f"Bring up {center.tag}.", (center,))]
    if center.kind not in (Kind.LIVE_CENTER, Kind.BULL_NOSE_CENTER):
        steps.append(lubricated(center))
    return Parts(pieces=found, reasons=reasons, steps=tuple(steps), effort=effort)


def _with_rest(job: Job, here: CribAtLathe, words: str) -> Parts:
    rests = [piece for piece in here.of_kind(*REST_KINDS) if _is_of_this_lathe(piece, here)]
    reaching = [piece for piece in rests if _reaches(piece, job)]
    rest = here.best(piece for piece in reaching if piece.is_usable)
    effort = Effort(set_up=here.minutes.of("steady rest"))
    reasons: tuple[Reason, ...] = (Reason(f"{words}: a rest holds it up"),)
    if job.is_flat_sided:
        reasons += (Reason("a rest runs on a turned round, so turn one for its fingers first"),)
    if rest is None:
        name = here.lathe.name if here.lathe else "the lathe"
        missing = Missing(f"no rest of {name} takes {named(job.circle)} in", away(reaching))
        return Parts(missing=(missing,), reasons=reasons, effort=effort)
    step = SetupStep(f"Set the fingers of {rest.tag} to the running work, with lubricant.", (rest,))
    return Parts(pieces=(rest,), reasons=reasons, steps=(step,), effort=effort)


def _is_of_this_lathe(piece: Piece, here: CribAtLathe) -> bool:
    return piece.belongs_to is None or (here.lathe is not None and piece.belongs_to == here.lathe.id)


def _reaches(piece: Piece, job: Job) -> bool:
    low, high = piece.outside_smallest, piece.outside_largest
    return low is not None and high is not None and low <= job.thickness and job.circle <= high
