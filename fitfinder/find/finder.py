"""What holds this stock: the ways to hold it, best first, or what to do where there is none.

The ways are those of the plan, asked for work of which no more is known than the stock.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from fitfinder.find.answer import Answer
from fitfinder.find.headlines import headline_of
from fitfinder.find.way_grips import Grip, grip_of
from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.collets import collet_choice, gaps, ranking
from fitfinder.holding.job import Job
from fitfinder.holding.ladder import ladder
from fitfinder.holding.method import Method
from fitfinder.holding.methods.collets import COLLET, first_choice
from fitfinder.holding.methods.jaws import unusable_chucks
from fitfinder.holding.pieces import Piece
from fitfinder.holding.preference import best_first
from fitfinder.holding.rules.cautions import DEFER
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Outcome, Verdict
from fitfinder.holding.way import HoldingMethod, Way
from fitfinder.holding.ways import WAYS
from inventory.measures.lengths import Length


def answer(stock: Stock, crib: PlanCrib, *, asked_tir: Length | None = None) -> Answer:
    """What of the crib holds the stock, best first; what to do where nothing does."""
    job = Job.of_stock(stock, runs_within=asked_tir)
    collets = COLLET.shortlist(job, crib)
    left_out = list(collets.left_out)
    in_collets = [grip_of(way) for way in collets.ways]
    left = [] if in_collets else best_first(COLLET.ways_after(collets, job, crib))
    in_place = [way for way in left if way.is_here][:1]
    blanks = [] if in_collets else _blanks(stock, crib, in_place)
    others = _without_collet(job, crib)
    without_collet = [grip_of(way) for way in (best_first([*in_place, *others]) if in_place and not blanks else others)]
    verdict = _outcome(in_collets, blanks, without_collet)
    if not in_collets:
        left_out += [collet_choice.chuck_left_out(chuck) for chuck in unusable_chucks(job, crib.crib.rig)]
    shown = tuple(_lead(collets.ways, in_collets, without_collet, asked_tir)) if in_collets else tuple(without_collet)
    is_held = verdict.is_held
    make_dos = COLLET.make_dos(job, crib)
    series = crib.crib.series
    seats_here = frozenset(entry.seat for entry in series if crib.routes.are_there(entry.seat, entry.is_drawn))
    draft = Answer(
        stock=stock,
        asked_tir=asked_tir,
        verdict=verdict,
        headline="",
        grips=shown,
        more=collets.more,
        left_out=tuple(left_out),
        details_missing=sum(1 for piece in crib.crib.rig if piece.lacks and piece.is_usable),
        make_dos=tuple(grip_of(way) for way in make_dos),
        nearest=() if is_held else tuple(collet_choice.nearest(stock, crib.crib.collets, crib.routes)),
        gap=None if is_held else gaps.find_gap(stock, series, seats_here, left_out, blanks),
        # What is not picked up cannot hurt: beside what holds for all, those of the way that leads.
        cautions=(*(shown[0].cautions if shown else ()), DEFER),
        blanks=tuple(blanks),
        fallbacks=tuple(without_collet) if in_collets else (),
        quicker=_quicker(in_collets, without_collet, asked_tir),
        wants=crib.wants,
        ladder=()
        if is_held
        else ladder(left_out=left_out, wants=crib.wants, ways=others, make_dos=make_dos, blanks=blanks),
    )
    # The sentence to act on may be about a piece that is not among the few that are told.
    return replace(draft, headline=headline_of(draft), left_out=draft.left_out[: ranking.MOST_LEFT_OUT])


def collets_for(stock: Stock, crib: PlanCrib) -> tuple[Way, ...]:
    """The collets that are sure to hold it, best first."""
    ways = COLLET.shortlist(Job.of_stock(stock), crib).ways
    return tuple(way for way in ways if way.collet is not None and way.collet.verdict is not Verdict.MEASURE_FIRST)


def _blanks(stock: Stock, crib: PlanCrib, in_place: Sequence[Way]) -> list[Piece]:
    """Those that can be bored to the stock, first the one that is bored in the best way by a collet that is left."""
    first = [way.hold.piece for way in in_place if way.hold is not None]
    blanks = crib.blanks(stock)
    return sorted(blanks, key=lambda blank: blank not in first)


def _without_collet(job: Job, crib: PlanCrib) -> list[Way]:
    """The ways that are all here, best first. What something speaks against is told where no other way will do."""
    ways_here = _ways_here(job, crib, are_opposed=False)
    plain = [way for way in best_first(ways_here) if not way.is_opposed]
    if not any(way.meets is not False for way in plain):
        plain = best_first([*ways_here, *_ways_here(job, crib, are_opposed=True)])
    # Each chuck and plate once, on the lathe that it serves best.
    once: dict[tuple[Method, Piece | None], Way] = {}
    for way in plain:
        once.setdefault((way.method, way.hold.piece if way.hold else None), way)
    return list(once.values())


def _ways_here(job: Job, crib: PlanCrib, *, are_opposed: bool) -> list[Way]:
    """By the methods that something speaks against whatever is here, or by the others."""
    methods = [method for method in WAYS if method is not COLLET and _is_opposed(method, job) is are_opposed]
    return [way for method in methods for way in method.ways(job, crib) if way.is_here]


def _is_opposed(method: HoldingMethod, job: Job) -> bool:
    return method.is_last_resort or method.against(job) is not None


def _outcome(in_collets: Sequence[Grip], blanks: Sequence[Piece], without_collet: Sequence[Grip]) -> Outcome:
    if in_collets:
        return Outcome(in_collets[0].verdict.value)
    if blanks:
        return Outcome.BLANK
    return Outcome.CHUCK if without_collet else Outcome.NOTHING


def _lead(ways: Sequence[Way], grips: list[Grip], fallbacks: list[Grip], asked: Length | None) -> list[Grip]:
    """The grips with the way in front that ought to lead.

    Where something speaks against every collet, as against one on hot rolled bar, another way leads. A way known to
    miss the asked TIR never leads where another does not: a collet that meets it does, else what is dialled in or kept
    between centers, else a chuck that meets it.
    """
    lead = grips[ways.index(first_choice(ways))]
    holding = [grip for grip in fallbacks if grip.verdict is Verdict.HOLDS and not grip.is_last_resort]
    if ways[0].but:
        other = next((grip for grip in holding if grip.meets_tir is not False), None)
    elif asked is None or lead.meets_tir:
        other = None
    else:
        true_enough = [grip for grip in holding if grip.meets_tir]
        other = min(true_enough, key=lambda grip: grip.method is Method.UNIVERSAL_CHUCK, default=None)
    return _first(other or lead, grips)


def _first(lead: Grip, grips: list[Grip]) -> list[Grip]:
    return [lead, *(grip for grip in grips if grip is not lead)]


def _quicker(grips: list[Grip], fallbacks: list[Grip], asked: Length | None) -> Grip | None:
    """A chuck that is on the lathe now while the leading collet's holder is not."""
    if not grips or grips[0].meets_tir is False or grips[0].chain.is_on:
        return None
    lathe = grips[0].chain.lathe
    return next(
        (
            grip
            for grip in fallbacks
            if grip.method is Method.UNIVERSAL_CHUCK
            and lathe is not None
            and grip.chain.lathe == lathe
            and grip.is_mounted
            and grip.verdict is Verdict.HOLDS
            and (asked is None or grip.meets_tir)
        ),
        None,
    )
