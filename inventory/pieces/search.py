"""Pieces by what they are: one text with a size, a series, a kind, a drawer, a state, in any order and spelling."""

from __future__ import annotations

import re
from collections.abc import Iterator
from difflib import get_close_matches
from functools import cached_property, reduce
from operator import and_, or_

from django.db.models import Exists, OuterRef, Q
from msgspec import Struct

from inventory.figures.names import Names
from inventory.measures import display
from inventory.measures.collet_marks import TakesSizes, read_mark
from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length, LengthError, Unit
from inventory.models import Condition, Kind, Lathe, Loan, Location, Series, SeriesShape, Shape
from inventory.models.kinds import CHUCKS, DETAILS_MISSING
from inventory.models.wear import USABLE_CONDITIONS
from inventory.pieces.words import condition_of, kinds_called, shape_of

LONGEST = 100
_MOST_WORDS = 16
_LONGEST_PHRASE = 6
"""Of so many words is the longest phrase that means one thing: the name of a place, `1 1/8 in across flats`."""
_OF_NO_MEANING = frozenset(
    ("a", "an", "the", "of", "in", "on", "for", "with", "and", "size", "tag", "series", "piece", "pieces", "drawer")
)
_BARE_WHOLE = re.compile(r"[0-9]{1,3}", re.ASCII)
_BETWEEN_WORDS = re.compile(r"(?:\s|;|,(?![0-9])|(?<![0-9]),)+")
"""A decimal comma is part of its number."""
_HAS_DIGIT = re.compile(r"[0-9]", re.ASCII)
_SAYS_SOMETHING = re.compile(r"[^\W_0]")
"""A letter or a digit; of signs and zeros alone nobody can say what they mean."""
_LIKE_A_TAG = re.compile(r"([A-Z]{1,4})[-._ ]?0*([0-9]{1,6})", re.ASCII)
_DRAWER = re.compile(r"(?:drawer|place)\s+(?P<name>.+)", re.IGNORECASE)
_JAWS = re.compile(r"([2-8])[ -]?jaws?", re.ASCII | re.IGNORECASE)
_FAMILIES = {"morse": "MT", "mt": "MT", "jacobs": "JT", "jt": "JT", "er": "ER", "camlock": "D1-", "d1": "D1-"}
SEARCHED_AS_TEXT = ("tag", "notes", "kind", "tip", "fits", "finding", "operations", "location__name")

_IS_OUT = Q(Exists(Loan.objects.open().filter(tool=OuterRef("pk"))))
_STATES: dict[str, tuple[str, Q]] = {
    "out": ("out", _IS_OUT),
    "issued": ("out", _IS_OUT),
    "missing": ("missing", Q(missing_since__isnull=False)),
    "lost": ("missing", Q(missing_since__isnull=False)),
    "not found": ("missing", Q(missing_since__isnull=False)),
    "out of use": ("out of use", ~Q(condition__in=USABLE_CONDITIONS)),
    "mounted": ("on a lathe", Q(mounted_on__isnull=False)),
    "on a lathe": ("on a lathe", Q(mounted_on__isnull=False)),
    "details": ("details to fill in", DETAILS_MISSING),
    "details to fill in": ("details to fill in", DETAILS_MISSING),
    "retired": ("retired", Q(retired_at__isnull=False)),
}


class SearchPart(Struct, frozen=True):
    """One part of what was read: of which `sort`, in words, which pieces it means, and where it stands in the text."""

    sort: str
    words: str
    means: Q
    at: range


class SearchReading(Struct, frozen=True, kw_only=True):
    """A text as it was read.

    `unread` are the words that mean nothing by themselves: they are looked for as text. `unreadable` are signs and
    zeros, which say nothing: beside other words they are passed over, alone they mean no piece.
    """

    words: tuple[str, ...]
    parts: tuple[SearchPart, ...] = ()
    unread: tuple[str, ...] = ()
    unreadable: tuple[str, ...] = ()
    size: Length | None = None
    shape: str = ""
    series: Series | None = None
    near: tuple[str, ...] = ()

    @property
    def means(self) -> Q:
        """Of one sort any, of several sorts all: `1/2 5/8 hex` is hex, and of either size."""
        if self.unreadable and not self.parts and not self.unread:
            return Q(pk__in=())
        sorts: dict[str, Q] = {}
        for part in self.parts:
            sorts[part.sort] = sorts[part.sort] | part.means if part.sort in sorts else part.means
        return reduce(and_, [*sorts.values(), *map(_as_text, self.unread)], Q())

    @property
    def asks_for_retired(self) -> bool:
        return any(part.words == "retired" for part in self.parts)

    def without(self, part: SearchPart) -> str:
        """The text that is left without this part of it."""
        return " ".join(word for number, word in enumerate(self.words) if number not in part.at)


def _as_text(word: str) -> Q:
    in_text = reduce(or_, (Q(**{f"{name}__icontains": word}) for name in SEARCHED_AS_TEXT))
    return in_text | Q(tag__in=tags_like(word)) if tags_like(word) else in_text


