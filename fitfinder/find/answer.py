"""The answer to “what holds this stock?”: one frozen object that page, JSON and command only render."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from fitfinder.find import gaps, ranking
from fitfinder.find.gaps import Gap
from fitfinder.find.headlines import headline_of
from fitfinder.find.shelves import MOST_LEFT_OUT, MOST_MAKE_DOS
from fitfinder.find.ways import Ways
from fitfinder.holding import cautions, verdicts
from fitfinder.holding.cautions import Caution
from fitfinder.holding.chains import Chain
from fitfinder.holding.grips import Grip, collet_grip, twin_grip
from fitfinder.holding.methods import centers, chucks
from fitfinder.holding.pieces import BORED_KIND, MOST_COUNTED, CribNow, Piece
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Verdict
from inventory.measures.lengths import Length, nominal, parse

NEAR = parse("1/4")
"""A size that misses by more is no help to a person (our own judgement, no source)."""


class LeftOut(Struct, frozen=True, kw_only=True, gc=False):
    """A piece that would hold the stock but cannot be used now, and why."""

    tag: str
    why: str
    location: str
    series: str = ""
    nominal: Length | None = None
    name: str = ""
    lacks_link: bool = False

    @property
    def sentence(self) -> str:
        """`C-0024 would hold it, but is damaged`; of a missing link: `…, but no closer for 5C on Lathe 2`."""
        return f"{self.tag} would hold it, but {'' if self.lacks_link else 'is '}{self.why}"

    @property
    def is_in_other_hands(self) -> bool:
        """Whether all that is to be done is to ask the person who has it."""
        return not self.lacks_link and self.why.startswith("out to ")


class Nearest(Struct, frozen=True, kw_only=True, gc=False):
    """A size on hand that does not hold the stock, and by how much it misses (above zero: stock too big)."""

    tag: str
    series: str
    nominal: Length
    misses_by: Length


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
    def more_words(self) -> str:
        """How many pieces more hold it, for a person; not all of very many are counted."""
        return f"{self.more}+" if self.more >= MOST_COUNTED else str(self.more)

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


def answer(stock: Stock, crib: CribNow, *, asked_tir: Length | None = None) -> Answer:
    """What of the crib holds the stock, best first; what to do where nothing does."""
    ways = crib.ways or Ways(crib.rig, crib.lathes)
    grips, left_out = _collet_grips(stock, crib, ways, asked_tir)
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
        more=min(more + crib.further, MOST_COUNTED) if grips else 0,
        left_out=tuple(left_out),
        details_missing=sum(1 for piece in crib.rig if piece.lacks and piece.is_usable),
        make_dos=tuple(_make_dos(stock, crib, ways, asked_tir)),
        nearest=tuple(_nearest(stock, crib, ways)) if not held else (),
        gap=gap,
        cautions=(*_answer_cautions(shown), cautions.DEFER),
        blanks=tuple(blanks),
        fallbacks=tuple(dialled) if shortlist else (),
        quicker=_quicker(shortlist, dialled, asked_tir),
    )
    # The sentence to act on may be about a piece that is not among the few that are told.
    return replace(draft, headline=headline_of(draft), left_out=draft.left_out[:MOST_LEFT_OUT])


def _careful(grips, ways: Ways) -> list[Grip]:
    """The grips, each with its cautions."""
    return [replace(grip, cautions=those) if (those := ways.cautions_of(grip)) else grip for grip in grips]


def _collet_grips(stock, crib, ways, asked) -> tuple[list[Grip], list[LeftOut]]:
    """The best grip of each usable collet, ranked; and what would fit but cannot be used."""
    grips, left_out = [], []
    twins: dict[int, Grip] = {}
    without_way: dict[int, Piece] = {}
    for piece in crib.collets:
        size = piece.size
        twin = twins.get(size.id)
        if twin is not None and piece.kind == twin.piece.kind and not piece.why_not and piece.is_plain:
            grips.append(twin_grip(twin, piece, stock, asked=asked))
            continue
        if verdicts.judge(stock.band, size.reach) is Verdict.DOES_NOT_HOLD:
            continue
        if piece.why_not:
            left_out.append(_left_out(piece, piece.why_not))
            continue
        if not ways.are_there(size.seat):
            without_way[size.id] = min(piece, without_way.get(size.id, piece), key=_as_in_the_drawer)
            continue
        fitting = _ways_of(piece, ways)
        if not fitting:
            left_out.append(_left_out(piece, "mounted on another lathe"))
            continue
        found = [collet_grip(stock, piece, chain, asked=asked) for chain in fitting]
        grips.append(ranking.best_way(found) if len(found) > 1 else found[0])
        if piece.is_plain and piece.kind != BORED_KIND:
            twins[size.id] = grips[-1]
    # What is missing is the same for all pieces of a size: it is told of the one that would be taken.
    left_out += [_left_out(best, ways(best.size.seat).why, lacks_link=True) for best in without_way.values()]
    middle = stock.band.middle_nm
    left_out.sort(key=lambda item: (abs(item.nominal.nm - middle), item.nominal, item.tag))
    return _ranked(stock, grips, asked), left_out


def _as_in_the_drawer(piece: Piece) -> tuple:
    """Good before worn, then by reading, those without one last."""
    return piece.condition != "good", piece.tir is None, piece.tir.nm if piece.tir else 0, piece.tag


def _ways_of(piece: Piece, ways: Ways) -> list[Chain]:
    """The chains that come into question for this piece: for most pieces of a seat the same one is the best."""
    if piece.is_plain:
        return [ways.best(piece.size.seat)]
    return [chain for chain in ways(piece.size.seat) if _may_be_on(piece, chain)]


def _may_be_on(piece: Piece, chain: Chain) -> bool:
    return piece.mounted_on is None or chain.lathe is None or piece.mounted_on == chain.lathe.id


def _left_out(piece: Piece, why: str, *, lacks_link: bool = False) -> LeftOut:
    size = piece.size
    return LeftOut(
        tag=piece.tag,
        why=why,
        location=piece.location,
        series=size.series if size else "",
        nominal=size.nominal if size else None,
        name=f"{nominal(size.nominal)} {size.shape}, {size.series}" if size else piece.kind,
        lacks_link=lacks_link,
    )


def _chucks_left_out(stock: Stock, crib: CribNow) -> list[LeftOut]:
    """Chucks that would hold it and are out, damaged or missing."""
    return [_left_out(piece, piece.why_not) for piece in chucks.fitting_chucks(stock, crib.rig) if not piece.is_usable]


def _ranked(stock: Stock, grips, asked: Length | None) -> list[Grip]:
    middle = stock.band.middle_nm
    return ranking.best_first(grips, middle_nm=middle, asked=asked is not None)


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


def _make_dos(stock: Stock, crib: CribNow, ways: Ways, asked: Length | None) -> list[Grip]:
    grips = []
    for piece in crib.corner_collets:
        if not piece.is_usable or not ways.are_there(piece.size.seat):
            continue
        chains = ways(piece.size.seat)
        found = [collet_grip(stock, piece, chain, asked=asked, corners=True) for chain in chains]
        found = [grip for grip in found if grip.verdict in (Verdict.HOLDS, Verdict.AT_THE_LIMIT)]
        grips += _ranked(stock, found, asked)[:1]
    return _careful(_ranked(stock, grips, asked)[:MOST_MAKE_DOS], ways)


def _nearest(stock: Stock, crib: CribNow, ways: Ways) -> list[Nearest]:
    found = [
        Nearest(
            tag=piece.tag,
            series=piece.size.series,
            nominal=piece.size.nominal,
            misses_by=verdicts.misses_by(stock.band, piece.size.reach),
        )
        for piece in crib.nearest
        if ways.are_there(piece.size.seat)
    ]
    return sorted((near for near in found if near.misses_by.nm), key=lambda near: (abs(near.misses_by), near.tag))


def _answer_cautions(grips: tuple[Grip, ...]) -> tuple[Caution, ...]:
    """Those of the way that leads: what is not picked up cannot hurt."""
    return grips[0].cautions if grips else ()
