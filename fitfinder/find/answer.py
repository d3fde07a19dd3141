"""The answer to “what holds this stock?”: one frozen object that page, JSON and command only render."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from fitfinder.find import collets, gaps, ranking
from fitfinder.find.collets import LeftOut, Nearest
from fitfinder.find.gaps import Gap
from fitfinder.find.headlines import headline_of
from fitfinder.find.ways import Ways
from fitfinder.holding import cautions
from fitfinder.holding.cautions import Caution
from fitfinder.holding.grips import Grip
from fitfinder.holding.methods import centers, chucks
from fitfinder.holding.pieces import CribNow, Piece
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Verdict
from inventory.measures.lengths import Length, parse

NEAR = parse("1/4")
"""A size that misses by more is no help to a person (our own judgement, no source)."""


class Answer(Struct, frozen=True, kw_only=True, gc=False):
    """Everything that is said in reply to one question. `verdict` is that of the best usable collet, or `blank`,
    `chuck`, `nothing`. `quicker` is a way that is on the lathe already, `parts` the number up to which it is quicker.
    """

    stock: Stock
    asked_tir: Length | None
    verdict: str
    headline: str
    grips: tuple[Grip, ...]
    more: int
    left_out: tuple[LeftOut, ...]
    details_missing: int
    make_dos: tuple[Grip, ...]
    nearest: tuple[Nearest, ...]
    gap: Gap | None
    cautions: tuple[Caution, ...]
    blanks: tuple[Piece, ...] = ()
    fallbacks: tuple[Grip, ...] = ()
    quicker: Grip | None = None

    @property
    def bore_to(self) -> Length:
        """What a blank is bored to for this stock."""
        return gaps.bore_for(self.stock)

    @property
    def is_held(self) -> bool:
        """Whether a collet holds it, clear of its limits or at one."""
        return self.verdict in (Verdict.HOLDS, Verdict.AT_THE_LIMIT)

    @property
    def near_enough(self) -> tuple[Nearest, ...]:
        """The nearest sizes that a person is told of: those that miss by little; where none does, the one nearest."""
        return tuple(near for near in self.nearest if abs(near.misses_by) <= NEAR) or self.nearest[:1]

    @property
    def is_satisfying(self) -> bool:
        """Whether a collet holds it and, where a TIR was asked, is not known to miss it."""
        return self.is_held and self.grips[0].meets_tir is not False


def answer(stock: Stock, crib: CribNow, *, asked_tir: Length | None = None, ways: Ways | None = None) -> Answer:
    """What of the crib holds the stock, best first; what to do where nothing does. `ways` are those of this crib."""
    ways = ways or Ways(crib.rig, crib.lathes)
    sizes = collets.by_size(crib.collets)
    grips, left_out = collets.collet_grips(stock, sizes, ways, asked=asked_tir)
    shortlist, more = ranking.shortlist(grips)
    shortlist = _careful(shortlist, ways)
    dialled = _fallbacks(stock, ways, asked_tir)
    blanks = [] if grips else gaps.fitting_blanks(stock, crib.rig, crib.series)
    blanks = [piece for piece in blanks if ways.are_there(piece.mounts_in.code)]
    verdict = _verdict(shortlist, blanks, dialled)
    if not shortlist:
        left_out += _chucks_left_out(stock, crib)
    shown = tuple(_lead(stock, shortlist, dialled, asked_tir)) if shortlist else tuple(dialled)
    held = verdict in (Verdict.HOLDS, Verdict.AT_THE_LIMIT)
    gap = None if held else gaps.find_gap(stock, crib.series, _seats_here(crib, ways), left_out, blanks)
    draft = Answer(
        stock=stock,
        asked_tir=asked_tir,
        verdict=verdict,
        headline="",
        grips=shown,
        more=more,
        left_out=tuple(left_out),
        details_missing=sum(1 for piece in crib.rig if piece.lacks and piece.is_usable),
        make_dos=tuple(_careful(collets.make_dos(stock, sizes, ways, asked=asked_tir), ways)),
        nearest=tuple(collets.nearest(stock, sizes, ways)) if not held else (),
        gap=gap,
        cautions=(*_answer_cautions(shown), cautions.DEFER),
        blanks=tuple(blanks),
        fallbacks=tuple(dialled) if shortlist else (),
        quicker=_quicker(shortlist, dialled, asked_tir),
    )
    # The sentence to act on may be about a piece that is not among the few that are told.
    return replace(draft, headline=headline_of(draft), left_out=draft.left_out[: ranking.MOST_LEFT_OUT])


def _careful(grips: Iterable[Grip], ways: Ways) -> list[Grip]:
    """The grips, each with its cautions."""
    return [replace(grip, cautions=cautions.for_grip(grip, rig=ways.heavy)) for grip in grips]


def _chucks_left_out(stock: Stock, crib: CribNow) -> list[LeftOut]:
    """Chucks that would hold it and are out, damaged or missing."""
    fitting = chucks.fitting_chucks(stock, crib.rig)
    return [collets.piece_left_out(piece, piece.why_not) for piece in fitting if not piece.is_usable]


def _ranked(stock: Stock, grips: Iterable[Grip], asked: Length | None) -> list[Grip]:
    return ranking.best_first(grips, middle_nm=stock.band.middle_nm, asked=asked is not None)


def _fallbacks(stock: Stock, ways: Ways, asked: Length | None) -> list[Grip]:
    grips = chucks.chuck_grips(stock, ways.chucks, asked=asked)
    grips = _best_of_each(_ranked(stock, grips, asked))
    grips += centers.between_centers(stock, ways.centers, asked=asked)
    return _careful(_ranked(stock, grips, asked), ways)


def _best_of_each(grips: list[Grip]) -> list[Grip]:
    return list({grip.piece.id: grip for grip in reversed(grips)}.values())[::-1]


def _verdict(grips, blanks, dialled) -> str:
    if grips:
        return grips[0].verdict.value
    if blanks:
        return "blank"
    return "chuck" if dialled else "nothing"


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
    meeting.sort(key=lambda grip: grip.method == "universal chuck")
    choices = [grip for grip in sure if grip.meets_tir] + meeting
    if grips[0].meets_tir is False:
        choices += [grip for grip in sure if grip.meets_tir is None]
    return _first(choices[0] if choices else None, grips)


def _first(lead: Grip | None, grips: list[Grip]) -> list[Grip]:
    return grips if lead is None else [lead, *(grip for grip in grips if grip is not lead)]


def _quicker(grips: list[Grip], fallbacks: list[Grip], asked: Length | None) -> Grip | None:
    """A chuck that is on the lathe now while the leading collet's holder is not."""
    if not grips or grips[0].chain.lathe is None or grips[0].meets_tir is False:
        return None
    lead = grips[0]
    if lead.chain.is_on:
        return None
    return next(
        (
            grip
            for grip in fallbacks
            if grip.method == "universal chuck"
            and grip.chain.lathe == lead.chain.lathe
            and grip.piece.mounted_on == lead.chain.lathe.id
            and grip.verdict is Verdict.HOLDS
            and (asked is None or grip.meets_tir)
        ),
        None,
    )


def _seats_here(crib: CribNow, ways: Ways) -> frozenset[str]:
    """Series seats that a lathe in question can take with what is here."""
    seats = {entry.seat for entry in crib.series}
    return frozenset(seat for seat in seats if ways.are_there(seat))


def _answer_cautions(grips: tuple[Grip, ...]) -> tuple[Caution, ...]:
    """Those of the way that leads: what is not picked up cannot hurt."""
    return grips[0].cautions if grips else ()
