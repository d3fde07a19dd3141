"""What holds this stock: the ways to hold it, best first, or what to do where there is none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from fitfinder.find.answer import Answer
from fitfinder.find.cautions import cautions_of
from fitfinder.find.headlines import headline_of
from fitfinder.holding import center_grips as centers
from fitfinder.holding import chuck_grips as chucks
from fitfinder.holding import collet_choice, gaps, ranking
from fitfinder.holding.cautions import DEFER
from fitfinder.holding.grips import Grip
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import CribNow, Piece
from fitfinder.holding.routes import Routes, routes_of
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Outcome, Verdict
from inventory.measures.lengths import Length


def answer(stock: Stock, crib: CribNow, *, asked_tir: Length | None = None, routes: Routes | None = None) -> Answer:
    """What of the crib holds the stock, best first; what to do where nothing does. `routes` are those of this crib."""
    routes = routes or routes_of(crib)
    grips, left_out = collet_choice.collet_grips(stock, crib.collets, routes, asked=asked_tir)
    best, more = ranking.shortlist(grips)
    shortlist = _careful(best, crib)
    without_collet = _without_collet(stock, crib, asked_tir)
    blanks = [] if grips else gaps.usable_blanks(stock, crib.rig, crib.series, routes)
    verdict = _outcome(shortlist, blanks, without_collet)
    if not shortlist:
        left_out += [collet_choice.chuck_left_out(chuck) for chuck in chucks.unusable_chucks(stock, crib.rig)]
    shown = tuple(_lead(stock, shortlist, without_collet, asked_tir)) if shortlist else tuple(without_collet)
    is_held = verdict.is_held
    seats_here = frozenset(entry.seat for entry in crib.series if routes.are_there(entry.seat))
    draft = Answer(
        stock=stock,
        asked_tir=asked_tir,
        verdict=verdict,
        headline="",
        grips=shown,
        more=more,
        left_out=tuple(left_out),
        details_missing=sum(1 for piece in crib.rig if piece.lacks and piece.is_usable),
        make_dos=tuple(_careful(collet_choice.make_dos(stock, crib.collets, routes, asked=asked_tir), crib)),
        nearest=tuple(collet_choice.nearest(stock, crib.collets, routes)) if not is_held else (),
        gap=None if is_held else gaps.find_gap(stock, crib.series, seats_here, left_out, blanks),
        # What is not picked up cannot hurt: beside what holds for all, those of the way that leads.
        cautions=(*(shown[0].cautions if shown else ()), DEFER),
        blanks=tuple(blanks),
        fallbacks=tuple(without_collet) if shortlist else (),
        quicker=_quicker(shortlist, without_collet, asked_tir),
    )
    # The sentence to act on may be about a piece that is not among the few that are told.
    return replace(draft, headline=headline_of(draft), left_out=draft.left_out[: ranking.MOST_LEFT_OUT])


def _careful(grips: Iterable[Grip], crib: CribNow) -> list[Grip]:
    """The grips, each with its cautions."""
    mounted = [piece for piece in crib.rig if piece.mounted_on is not None]
    return [replace(grip, cautions=cautions_of(grip, mounted)) for grip in grips]


def _without_collet(stock: Stock, crib: CribNow, asked: Length | None) -> list[Grip]:
    """The best way by each chuck, and work between centers, best first."""
    by_chucks = _ranked(stock, chucks.chuck_grips(stock, crib.rig, crib.lathes, asked=asked), asked)
    best = {grip.piece.id: grip for grip in reversed(by_chucks)}
    by_centers = centers.between_centers(stock, crib.rig, crib.lathes, asked=asked)
    return _careful(_ranked(stock, [*best.values(), *by_centers], asked), crib)


def _ranked(stock: Stock, grips: Iterable[Grip], asked: Length | None) -> list[Grip]:
    return ranking.best_first(grips, middle_nm=stock.band.middle_nm, asked=asked is not None)


def _outcome(grips: Sequence[Grip], blanks: Sequence[Piece], without_collet: Sequence[Grip]) -> Outcome:
    if grips:
        return Outcome(grips[0].verdict.value)
    if blanks:
        return Outcome.BLANK
    return Outcome.CHUCK if without_collet else Outcome.NOTHING


def _lead(stock: Stock, grips: list[Grip], fallbacks: list[Grip], asked: Length | None) -> list[Grip]:
    """The grips with the way in front that ought to lead.

    Hot rolled bar is led to a chuck. A way known to miss the asked TIR never leads where another does not: a collet
    that meets it does, else what is dialled in or kept between centers, else a chuck that meets it.
    """
    if stock.is_rough:
        chuck = next(
            (grip for grip in fallbacks if grip.verdict is Verdict.HOLDS and grip.meets_tir is not False), None
        )
        return _first(chuck, grips)
    if asked is None or grips[0].meets_tir is True:
        return grips
    sure = [grip for grip in grips if grip.verdict is not Verdict.MEASURE_FIRST]
    meeting = [grip for grip in fallbacks if grip.meets_tir and grip.verdict is Verdict.HOLDS]
    meeting.sort(key=lambda grip: grip.method is Method.UNIVERSAL_CHUCK)
    choices = [grip for grip in sure if grip.meets_tir] + meeting
    if grips[0].meets_tir is False:
        choices += [grip for grip in sure if grip.meets_tir is None]
    return _first(choices[0] if choices else None, grips)


def _first(lead: Grip | None, grips: list[Grip]) -> list[Grip]:
    return grips if lead is None else [lead, *(grip for grip in grips if grip is not lead)]


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
