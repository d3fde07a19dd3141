"""How jaws meet the work: which chuck reaches it, by which of its jaws, outside or in the bore, and on which flats."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from fitfinder.holding import verdicts
from fitfinder.holding.chains import Chain
from fitfinder.holding.methods.chucks import flats_sit
from fitfinder.holding.pieces import JawSet, Piece
from fitfinder.holding.stock import Band
from fitfinder.holding.verdicts import Reach, Verdict
from fitfinder.plan.floor import Floor, best, reached, unusable
from fitfinder.plan.job import CALLED, Job
from inventory.measures.lengths import Length, named


class JawGrip(Struct, frozen=True):
    """A chuck that can grip the job: by which jaws, outside or in the bore, and within which reach."""

    chuck: Piece
    chain: Chain
    reach: Reach
    band: Band
    """What the jaws close on: the work, its bore, or the ring around it."""
    is_inside: bool = False
    jaws: JawSet | None = None


def grip_of(job, chucks, floor, lathe, *, band: Band | None = None, shape: str = "") -> JawGrip | str:
    """The best chuck that reaches, seats and can be used; else what is in the way, empty where there is no chuck."""
    able = [piece for piece in chucks if not _shape_words(piece, shape or job.shape)]
    if chucks and not able:
        return f"{chucks[0].tag}: {_shape_words(chucks[0], shape or job.shape)}"
    found, obstacles = [], []
    for piece in able:
        ways = list(_reaches_of(job, piece, floor, band))
        if not ways:
            obstacles.append((2, _reach_words(job, piece, band)))
        elif not piece.is_usable:
            obstacles.append((0, unusable([piece])))
        else:
            chain = reached(piece, floor, lathe)
            if isinstance(chain, str):
                obstacles.append((1, chain))
            else:
                found.append(JawGrip(piece, chain, *ways[0]))
    # Thin work goes into six jaws where there are such: three press it out of round, whatever is mounted.
    gentle = [grip for grip in found if band is not None or not pressed_thin(job, grip.chuck)]
    chuck = best((grip.chuck for grip in gentle or found), lathe)
    if chuck is not None:
        return next(grip for grip in found if grip.chuck is chuck)
    return min(obstacles)[1] if obstacles else ""


def _shape_words(chuck: Piece, shape: str) -> str:
    if chuck.kind == "independent chuck" or chuck.jaws is None or flats_sit(chuck.jaws, shape):
        return ""
    return f"the flats of {CALLED.get(shape, shape)} bar do not sit on {chuck.jaws} jaws"


def _reaches_of(job: Job, chuck: Piece, floor: Floor, band: Band | None) -> Iterator[tuple]:
    """(reach, what is gripped, inside, jaw set) of all that would grip it: the jaws that are in first."""
    outside = band or job.stock.band
    own = _reach(chuck.outside_smallest, chuck.outside_largest)
    if own is not None and reaches(outside, own):
        yield own, outside, False, None
    sets = [jaws for jaws in floor.jaw_sets if jaws.chuck == chuck.id and not jaws.why_not and jaws.kind != "soft"]
    for jaws in sets:
        if jaws.outside is not None and reaches(outside, jaws.outside):
            yield jaws.outside, outside, False, jaws
    if job.bore is None or band is not None:
        return
    bore = Band(job.bore, job.bore)
    own = _reach(chuck.inside_smallest, chuck.inside_largest)
    if own is not None and reaches(bore, own):
        yield own, bore, True, None
    for jaws in sets:
        if jaws.inside is not None and reaches(bore, jaws.inside):
            yield jaws.inside, bore, True, jaws


def _reach(smallest: Length | None, largest: Length | None) -> Reach | None:
    return None if smallest is None or largest is None else Reach(smallest=smallest, largest=largest)


def reaches(band: Band, reach: Reach) -> bool:
    return verdicts.judge(band, reach) in (Verdict.HOLDS, Verdict.AT_THE_LIMIT)


def _reach_words(job: Job, chuck: Piece, band: Band | None) -> str:
    wanted = named((band or job.stock.band).largest)
    if chuck.outside_largest is None or chuck.outside_smallest is None:
        return f"what {chuck.tag} holds is not filled in"
    return (
        f"no jaws here for {wanted} in: {chuck.tag} holds {named(chuck.outside_smallest)} to "
        f"{named(chuck.outside_largest)} in outside"
    )


def pressed_thin(job: Job, chuck: Piece) -> str:
    if not job.is_thin or chuck.jaws is None or chuck.jaws >= 6:
        return ""
    return (
        f"{chuck.jaws} jaws press a wall of {named(job.wall)} in out of round: six jaws, a plug in the bore or soft "
        "jaws hold it round"
    )
