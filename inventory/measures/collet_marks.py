"""What is written on a collet, and said of its size: `12-11`, `1/2"-7/16`, `Ø20`, `13 A/F`, `.500 SQ`, `16 H7`.

A small grammar: signs and words of a shape, a tolerance of the bore, and in the middle one size, or two with a dash
between them. Of two the larger is the nominal, and the smaller what it closes to: so ER collets are engraved. A whole
number before a fraction, `1-1/8`, is one size.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Protocol

from msgspec import Struct

from inventory.measures.lengths import (
    LONGEST_TEXT,
    MEASURED_DECIMALS,
    Length,
    LengthError,
    Reading,
    Unit,
    exact,
    read,
    shorten,
)
from inventory.measures.signs import plain_signs

SHAPE_WORDS = {
    "round": ("round", "rd", "rnd", "dia", "diam", "diameter"),
    "hex": ("hex", "hexagon", "hexagonal"),
    "square": ("square", "sq"),
}
"""What the shape of a collet is called beside its size: words of the trade, no source."""
ROUND_SIGNS, SQUARE_SIGNS, HEX_SIGNS = "ØøΦφϕ⌀∅⌽", "□◻◽▢☐■", "⬡⬢⎔"
ACCEPTED = "what is marked on it, like 3/4, 19 mm, 12-11, Ø20, 1/2 A/F or #7"

_NUMBER = r"(?:[0-9]{1,4}(?:\s*-\s*|\s+)[0-9]{1,4}\s*/\s*[0-9]{1,4}|[0-9]{1,4}\s*/\s*[0-9]{1,4}|[0-9]*[.,]?[0-9]+)"
_UNIT = r"(?:mm|millimet(?:re|er)s?|in\b\.?|inch(?:es)?|thou|\")"
_BETWEEN = r"\s*(?:-|–|—|−|\.\.\.?|…|÷|~|\bto\b)\s*"
_RANGE = re.compile(
    rf"(?P<one>{_NUMBER})\s*(?P<unit_of_one>{_UNIT})?{_BETWEEN}(?P<other>{_NUMBER})\s*(?P<unit_of_other>{_UNIT})?",
    re.ASCII | re.IGNORECASE,
)
_ONE_SIZE = re.compile(rf"{_NUMBER}\s*-?\s*{_UNIT}?", re.ASCII | re.IGNORECASE)
_LIKE_A_RANGE = re.compile(r"(?P<one>[0-9]{1,2})\s*/\s*(?P<other>[0-9]{1,2})\s*(?P<mm>mm)?", re.ASCII | re.IGNORECASE)
"""`20/19`: some engrave the range so, and as a fraction it is no size that anybody makes."""
_FLATS = re.compile(
    r"(?<![a-z])(?:a\s?/\s?f|a\.\s?f\.?|af|across\s+(?:the\s+)?flats)(?![a-z])", re.ASCII | re.IGNORECASE
)
_SPANNER = re.compile(r"(?<![a-z])s\s?/?\s?w\.?\s*(?=[0-9.,])", re.ASCII | re.IGNORECASE)
_SHAPES = {word: shape for shape, words in SHAPE_WORDS.items() for word in words}
_WORD = "|".join(sorted(_SHAPES, key=len, reverse=True))
_SHAPE_WORD = re.compile(rf"(?<![a-z])(?P<word>{_WORD})(?![a-z])\.?", re.ASCII | re.IGNORECASE)
_D = re.compile(r"d\.?\s*(?=[0-9.,])", re.ASCII | re.IGNORECASE)
"""`d20`, at the beginning."""
_SIGNS = dict.fromkeys(ROUND_SIGNS, "round") | dict.fromkeys(SQUARE_SIGNS, "square") | dict.fromkeys(HEX_SIGNS, "hex")
_A_SIGN = re.compile(f"[{''.join(_SIGNS)}]")
_BORE = re.compile(r"(?<=[0-9m])\s*H(?:[5-9]|1[0-2])$")
"""The tolerance of a bore (ISO 286), which is in millimetres; a small h would be that of a bar."""
_BARE = re.compile(r"[0-9]*[.,]?[0-9]+", re.ASCII)
LEAST_IN_MM = 4
"""Flats of so many inches are written on no collet: such a bare number is in millimetres (our judgement, no source)."""
MOST_BEYOND = 2
"""Nobody engraves a range of more than so many times what the series closes by: it is no range of that series."""


class TakesSizes(Protocol):
    """What is asked of a series and shape: whether a nominal is in it, and to what such a collet closes."""

    def takes_nominal(self, size: Length, /) -> bool: ...

    def smallest_of(self, nominal: Length, /) -> Length: ...


class ColletMark(Struct, frozen=True, kw_only=True):
    """What a text on a collet says. `closes_to` is the lower end where two sizes are written; `shape` is empty where
    none is said. Across flats that may be hex or square the shape is empty and `is_flats` is set."""

    nominal: Length
    how: str
    closes_to: Length | None = None
    shape: str = ""
    is_flats: bool = False

    def disagrees(self, shape: str) -> str:
        """Why this is not on a collet of that shape; empty where it may be."""
        if self.is_flats and shape not in ("hex", "square"):
            return f"across flats is said of hex and square, not of {shape}"
        if self.shape and self.shape != shape:
            return f"it says {self.shape}, not {shape}"
        return ""

    def differs_from(self, series: TakesSizes) -> str:
        """Where the range that is written ends elsewhere than the series' figures say; empty where it does not."""
        if self.closes_to is None:
            return ""
        figured = series.smallest_of(self.nominal)
        if figured == self.closes_to:
            return ""
        return f"{exact(self.closes_to)} is marked, and by the figures of the series it closes to {exact(figured)}"