def tags_like(word: str) -> list[str]:
    """How the tag may be written that somebody writes as `c11`: C-0011, C-11 …"""
    tag_like = _LIKE_A_TAG.fullmatch(word.upper())
    if tag_like is None:
        return []
    letters, number = tag_like[1], int(tag_like[2])
    return [f"{letters}{dash}{number:0{width}d}" for dash in ("-", "") for width in (1, 2, 3, 4, 5, 6)]


def read_search(text: str) -> SearchReading:
    """Reads the longest phrases first, each by all readers: what may be two things is looked for as both."""
    words = tuple(word for word in _BETWEEN_WORDS.split(text[:LONGEST]) if word)
    if not words and text.strip():
        return SearchReading(words=(), unreadable=(text.strip()[:LONGEST],))
    return _Reader(words[:_MOST_WORDS]).reading()


class _Reader:
    def __init__(self, words: tuple[str, ...]) -> None:
        self.words = words
        self.parts: list[SearchPart] = []
        self.sizes: list[tuple[range, str]] = []
        self.unread: list[str] = []
        self.unreadable: list[str] = []
        self.series: list[Series] = []
        self.shapes: list[str] = []

    @cached_property
    def names(self) -> Names:
        return Names.of_book()

    @cached_property
    def places(self) -> dict[str, Location]:
        return {place.name.lower(): place for place in Location.objects.in_use()}

    @cached_property
    def lathes(self) -> dict[str, Lathe]:
        return {lathe.name.lower(): lathe for lathe in Lathe.objects.in_use()}

    def reading(self) -> SearchReading:
        at = 0
        while at < len(self.words):
            at = self._read_from(at)
        lengths = [self._part_of_size(where, phrase) for where, phrase in self.sizes]
        return SearchReading(
            words=self.words,
            parts=tuple(sorted(self.parts, key=lambda part: part.at.start)),
            unread=tuple(self.unread),
            unreadable=tuple(self.unreadable),
            size=lengths[0] if len(lengths) == 1 else None,
            shape=self.shapes[0] if len(self.shapes) == 1 else "",
            series=self.series[0] if len(self.series) == 1 else None,
            near=self._near(),
        )

    def _read_from(self, at: int) -> int:
        """Read the longest phrase that begins here; where the next one begins."""
        for end in range(min(at + _LONGEST_PHRASE, len(self.words)), at, -1):
            phrase, where = " ".join(self.words[at:end]), range(at, end)
            claims = [SearchPart(sort, words, means, where) for sort, words, means in self._claims(phrase)]
            # A drawer may have a number for its name; all else that is known is no size.
            is_size = all(claim.sort == "place" for claim in claims) and _is_size(phrase)
            if is_size:
                self.sizes.append((where, phrase))
            if claims:
                self.parts.append(_either(claims) if len(claims) > 1 else claims[0])
            if claims or is_size:
                return end
        if not _SAYS_SOMETHING.search(self.words[at]):
            self.unreadable.append(self.words[at])
        elif self.words[at].lower() not in _OF_NO_MEANING:
            self.unread.append(self.words[at])
        return at + 1

    def _claims(self, phrase: str) -> Iterator[tuple[str, str, Q]]:
        folded = phrase.lower().strip(".")
        if drawer := _DRAWER.fullmatch(phrase):
            if place := self.places.get(drawer["name"].lower()):
                yield "place", f"drawer {place}", _in_place(place)
            return
        if folded in _STATES:
            yield "state", *_STATES[folded]
            return
        for read in (_condition, _jaws, self._shape, _kinds, _family):
            if claim := read(phrase):
                yield claim
                return
        yield from self._named(phrase)

    def _shape(self, phrase: str) -> tuple[str, str, Q] | None:
        # A text of signs alone is no empty one, which would be round.
        is_word = _SAYS_SOMETHING.search(phrase) and not _HAS_DIGIT.search(phrase)
        shape = shape_of(phrase) if is_word else None
        if shape is None:
            return None
        self.shapes.append(shape)
        return "shape", str(shape), Q(size__shape=shape)

    def _named(self, phrase: str) -> Iterator[tuple[str, str, Q]]:
        """By its name a series or seat, a place, a lathe; a drawer B12 may be called like the taper."""
        if series := self.names.series_of_name(phrase):
            self.series.append(series)
            yield "series", str(series), _of_series(series)
        elif seat := self.names.seat(phrase):
            yield "series", seat.code, Q(mounts_in=seat) | Q(offers=seat)
        if place := self.places.get(phrase.lower()):
            yield "place", _place_words(place), _in_place(place)
        elif lathe := self.lathes.get(phrase.lower()):
            yield "place", str(lathe), Q(mounted_on=lathe) | Q(belongs_to=lathe)

    def _part_of_size(self, where: range, phrase: str) -> Length | None:
        lengths, shape = _lengths_of(phrase, self._figures())
        means = reduce(or_, (_of_length(length) for length in lengths))
        if shape:
            means &= Q(size__shape=shape)
            self.shapes.append(shape)
        words = nominal(lengths[0]) if len(lengths) == 1 else " or ".join(map(_with_unit, lengths))
        words = f"{words} {shape}".strip()
        here = [part for part in self.parts if part.at == where]
        if here:
            self.parts.remove(here[0])
            means, words = means | here[0].means, f"{words} or {here[0].words}"
        self.parts.append(SearchPart("size", words, means, where))
        return lengths[0] if len(lengths) == 1 else None

    def _figures(self) -> TakesSizes | None:
        if len(self.series) != 1:
            return None
        return SeriesShape.objects.filter(series=self.series[0]).order_by("-shape", "pk").first()

    def _near(self) -> tuple[str, ...]:
        """What may have been meant by the words that say nothing: `5X` for 5C."""
        if not self.unread:
            return ()
        series = {code.lower(): code for code in self.names.series_codes()}
        others = {place.name.lower(): place.name for place in self.places.values()}
        others |= {word: word for kind in Kind for word in kind.split()} | {shape: shape for shape in Shape.values}
        suggestions = []
        for word in self.unread:
            for known in (series, others):
                # Of two signs one may be wrong.
                close = get_close_matches(word.lower(), known, n=1, cutoff=0.5 if len(word) < 4 else 0.7)
                suggestions += (
                    [" ".join(known[close[0]] if one == word else one for one in self.words)] if close else []
                )
        return tuple(dict.fromkeys(suggestions))[:4]


