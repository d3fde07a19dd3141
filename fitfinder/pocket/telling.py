"""The pocket card in words, as plain values for its template; the fewer, the larger the shop."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.holding.rules.cautions import DEFER, Caution
from fitfinder.holding.verdicts import Reach
from fitfinder.pocket.card import Card, CardFamily, CardLathe, CardSize
from fitfinder.pocket.holders import CardBlank, CardChuck, JawRange
from fitfinder.pocket.runs import runs_of
from inventory.measures.display import now
from inventory.measures.length_words import brief, brief_span, in_unit, nominal, other_unit, span_of_sizes
from inventory.measures.lengths import Length


class Detail(Struct, frozen=True, kw_only=True):
    """How much is told of each size."""

    has_tag: bool = True
    places: int = 3
    can_be_looked_up: bool = True
    cut: str = ""
    """What is left away, for the reader."""


DETAILS = (
    Detail(),
    Detail(has_tag=False, places=2, cut="Tags are left out"),
    Detail(has_tag=False, places=1, cut="Tags, and all drawers of a size but one, are left out"),
    Detail(has_tag=False, places=0, cut="Tags and drawers are left out"),
    Detail(has_tag=False, places=0, can_be_looked_up=False, cut="Tags, drawers and looking up are left out"),
)
"""The first that keeps the card small enough is taken."""

MOST_RESERVED = 20
"""So many that are left out for a job are named."""


class CardPlace(Struct, frozen=True):
    """Where pieces are: a drawer or a place by its name, or the lathe that they are on; empty is not known."""

    name: str
    lathe: str = ""
    count: int = 1


class CardSizeLine(Struct, frozen=True, kw_only=True):
    name: str
    decimal: str
    other: str
    """In the other unit, where the shop has sizes in both."""
    grips: str
    places: tuple[CardPlace, ...]
    more: int
    """Pieces in further places."""
    tag: str
    note: str
    cautions: tuple[int, ...]
    looked_up: str
    """Smallest and largest that it grips, and from where to where it is sure to hold: in nanometres, with spaces."""


class CardFamilyPart(Struct, frozen=True, kw_only=True):
    name: str
    shape: str
    count: int
    same_as: str
    """The lathe on which just the same stands already; then there are no lines."""
    lines: tuple[CardSizeLine, ...]
    runs: str
    through: tuple[tuple[str, CardPlace], ...]
    doubt: str
    cautions: tuple[str, ...]


class CardChuckLine(Struct, frozen=True, kw_only=True):
    tag: str
    what: str
    place: CardPlace
    holds: tuple[str, ...]
    shapes: str
    looked_up: str
    note: str
    cautions: tuple[str, ...]


class CardBlankLine(Struct, frozen=True, kw_only=True):
    series: str
    bores: str
    places: tuple[CardPlace, ...]
    more: int
    count: int
    looked_up: str


class CardLathePart(Struct, frozen=True, kw_only=True):
    name: str
    seats: str
    families: tuple[CardFamilyPart, ...]
    chucks: tuple[CardChuckLine, ...]
    chucks_as: str
    """The lathe on which just the same chucks stand already; then there are no lines."""
    blanks: tuple[CardBlankLine, ...]

    @property
    def is_empty(self) -> bool:
        return not (self.families or self.chucks or self.chucks_as or self.blanks)


class CardPage(Struct, frozen=True, kw_only=True):
    lathes: tuple[CardLathePart, ...]
    cautions: tuple[str, ...]
    """Those of single sizes by their numbers, from 1 on; what holds for a family or a chuck stands there."""
    has_both_units: bool
    largest: Length
    """Of all that stands on it can hold."""
    sizes: int
    reserved: tuple[str, ...]
    """The first tags of what is left out for a job, and how many more there are."""
    more_reserved: int
    cut: str


def page_of(card: Card, detail: Detail = DETAILS[0]) -> CardPage:
    return _Telling(card, detail).page()


class _Telling:
    """What is told once for the whole card: its cautions by number, and what stands on it already."""

    def __init__(self, card: Card, detail: Detail) -> None:
        self._card, self._detail = card, detail
        self._cautions: dict[str, int] = {}
        self._families_told: list[tuple[CardFamily, str]] = []
        self._chucks_told: dict[tuple[CardChuck, ...], str] = {}
        self._has_both_units = has_both_units(card)

    def page(self) -> CardPage:
        lathes = tuple(self._lathe(lathe) for lathe in self._card.lathes)
        return CardPage(
            lathes=lathes,
            cautions=(*self._cautions, DEFER.text),
            has_both_units=self._has_both_units,
            largest=max(_ends(self._card), default=Length(0)),
            sizes=sum(len(family.lines) for lathe in lathes for family in lathe.families),
            reserved=self._card.reserved[:MOST_RESERVED],
            more_reserved=len(self._card.reserved[MOST_RESERVED:]),
            cut=self._detail.cut,
        )

    def _lathe(self, at: CardLathe) -> CardLathePart:
        chucks_as = self._chucks_told.setdefault(at.chucks, at.name) if at.chucks else at.name
        is_first = chucks_as == at.name
        return CardLathePart(
            name=at.name,
            seats=_seats(at.lathe),
            families=tuple(self._family(family, at.lathe) for family in at.families),
            chucks=tuple(self._chuck(chuck, at.lathe) for chuck in at.chucks) if is_first else (),
            chucks_as="" if is_first else chucks_as,
            blanks=tuple(self._blank(blank, at.lathe) for blank in at.blanks),
        )

    def _numbers(self, cautions: Iterable[Caution]) -> tuple[int, ...]:
        return tuple(self._cautions.setdefault(one.text, len(self._cautions) + 1) for one in cautions)

    def _family(self, family: CardFamily, lathe: LatheOnHand | None) -> CardFamilyPart:
        same_as = next((name for earlier, name in self._families_told if _are_alike(earlier, family)), "")
        if not same_as and lathe is not None:
            self._families_told.append((family, lathe.name))
        return CardFamilyPart(
            name=family.name,
            shape=family.shape,
            count=len(family.sizes),
            same_as=same_as,
            lines=() if same_as else tuple(self._size(size, lathe) for size in family.sizes),
            runs="" if same_as else runs_of([one.size.nominal for one in family.sizes]),
            through=tuple((link.tag, _place(link, lathe)) for link in family.links),
            doubt=family.doubt,
            cautions=tuple(one.text for one in family.cautions),
        )

    def _size(self, entry: CardSize, lathe: LatheOnHand | None) -> CardSizeLine:
        size, reach = entry.size, entry.size.reach
        places, more = _places(entry.pieces, lathe, most=self._detail.places)
        return CardSizeLine(
            name=nominal(size.nominal),
            decimal=brief(size.nominal),
            other=self._other(size.nominal),
            grips=brief_span(reach.smallest, reach.largest),
            places=places,
            more=more,
            tag=entry.pieces[0].tag if self._detail.has_tag else "",
            note=_note(entry),
            cautions=self._numbers(entry.cautions),
            looked_up=self._looked_up(reach, entry.holds),
        )

    def _other(self, size: Length) -> str:
        """In the other unit, where sizes in both stand here and its name does not say it."""
        is_named_so = size.is_metric is not now().is_metric
        return "" if is_named_so or not self._has_both_units else other_unit(size).removeprefix("0")

    def _looked_up(self, reach: Reach, holds: Reach) -> str:
        if not self._detail.can_be_looked_up:
            return ""
        ends = reach.smallest, reach.largest, holds.smallest, holds.largest
        return " ".join(str(end.nm) for end in ends)

    def _chuck(self, chuck: CardChuck, lathe: LatheOnHand | None) -> CardChuckLine:
        piece, ranges = chuck.piece, chuck.outside
        reach = Reach(
            smallest=min(one.reach.smallest for one in ranges), largest=max(one.reach.largest for one in ranges)
        )
        inside = [f"bores {_range(chuck.inside)}"] if chuck.inside is not None else []
        return CardChuckLine(
            tag=piece.tag,
            what=f"{piece.kind}, {piece.jaws} jaws" if piece.jaws else piece.kind,
            place=_place(piece, lathe),
            holds=(*map(_jaw_range, ranges), *inside),
            shapes=" ".join(chuck.shapes),
            looked_up=self._looked_up(reach, reach),
            note="; ".join(filter(None, (_chuck_speed(chuck, reach), "worn" if piece.is_worn else "", chuck.doubt))),
            cautions=tuple(one.text for one in chuck.cautions),
        )

    def _blank(self, blank: CardBlank, lathe: LatheOnHand | None) -> CardBlankLine:
        places, more = _places(blank.pieces, lathe, most=max(1, self._detail.places))
        return CardBlankLine(
            series=blank.series,
            bores=_range(blank.bores),
            places=places,
            more=more,
            count=len(blank.pieces),
            looked_up=self._looked_up(blank.bores, blank.bores),
        )


def _are_alike(earlier: CardFamily, family: CardFamily) -> bool:
    """Whether the same sizes are held by the same pieces; the way to them may be another."""
    return earlier.name == family.name and earlier.sizes == family.sizes


def has_both_units(card: Card) -> bool:
    """Whether sizes stand on it that are made in the unit that is not the reader's."""
    sizes = [one.size.nominal for lathe in card.lathes for family in lathe.families for one in family.sizes]
    return any(size.is_metric is not now().is_metric for size in sizes)


