"""A collet: what the finder answers, a blank that is bored in place, a bored one opened further, or a step collet
turned to the work."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import NamedTuple

from msgspec.structs import replace

from fitfinder.holding import runout
from fitfinder.holding.assembly import held, incomplete
from fitfinder.holding.at_lathe import CribAtLathe, PlanCrib
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.collets import collet_choice, gaps, ranking
from fitfinder.holding.collets.collet_choice import LeftOut
from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.collets.gaps import bore_for, fitting_blanks
from fitfinder.holding.job import Job, WorkShape
from fitfinder.holding.method import Method
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import ColletOnHand, Piece
from fitfinder.holding.rules import limits
from fitfinder.holding.rules.efforts import NO_EFFORT, Effort
from fitfinder.holding.rules.truth import Regrip, trued
from fitfinder.holding.verdicts import Reach, Verdict
from fitfinder.holding.way import Hold, HoldingMethod, Way
from inventory.measures.length_words import in_unit, nominal, size_of_work, span_of_sizes
from inventory.measures.lengths import Length
from inventory.reference import holding
from inventory.reference.kinds import Kind


class Shortlist(NamedTuple):
    """The collets that hold a job, those that lack something beside them or are gripped too short, how many more hold
    it, and those that would and cannot be used now."""

    ways: tuple[Way, ...] = ()
    lacking: tuple[Way, ...] = ()
    more: int = 0
    left_out: tuple[LeftOut, ...] = ()


class Collet(HoldingMethod):
    name = Method.COLLET

    def why_not(self, job: Job, here: CribAtLathe) -> Reason | None:
        if why := limits.on_a_face(job, here.lathe):
            return why
        if job.is_irregular:
            return Reason("a collet holds smooth, even stock only")
        if job.shape is WorkShape.FLAT:
            return Reason("no collet has a hole for flat bar")
        return Reason("a collet holds on the axis: no throw") if job.throw is not None else None

    def ways(self, job: Job, crib: PlanCrib) -> list[Way]:
        """By the best of all collets on all lathes; where none is all here, what there is at each."""
        return self.ways_after(self.shortlist(job, crib), job, crib)

    def ways_after(self, shortlist: Shortlist, job: Job, crib: PlanCrib) -> list[Way]:
        """The same where the shortlist of the job is known already."""
        if shortlist.ways:
            return [first_choice(shortlist.ways)]
        others = super().ways(job, crib)
        return [*shortlist.lacking, *(way for way in others if way.is_here)] if shortlist.lacking else others

    def shortlist(self, job: Job, crib: PlanCrib) -> Shortlist:
        """The collets that hold the job now, best first, cut to what is told."""
        able = [here.lathe for here in crib.by_lathe if self.why_not(job, here) is None]
        if not able:
            return Shortlist()
        routes = crib.routes if len(able) == len(crib.by_lathe) else crib.routes.on(*able)
        grips, left_out = collet_choice.collet_grips(job.stock, crib.crib.collets, routes, asked=job.runs_within)
        ways: dict[ColletOnHand, Way] = {}
        while True:
            best, more = ranking.shortlist(
                [grip for grip in grips if grip.piece not in ways or ways[grip.piece].is_here]
            )
            if all(grip.piece in ways for grip in best):
                break
            ways |= {grip.piece: self._of(job, crib, grip) for grip in best if grip.piece not in ways}
        lacking = {piece: way for piece, way in ways.items() if not way.is_here}
        left_out += [collet_choice.without(piece, _lacking(way)) for piece, way in lacking.items()]
        ways_listed = sorted((ways[grip.piece] for grip in best), key=lambda way: bool(way.but))
        return Shortlist(tuple(ways_listed), tuple(lacking.values()), more, tuple(left_out))

    def make_dos(self, job: Job, crib: PlanCrib) -> tuple[Way, ...]:
        """Round collets that hold flats by their corners, best first."""
        grips = collet_choice.make_dos(job.stock, crib.crib.collets, crib.routes, asked=job.runs_within)
        ways = [self._of(job, crib, grip) for grip in grips]
        return tuple(way for way in ways if way.is_here)[: ranking.MOST_MAKE_DOS]

    def ways_by(self, collets: Iterable[ColletOnHand], job: Job, crib: PlanCrib) -> list[Way]:
        """The ways by just these collets that are all here, best first and uncut."""
        if all(self.why_not(job, here) is not None for here in crib.by_lathe):
            return []
        grips, _ = collet_choice.collet_grips(job.stock, collets, crib.routes, asked=None)
        return [way for grip in grips if (way := self._of(job, crib, grip)).is_here]

    def way_by_blank(self, blank: Piece, job: Job, here: CribAtLathe) -> Way:
        """The way by this blank, bored to the job."""
        return _in_blank(Way(by=self, job=job, lathe=here.lathe), here, blank)

    def _of(self, job: Job, crib: PlanCrib, grip: ColletGrip) -> Way:
        here = crib.at(grip.chain.lathe)
        return _in_collet(Way(by=self, job=job, lathe=here.lathe), here, grip)

    def hold(self, start: Way, here: CribAtLathe) -> Way:
        """Where no collet is all here: a blank, one that is opened further, a step collet, or what is missing."""
        blanks = here.blanks(start.job.stock)
        if blanks:
            way = _in_blank(start, here, blanks[0])
            return replace(way, reasons=(*_to_fetch(start, here), *way.reasons)) if way.can else way
        return _opened(start, here) or _stepped(start, here) or _none(start, here)


COLLET = Collet()


def _to_fetch(start: Way, here: CribAtLathe) -> list[Reason]:
    """Whom to ask before a blank is bored."""
    lent = next((item for item in _left_out(start, here) if item.is_lent), None)
    return [Reason(f"before a blank is bored: {lent.sentence}")] if lent is not None else []


def _left_out(start: Way, here: CribAtLathe) -> list[LeftOut]:
    return collet_choice.collet_grips(start.job.stock, here.crib.collets, here.routes, asked=None)[1]


def first_choice(ways: Sequence[Way]) -> Way:
    """Of the collets that hold a job, best first, the one to take: where the first is not known to meet the TIR that
    is asked, one that is sure to hold and meets it; else, where the first misses it, one of which that is open."""
    first = ways[0]
    if first.job.runs_within is None or first.meets:
        return first
    sure = [way for way in ways if way.collet is not None and way.collet.verdict is not Verdict.MEASURE_FIRST]
    wanted = (True, None) if first.meets is False else (True,)
    return next((way for meets in wanted for way in sure if way.meets is meets), first)


def _lacking(way: Way) -> Sequence[Reason | Missing]:
    return (way.why_not,) if way.why_not is not None else way.missing


def _none(start: Way, here: CribAtLathe) -> Way:
    stock, series = start.job.stock, here.crib.series
    left_out = _left_out(start, here)
    seats_here = {entry.seat for entry in series if here.routes.are_there(entry.seat, entry.is_drawn)}
    gap = gaps.find_gap(stock, series, seats_here, left_out, ())
    if left_out:
        first = min(left_out, key=lambda item: not item.is_lent)
        missing = Missing(first.sentence, lent=first.out if first.is_lent else None)
    elif gap is not None:
        missing = Missing(f"a {nominal(gap.size)} {gap.shape} {gap.series} collet: {gap.why}")
    else:
        return start.refused(Reason(f"no size of a series on file holds {start.job.read_as.partition(',')[0]}"))
    run = trued("a collet in its closer", "collet in a closer")
    return incomplete(start, here, missing, run, Regrip.ADDS, _changing(here))


def _changing(here: CribAtLathe, chain: Chain | None = None) -> Effort:
    """Putting a collet in, and each part into it: a closer is thrown over, a nut or a drawbar is wrenched."""
    is_wrenched = chain is not None and any(link.kind in (Kind.COLLET_CHUCK, Kind.DRAWBAR) for link in chain.links)
    closing = here.minutes.of("collet, closed by a nut or a drawbar" if is_wrenched else "collet")
    return Effort(set_up=here.minutes.of("collet change"), per_part=closing)


def _closer(chain: Chain, here: CribAtLathe) -> Effort:
    """Fitting the closer: nothing where all that leads to the collet is on the lathe."""
    return NO_EFFORT if chain.is_on else Effort(fit=here.minutes.of("closer fit"))


def _boring(here: CribAtLathe) -> Effort:
    return Effort(set_up=here.minutes.of("machinable collet bored"))


def _in_collet(start: Way, here: CribAtLathe, grip: ColletGrip) -> Way:
    job, run = start.job, grip.runout
    if not grip.in_true_zone:
        # What is marked is not promised here: what the links before it add is still known.
        outside = runout.Part(f"{grip.piece.tag} outside its true zone", None, runout.UNKNOWN)
        run = runout.Runout.of(*run.parts[:-1], outside)
    reasons = [Reason(f"{grip.name}: {grip.verdict.value}"), *map(Reason, grip.reasons)]
    if job.thin_wall is not None:
        reasons.append(Reason(f"a wall of {in_unit(job.thin_wall)} is thin: a plug in the bore keeps it round"))
    stop = _stop_for(job, here, grip)
    parts = Parts(
        pieces=(stop,) if stop is not None else (),
        reasons=tuple(reasons),
        steps=(
            SetupStep(
                "Wipe the collet, its seat and the bar; put the bar in before you close it.", (grip.piece,), Act.GRIP
            ),
            _stopped(stop),
        ),
        effort=_closer(grip.chain, here) + _changing(here, grip.chain),
    )
    start = replace(start, collet=grip)
    hold = Hold(piece=grip.piece, chain=grip.chain, reach=grip.reach, band=grip.held)
    way = held(start, here, hold, parts, variant=grip.name, run=run, regrip=Regrip.ADDS, but=[_rough(job)])
    if way.can and grip.verdict is Verdict.MEASURE_FIRST:
        return replace(way, doubts=(Reason("mic the bar first: some of such bars fit, some do not"), *way.doubts))
    return way


def _stop_for(job: Job, here: CribAtLathe, grip: ColletGrip) -> Piece | None:
    """What sets each part of a lot to one length, where the shop keeps a stop for this collet or this spindle."""
    if job.parts == 1:
        return None
    taper = here.lathe.headstock_taper if here.lathe is not None else None
    seats = {grip.size.seat.upper(), grip.piece.tag.upper(), taper.code.upper() if taper is not None else ""}
    return here.best(stop for stop in here.of_kind(Kind.STOP) if stop.is_usable and stop.fits & seats)


def _stopped(stop: Piece | None) -> SetupStep:
    words = "A stop in the collet moves with the draw-in; a stop in the spindle does not."
    return SetupStep(words) if stop is None else SetupStep(f"Set the stop {stop.tag}. {words}", (stop,))


def _rough(job: Job) -> Reason | None:
    return Reason("rough bar is scaled and out of round: jaws first") if job.stock.is_rough else None


def _in_blank(start: Way, here: CribAtLathe, blank: Piece, *, but: Iterable[Reason] = ()) -> Way:
    chain = here.chain_to(blank)
    run = trued("bored in place", "machinable collet")
    effort = _boring(here) + _changing(here, chain if isinstance(chain, Chain) else None)
    if isinstance(chain, Missing):
        return incomplete(start, here, chain, run, Regrip.ADDS, effort)
    bore = bore_for(start.job.stock)
    size = _with_unit(bore)
    parts = Parts(
        reasons=(
            Reason(f"no collet here holds it; {blank.tag} can be bored to {size}"),
            Reason("a bore can only be opened: it serves this size and larger ones after"),
        ),
        steps=(_opened_in_place(blank, f"bore it in place to {size}"),),
        effort=_closer(chain, here) + effort,
    )
    hold = Hold(piece=blank, chain=chain, reach=Reach(smallest=bore, largest=bore))
    variant = f"{blank.tag} bored to {size}"
    return held(start, here, hold, parts, variant=variant, run=run, regrip=Regrip.ADDS, but=but)


def _opened(start: Way, here: CribAtLathe) -> Way | None:
    """A blank that is bored already and can be opened to this bore: the largest bore first."""
    blanks = fitting_blanks(start.job.stock, here.bored, here.crib.series)
    blank = next((one for one in blanks if here.is_within_reach(one) and isinstance(here.chain_to(one), Chain)), None)
    if blank is None or blank.pilot is None:
        return None
    now = _with_unit(blank.pilot)
    ask = Reason(f"{blank.tag} is bored to {now} now, for other work perhaps: ask first, a bore never closes again")
    return _in_blank(start, here, blank, but=[ask])


def _stepped(start: Way, here: CribAtLathe) -> Way | None:
    """A step collet whose step takes the size; it is short, and its step is turned in place as a blank is bored."""
    job = start.job
    steps = {piece: reach for piece in here.of_kind(Kind.STEP_COLLET) if (reach := _step_for(job, piece)) is not None}
    if not steps or job.shape not in (WorkShape.ROUND, WorkShape.TUBE):
        return None
    if job.is_fed:
        return start.refused(
            Reason("no collet here passes it: a step collet holds short work, and no bar goes through")
        )
    run = trued("turned in place", "machinable collet")
    effort = _boring(here) + _changing(here)
    chains = here.chains_to(steps)
    piece = here.best(chains)
    if piece is None:
        return incomplete(start, here, _unreached(steps, here), run, Regrip.ADDS, effort)
    reach, size = steps[piece], _with_unit(bore_for(job.stock))
    parts = Parts(
        reasons=(Reason(f"{piece.tag} takes {span_of_sizes(reach.smallest, reach.largest)} on its step"),),
        steps=(
            SetupStep(f"Look at what the step of {piece.tag} is turned to now: it can only be opened.", (piece,)),
            _opened_in_place(piece, f"turn the step in place to {size}"),
        ),
        effort=_closer(chains[piece], here) + effort,
    )
    hold = Hold(piece=piece, chain=chains[piece], reach=reach)
    variant = f"step collet {piece.tag}, step at {size}"
    return held(start, here, hold, parts, variant=variant, run=run, regrip=Regrip.ADDS, but=[_shallow(job, piece)])


def _step_for(job: Job, piece: Piece) -> Reach | None:
    """What the step of this piece takes, where it takes the work."""
    low, high, band = piece.outside_smallest, piece.outside_largest, job.stock.band
    if low is None or high is None or not (low <= band.smallest and band.largest <= high):
        return None
    return Reach(smallest=low, largest=high)


def _unreached(steps: Iterable[Piece], here: CribAtLathe) -> Missing:
    """What is in the way of the first that can be used; where none can, why."""
    for piece in steps:
        if piece.is_usable and isinstance(missing := here.chain_to(piece), Missing):
            return missing
    return Missing("", tuple(steps))


def _opened_in_place(piece: Piece, cut: str) -> SetupStep:
    return SetupStep(f"Close {piece.tag} on its pins and {cut}, then deburr the slots.", (piece,))


def _shallow(job: Job, piece: Piece) -> Reason | None:
    """The step is all the grip there is; it wants a third of what stands out, as any grip without a center."""
    depth = piece.step_depth
    if depth is None:
        return Reason(f"how deep the step of {piece.tag} is, is not filled in: it is for short work")
    if job.length is None or job.length <= depth:
        return None
    out = job.length - depth
    if Fraction(depth.nm) >= holding.value("grip.share_of_stickout") * out.nm:
        return None
    return Reason(f"its step is {in_unit(depth)} deep, short for {in_unit(out)} standing out", needs=out, has=depth)


def _with_unit(bore: Length) -> str:
    return size_of_work(bore)