def _condition(phrase: str) -> tuple[str, str, Q] | None:
    condition = condition_of(phrase) if phrase.lower() in Condition.values else None
    return ("state", str(condition), Q(condition=condition)) if condition else None


def _jaws(phrase: str) -> tuple[str, str, Q] | None:
    jaws = _JAWS.fullmatch(phrase)
    return ("jaws", f"{jaws[1]} jaws", Q(jaws=int(jaws[1]))) if jaws else None


def _kinds(phrase: str) -> tuple[str, str, Q] | None:
    kinds = kinds_called(phrase)
    if not kinds:
        return None
    words = str(kinds[0]) if len(kinds) == 1 else f"{phrase.lower().removesuffix('s')}s"
    return "kind", words, Q(kind__in=kinds)


def _family(phrase: str) -> tuple[str, str, Q] | None:
    """`Morse`, `ER`: all sizes of a standard."""
    code = _FAMILIES.get(phrase.lower())
    if code is None:
        return None
    seats = ("size__series__code", "mounts_in__code", "offers__code")
    return "series", phrase, reduce(or_, (Q(**{f"{name}__startswith": code}) for name in seats))


def _either(claims: list[SearchPart]) -> SearchPart:
    """One part that may be any of these."""
    first = claims[0]
    return SearchPart(
        first.sort,
        " or ".join(claim.words for claim in claims),
        reduce(or_, (claim.means for claim in claims)),
        first.at,
    )


def _is_size(phrase: str) -> bool:
    if not _HAS_DIGIT.search(phrase):
        return False
    try:
        read_mark(phrase, _unit())
    except LengthError as error:
        return bool(error.readings)
    return True


def _unit() -> Unit:
    return Unit(display.now().bare)


def _lengths_of(phrase: str, figures: TakesSizes | None) -> tuple[list[Length], str]:
    """The size or sizes that it may be, and the shape that it says; a bare whole number may be in either unit."""
    texts = [phrase]
    if _BARE_WHOLE.fullmatch(phrase):
        texts = [f"{phrase} {unit}" for unit in (Unit.INCH, Unit.MM)]
    shape_of_length: dict[Length, str] = {}
    for text in texts:
        try:
            mark = read_mark(text, _unit(), series=figures)
            shape_of_length[mark.nominal] = mark.shape
        except LengthError as error:
            for one in error.readings:
                try:
                    mark = read_mark(one, _unit())
                    shape_of_length[mark.nominal] = mark.shape
                except LengthError:
                    continue
    if figures is not None and len(shape_of_length) > 1:
        shape_of_length = {
            length: shape for length, shape in shape_of_length.items() if figures.takes_nominal(length)
        } or shape_of_length
    return list(shape_of_length), next(iter(shape_of_length.values()), "")


def _with_unit(length: Length) -> str:
    text = nominal(length)
    return text if text.endswith(Unit.MM) else f"{text} in"


def _of_length(length: Length) -> Q:
    """What is called by this size: collets by their bore, cutters by what they cut, tools by their shank, chucks by
    their body."""
    return Q(size__nominal=length) | Q(cuts=length) | Q(shank=length) | Q(body=length, kind__in=CHUCKS)


def _of_series(series: Series) -> Q:
    return Q(size__series=series) | Q(size=None) & (Q(mounts_in=series.seat_id) | Q(offers=series.seat_id))


def _in_place(place: Location) -> Q:
    return Q(location=place) | Q(location__parent=place) | Q(location__parent__parent=place)


def _place_words(place: Location) -> str:
    return place.name if " " in place.name else f"drawer {place.name}"