def read_mark(
    text: str,
    unit: Unit = Unit.INCH,
    *,
    series: TakesSizes | None = None,
    bare_limit: Length | None = None,
) -> ColletMark:
    """What a text on a collet says, or said of one; a bare number is in `unit`.

    Where a `series` is given, two sizes, or one beside its shape, without a unit are in the unit in which the series
    has such a collet, where that is one only; two sizes that no collet of it has are no mark. Raises LengthError, with
    the readings that may be meant; ask then, and never guess.
    """
    rest, shape, is_flats, is_spanner = _without_shape(text)
    mm = _BORE.search(rest)
    if mm:
        rest = rest[: mm.start()].strip()
    if _BARE.fullmatch(rest) and (mm or is_spanner or (is_flats and Fraction(rest.replace(",", ".")) >= LEAST_IN_MM)):
        rest = f"{rest} mm"
    pair = _two_sizes(rest)
    if pair is not None:
        larger, smaller = _of_pair(pair, text, unit, series)
        how = f"{larger.how}, closes to {smaller.how}"
        return ColletMark(
            nominal=larger.length, how=how, closes_to=smaller.length, shape=shape, is_flats=is_flats and not shape
        )
    is_bare = _BARE.fullmatch(rest) is not None
    reading = _one_size(rest, text, unit, series if shape and is_bare else None, bare_limit)
    return ColletMark(nominal=reading.length, how=reading.how, shape=shape, is_flats=is_flats and not shape)


def shape_beside(text: str) -> tuple[str, bool]:
    """The shape that stands beside a size, empty where none does or more than one; and whether across flats is said."""
    try:
        _, shape, is_flats, _ = _without_shape(text)
    except LengthError:
        return "", False
    return shape, is_flats


def shape_off(text: str) -> tuple[str, str]:
    """The text without the signs and words of a shape, and that shape; the text itself and "" where none is said, or
    more than one, or where only flats are."""
    try:
        rest, shape, _, is_spanner = _without_shape(text)
    except LengthError:
        return text, ""
    return (rest, shape) if shape and not is_spanner else (text, "")


class _Pair(Struct, frozen=True):
    one: str
    other: str
    unit: str
    """As it was written with either; empty where with neither."""

    @property
    def is_measured(self) -> bool:
        """Whether it is written so finely that its unit is the one that counts."""
        decimals = (part.replace(",", ".").partition(".")[2] for part in (self.one, self.other))
        return any(len(places) >= MEASURED_DECIMALS for places in decimals)


def _without_shape(text: str) -> tuple[str, str, bool, bool]:
    """What is left beside the shape; the shape; whether across flats is said; whether a spanner size is."""
    rest = " ".join(plain_signs(text).split())
    if len(rest) > LONGEST_TEXT:
        raise LengthError(f"“{shorten(text)}” is too long to be a size. Write {ACCEPTED}.", read=shorten(text))
    shapes = {_SIGNS[sign] for sign in _A_SIGN.findall(rest)}
    rest = _A_SIGN.sub("", rest).strip()
    rest, spanners = _SPANNER.subn("", rest)
    rest, flats = _FLATS.subn(" ", rest)
    shapes |= {_SHAPES[word.lower()] for word in _SHAPE_WORD.findall(rest)}
    rest = _SHAPE_WORD.sub(" ", rest).strip()
    if not shapes and (of_diameter := _D.match(rest)):
        shapes, rest = {"round"}, rest[of_diameter.end() :]
    is_flats = bool(spanners or flats)
    if len(shapes) > 1 or (is_flats and "round" in shapes):
        *others, last = sorted(shapes | ({"across flats"} if is_flats else set()))
        raise LengthError(
            f"“{shorten(text)}” says {', '.join(others)} and {last}. Write one shape beside the size.",
            read=shorten(text),
        )
    return " ".join(rest.split()), next(iter(shapes), ""), is_flats, bool(spanners)


