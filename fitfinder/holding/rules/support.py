"""What holds up work that is long for its thickness, and in which order it is set up.

A center holds up an end that has a hole for it; a steady, fixed on the bed, an end that is free; a follow rest, on the
saddle, a shaft behind the tool. Common practice, and two shop treatises of long ago.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from fractions import Fraction

from msgspec import Struct

from fitfinder.arithmetic.bending import Held
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Missing
from fitfinder.holding.job import Job, WorkShape, in_tenths
from fitfinder.holding.mechanics import bending
from fitfinder.holding.parts import NO_PARTS, Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import CENTER_KINDS, Piece
from fitfinder.holding.rules import center_load, grip_length
from fitfinder.holding.rules.center_drilling import (
    center_drill,
    drill_chuck,
    drilled_with,
    hole_in,
    passes_spindle,
    short_out,
    too_thin,
)
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.rules.rests import along_it, by_a_steady, minutes_of, rest_of, to_the_free_end
from fitfinder.holding.seats import away, takes_bore
from inventory.measures import amounts
from inventory.measures.length_words import in_unit, measured, runout_text
from inventory.measures.lengths import Length
from inventory.reference import practice
from inventory.reference.center_drills import CenterHole
from inventory.reference.kinds import Kind

WORTH_A_WORD = Length.inches("0.001")
"""How much too large a diameter comes out before it is told where no TIR is asked: common practice, no source."""

_OF_THE_TIR = 10
"""A tenth of the TIR that is asked is not worth a word either."""

STICK_OUT_NOT_TOLD = Reason("how far it stands out is not given, so that is not checked")
LENGTH_NOT_TOLD = Reason("the length is not given, so the stick-out is not checked")


class Support(Struct, frozen=True, kw_only=True, gc=False):
    """`first` is done before the work is gripped, `then` after it."""

    first: Parts = NO_PARTS
    then: Parts = NO_PARTS

    @property
    def is_any(self) -> bool:
        """Whether something holds it up, here or missing."""
        return bool(self._all.pieces or self._all.missing)

    @property
    def has_center(self) -> bool:
        """Whether a center holds it up, or should."""
        centers = CENTER_KINDS | {Kind.BULL_NOSE_CENTER}
        return bool(self._all.missing) or any(piece.kind in centers for piece in self._all.pieces)

    @property
    def _all(self) -> Parts:
        return self.first + self.then


def at_one_end(job: Job, here: CribAtLathe, pieces: Iterable[Piece]) -> Support:
    """For work that is gripped at one end by what these pieces lead to."""
    out = job.diameters_out
    if out is None:
        return Support(then=Parts(reasons=(STICK_OUT_NOT_TOLD if job.is_fed else LENGTH_NOT_TOLD,)))
    if out <= practice.stick_out("chuck or collet").most:
        return Support(then=_bends(job, Held.FREE_END))
    words = f"stands out {job.thicknesses(out)}"
    if job.is_fed:
        return Support(then=by_a_steady(job, here, words))
    return _with_center(job, here, tuple(pieces), words)


def with_center_for_a_short_grip(support: Support, job: Job, here: CribAtLathe, pieces: Iterable[Piece]) -> Support:
    """With a center where nothing holds up work yet that is gripped too short to stand out freely, and one is here."""
    if support.is_any or job.is_fed or not grip_length.is_thrown(job):
        return support
    out = job.stands_out or Length(0)
    supported = _with_center(
        job, here, tuple(pieces), f"{in_unit(job.gripped)} of grip for {in_unit(out)} standing out"
    )
    return supported if supported.then.pieces and not supported.then.missing else support


def at_both_ends(job: Job, here: CribAtLathe) -> Parts:
    """For work between centers: a rest above so many diameters, and a word of care on the way there."""
    slender, limit = job.slenderness, practice.stick_out("between centers")
    if slender is None:
        return NO_PARTS
    if slender <= limit.most:
        return _bends(job, Held.CENTERS)
    words = f"{in_tenths(slender)} times as long as it is thick"
    if slender > limit.limit:
        return along_it(job, here, words)
    light = Reason(f"{words}: take light cuts, or set a follow rest")
    return Parts(reasons=(light,)) + _bends(job, Held.CENTERS)


def tailstock_center(
    here: CribAtLathe, *, bore: Length | None = None, but: Collection[Piece] = (), each: Fraction | None = None
) -> tuple[Piece, ...] | Missing:
    """The center for this tailstock after the sleeves that it needs, or what is missing. With a `bore` it is one that
    carries a tube by it; `but` are pieces that are used elsewhere already; `each` are the pounds on it, for which one
    is rated before another that is not."""
    lathe = here.lathe
    if lathe is None or lathe.tailstock_taper is None:
        return Missing(f"the tailstock taper of {lathe.name if lathe else 'the lathe'} is not described")
    seat = lathe.tailstock_taper.code
    if bore is not None:
        fitting = [piece for piece in here.of_kind(Kind.BULL_NOSE_CENTER) if takes_bore(piece, bore)]
        want = f"no bull-nose center for a bore of {in_unit(bore)}"
    else:
        fitting, want = here.of_kind(*CENTER_KINDS), "no center"
    known = [piece for piece in fitting if piece.mounts_in and piece not in but]
    seated = [piece for piece in known if piece.mounts_in and piece.mounts_in.code == seat]
    free = [piece for piece in seated if here.is_free(piece)]
    center = _live_first(here, [piece for piece in free if center_load.carries(piece, each)] or free)
    if center is not None:
        return (center,)
    if sleeved := _sleeved(known, seat, here, but):
        return sleeved
    why = f"{want} for the {seat} tailstock of {lathe.name}"
    lacking = _without_sleeve(known, seat, here) if not away(seated) else None
    return Missing(f"{why}: {lacking}") if lacking else Missing(why, away(seated))


def lubricated(center: Piece) -> SetupStep:
    """What a center that does not turn wants."""
    return SetupStep(f"Put lubricant on {center.tag}, and look at it again once it is warm.", (center,), Act.LUBRICATE)


def _live_first(here: CribAtLathe, centers: Iterable[Piece]) -> Piece | None:
    return min(centers, key=lambda piece: (piece.kind != Kind.LIVE_CENTER, here.preference(piece)), default=None)


def _sleeved(known: list[Piece], seat: str, here: CribAtLathe, but: Collection[Piece]) -> tuple[Piece, ...]:
    """The best center that goes in by sleeves, after them; empty where there is none."""
    ways = {}
    for piece in known:
        sleeves = here.sleeves_to(piece, seat)
        if here.is_free(piece) and not isinstance(sleeves, Missing) and not set(sleeves) & set(but):
            ways[piece] = sleeves
    center = _live_first(here, ways)
    return (*ways[center], center) if center is not None else ()


def _without_sleeve(known: list[Piece], seat: str, here: CribAtLathe) -> Missing | None:
    """The sleeve that the first of these centers lacks."""
    for piece in known:
        sleeves = here.sleeves_to(piece, seat)
        if piece.is_usable and isinstance(sleeves, Missing):
            return sleeves.wanted_by(piece)
    return None


def _with_center(job: Job, here: CribAtLathe, pieces: tuple[Piece, ...], words: str) -> Support:
    """A center at its end, with a rest along it where it is longer than a center holds up."""
    is_drilled = job.shape is not WorkShape.TUBE
    if is_drilled and hole_in(job.thickness) is None:
        return _too_thin_to_drill(job, here, words)
    each = center_load.on_each_end(job, here.lathe)
    tail = tailstock_center(here, bore=None if is_drilled else job.bore, each=each)
    if isinstance(tail, Missing):
        # Where no center is to be had a steady near the end does, and for a tube on its outside.
        near_its_end = by_a_steady(job, here, words)
        return Support(then=Parts(missing=(tail,)) if near_its_end.missing else near_its_end)
    is_slender = job.diameters_out is not None and job.diameters_out > _alone().limit
    along = along_it(job, here, words) if is_slender else _bends(job, Held.CHUCK_AND_CENTER)
    center = Parts(pieces=tail, reasons=(Reason(f"{words}: a tailstock center holds it up"),))
    center += center_load.of_the_work(tail[-1], each)
    if not is_drilled:
        return Support(then=center + Parts(steps=_brought_up(tail[-1])) + along)
    hole = hole_in(job.thickness)
    drill = drill_chuck(here, hole) + Parts(effort=Effort(per_part=here.minutes.of("center drilled")))
    center += center_drill(here, hole)
    if passes_spindle(job, here, pieces):
        then = center + drill + Parts(steps=_drilled_in_the_spindle(job, hole, drill, tail[-1])) + along
        return Support(first=_slid_in(job), then=then)
    steady = rest_of(job, here, Kind.STEADY_REST)
    if isinstance(steady, Missing):
        on_the_bench = Effort(per_part=here.minutes.of("center laid out and drilled on the bench"))
        return Support(first=_on_the_bench(hole, tail[-1]), then=center + Parts(effort=on_the_bench) + along)
    by_it = _by_the_steady(job, here, steady, hole, drill, tail[-1])
    return Support(then=center + drill + by_it + _moved_away(steady, along) + along)


def _too_thin_to_drill(job: Job, here: CribAtLathe, words: str) -> Support:
    """No center holds up what takes no hole: a steady does, or it stands out as little as it may freely."""
    by_steady = by_a_steady(job, here, words)
    if not by_steady.missing:
        return Support(then=by_steady)
    return Support(then=Parts(reasons=(Reason(f"{words}, and {too_thin(job)}"),)))


def _slid_in(job: Job) -> Parts:
    return Parts(steps=(SetupStep(f"Slide it into the spindle until {in_unit(short_out(job))} or less stand out."),))


def _drilled_in_the_spindle(job: Job, hole: CenterHole | None, drill: Parts, center: Piece) -> tuple[SetupStep, ...]:
    out = f"{in_unit(job.stands_out)}" if job.stands_out is not None else "its length"
    return (
        SetupStep(f"Face the end and center-drill it{drilled_with(hole)}.", drill.pieces, Act.CENTER_DRILL),
        SetupStep(f"Loosen it, slide it out to {out}, and grip it again as truly as before."),
        *_brought_up(center),
    )


def _by_the_steady(
    job: Job, here: CribAtLathe, steady: Piece, hole: CenterHole | None, drill: Parts, center: Piece
) -> Parts:
    steps = (
        *to_the_free_end(job, steady),
        SetupStep(
            f"Face the end and center-drill it{drilled_with(hole)}, at low speed, close to the steady.",
            drill.pieces,
            Act.CENTER_DRILL,
        ),
        *_brought_up(center),
    )
    return Parts(pieces=(steady,), steps=steps, effort=minutes_of(steady, here))


def _moved_away(steady: Piece, along: Parts) -> Parts:
    """The steady has done its work once the center is up, where it is not used along the work."""
    if steady in along.pieces:
        return NO_PARTS
    return Parts(steps=(SetupStep(f"Take {steady.tag} away.", (steady,)),))


def _on_the_bench(hole: CenterHole | None, center: Piece) -> Parts:
    """Without a steady nothing is drilled that overhangs, however thick it is."""
    bench = f"Before it is gripped: lay out its center and drill it{drilled_with(hole)}, on the bench or a drill press."
    first, *others = _brought_up(center)
    return Parts(
        steps=(
            SetupStep(bench, act=Act.CENTER_DRILL),
            SetupStep(f"{first.do} Center first, what grips it second.", first.uses, first.act),
            *others,
        )
    )


def _brought_up(center: Piece) -> tuple[SetupStep, ...]:
    words = f"Put {center.tag} in the tailstock and bring it up without play and without force"
    up = SetupStep(f"{words}; an indicator at the jaws shows whether it bends.", (center,), Act.SEAT)
    is_live = center.kind in (Kind.LIVE_CENTER, Kind.BULL_NOSE_CENTER)
    return (up,) if is_live else (up, lubricated(center))


def _alone() -> practice.WorkingNumber:
    """The diameters that chuck and center hold without a rest."""
    return practice.stick_out("chuck and tailstock center")


def _bends(job: Job, held: Held) -> Parts:
    """What the cut makes of the diameter, beside what may be off: where it is asked how true, or where it is much."""
    free = job.length if held is Held.CENTERS else job.stands_out
    given = bending.gives_way(job, free, held) if free is not None else None
    if given is None or given * 2 < (WORTH_A_WORD if job.tir is None else Length(job.tir.nm // _OF_THE_TIR)):
        return NO_PARTS
    force, wrong = round(bending.cutting_force(job)), given * 2
    asked = f", and {runout_text(job.tir)} TIR is asked" if job.tir is not None else ""
    words = (
        f"a cut of {amounts.force(force)} bends it by {measured(given)}: its diameter comes out {measured(wrong)} large"
    )
    return Parts(reasons=(Reason(f"{words}{asked}", needs=wrong, has=job.tir),))