def _ends(card: Card) -> Iterator[Length]:
    for lathe in card.lathes:
        yield from (one.size.reach.largest for family in lathe.families for one in family.sizes)
        yield from (one.reach.largest for chuck in lathe.chucks for one in chuck.outside)
        yield from (blank.bores.largest for blank in lathe.blanks)


def _note(entry: CardSize) -> str:
    words = ["bored here"] if entry.is_bored else []
    return ", ".join([*words, "worn"] if entry.pieces[0].is_worn else words)


def _places(pieces: Sequence[Piece], lathe: LatheOnHand | None, *, most: int) -> tuple[tuple[CardPlace, ...], int]:
    """The first places with how many lie there, and how many pieces lie elsewhere."""
    counts: dict[CardPlace, int] = {}
    for piece in pieces:
        place = _place(piece, lathe)
        counts[place] = counts.get(place, 0) + 1
    named = tuple(CardPlace(place.name, place.lathe, count) for place, count in list(counts.items())[:most])
    return named, len(pieces) - sum(place.count for place in named) if most else 0


def _place(piece: Piece, lathe: LatheOnHand | None) -> CardPlace:
    if lathe is not None and piece.mounted_on == lathe.id:
        return CardPlace("", lathe.name)
    return CardPlace(piece.location)


def _seats(lathe: LatheOnHand | None) -> str:
    if lathe is None:
        return "the seats are not checked"
    nose = [f"nose {lathe.nose.code}"] if lathe.nose is not None else []
    taper = [f"spindle {lathe.headstock_taper.code}"] if lathe.headstock_taper is not None else []
    bore = [f"bore {in_unit(lathe.spindle_bore)}"] if lathe.spindle_bore is not None else []
    return ", ".join([*nose, *taper, *bore])


def _chuck_speed(chuck: CardChuck, reach: Reach) -> str:
    """`2000 rpm at most; above 3-1/2 in 1000 rpm, as its jaws reach beyond its body`."""
    speed = chuck.speed
    by_lathe = ", the fastest of the lathe" if speed.most == speed.fastest != speed.marked else ""
    most = f"{speed.most} rpm at most{by_lathe}"
    if speed.marked is None:
        return "rpm not marked" if speed.most is None else f"rpm not marked; {most}"
    if speed.half is None or speed.half_above is None:
        return most
    half = f"{speed.half} rpm, as its jaws reach beyond its body"
    if speed.half_above < reach.smallest:
        return f"{half}: half of its mark"
    return f"{most}; above {in_unit(speed.half_above)} {half}"


def _range(reach: Reach) -> str:
    """In the unit that it was made in, where both ends are in one."""
    ends = reach.smallest, reach.largest
    if all(end.is_metric for end in ends) and not now().is_metric:
        return " to ".join(map(nominal, ends))
    return span_of_sizes(*ends)


def _jaw_range(one: JawRange) -> str:
    jaws = f"{one.jaws} jaws{f' from {one.location}' if one.location else ''}: " if one.jaws else ""
    return f"{jaws}{_range(one.reach)}"