def _two_sizes(text: str) -> _Pair | None:
    """`12-11`, `1/2"-7/16`, `20/19`; None for one size, as `1-1/8` is."""
    slashed = _LIKE_A_RANGE.fullmatch(text)
    if slashed:
        one, other = int(slashed["one"]), int(slashed["other"])
        is_size = one < other or other == 0 or other & (other - 1) == 0
        return None if is_size else _Pair(slashed["one"], slashed["other"], slashed["mm"] or "")
    if _ONE_SIZE.fullmatch(text):
        return None
    span = _RANGE.fullmatch(text)
    if not span:
        return None
    first, second = (span[name] or "" for name in ("unit_of_one", "unit_of_other"))
    is_metric = any(unit.lower().startswith("m") for unit in (first, second))
    if is_metric and ("/" in span[0] or (first and second and first.lower()[0] != second.lower()[0])):
        return None
    return _Pair(span["one"], span["other"], first or second)


def _of_pair(pair: _Pair, text: str, unit: Unit, series: TakesSizes | None) -> tuple[Reading, Reading]:
    """The larger of the two, then the smaller."""
    if pair.unit or "/" in pair.one or "/" in pair.other:
        larger, smaller = _larger_and_smaller(pair, pair.unit or Unit.INCH, text)
        if series is not None and not _may_be_of(series, larger.length, smaller.length):
            raise _no_such_range(text, larger, smaller, series)
        return larger, smaller
    by_unit = {each: _larger_and_smaller(pair, each, text) for each in (unit, *(set(Unit) - {unit}))}
    if series is None:
        if unit is Unit.MM or any(
            len(part.replace(",", ".").partition(".")[2]) >= 3 for part in (pair.one, pair.other)
        ):
            return by_unit[unit]
        raise _which_unit(text, pair)
    fitting = [both for both in by_unit.values() if _may_be_of(series, both[0].length, both[1].length)]
    if not fitting:
        larger, smaller = next(
            (both for both in by_unit.values() if series.takes_nominal(both[0].length)), by_unit[unit]
        )
        raise _no_such_range(text, larger, smaller, series)
    if len(fitting) > 1 and unit is Unit.INCH:
        raise _which_unit(text, pair)
    return fitting[0]


def _larger_and_smaller(pair: _Pair, unit: str, text: str) -> tuple[Reading, Reading]:
    both = [read(f"{part} {unit}") for part in (pair.one, pair.other)]
    larger, smaller = sorted(both, key=lambda one: one.length, reverse=True)
    if larger.length == smaller.length:
        raise LengthError(f"“{shorten(text)}” is the same size twice. Write {ACCEPTED}.", read=shorten(text))
    return larger, smaller


def _may_be_of(series: TakesSizes, nominal: Length, closes_to: Length) -> bool:
    closes_by = nominal - series.smallest_of(nominal)
    return series.takes_nominal(nominal) and (nominal - closes_to).nm <= MOST_BEYOND * closes_by.nm


def _which_unit(text: str, pair: _Pair) -> LengthError:
    readings = tuple(f"{pair.one}-{pair.other} {unit}" for unit in (Unit.MM, Unit.INCH))
    return LengthError(
        f"“{shorten(text)}” has no unit. Write {' or '.join(readings)}.", read=shorten(text), readings=readings
    )


def _no_such_range(text: str, larger: Reading, smaller: Reading, series: TakesSizes) -> LengthError:
    low = series.smallest_of(larger.length)
    if not series.takes_nominal(larger.length):
        why = f"there is no {larger.how} collet in this series"
    else:
        why = f"one of {larger.how} in this series closes to {exact(low)}, not to {smaller.how}"
    return LengthError(
        f"“{shorten(text)}” was read as {larger.how} that closes to {smaller.how}; {why}. Write the marked size alone, "
        "and the range that is marked in its own two fields.",
        read=shorten(text),
        readings=(larger.how,),
    )


def _one_size(rest: str, text: str, unit: Unit, series: TakesSizes | None, bare_limit: Length | None) -> Reading:
    try:
        if series is not None and (settled := _in_other_unit(rest, unit, series)) is not None:
            return settled
        return read(rest, unit, bare_limit=bare_limit)
    except LengthError as error:
        if rest == " ".join(text.split()) or error.readings:
            raise
        raise LengthError(
            f"“{shorten(text)}” cannot be read as a size. Write {ACCEPTED}.", read=shorten(text)
        ) from None


def _in_other_unit(bare: str, unit: Unit, series: TakesSizes) -> Reading | None:
    """A bare number in the other unit, where only in that the series has it: `Ø20` of a series in inches."""
    other = Unit.MM if unit is Unit.INCH else Unit.INCH
    here, there = read(bare, unit), read(f"{bare} {other}")
    return there if series.takes_nominal(there.length) and not series.takes_nominal(here.length) else None
