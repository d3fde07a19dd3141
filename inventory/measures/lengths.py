"""Lengths, exact to the nanometre, and the words in which a machinist writes them.

A length is a whole number of nanometres. An inch is 25.4 mm exactly (the international inch of 1959), so
1/64 in (396 875 nm), a tenth (0.0001 in, 2 540 nm) and a micrometre are all whole, and two limits can be
compared without rounding. No float is ever made here.

`parse` reads one length, `read` also says how it was read. What cannot be read raises `LengthError`, whose
message is a sentence for the person who typed it.
"""

from __future__ import annotations

import re
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import TypedDict

from msgspec import Struct

from inventory.measures.signs import plain_signs

NM_PER_INCH = 25_400_000
NM_PER_MM = 1_000_000
NM_PER_64TH = NM_PER_INCH // 64
_SIXTY_FOURTHS = tuple(str(Fraction(number, 64)) if number else "" for number in range(64))
NM_PER_TENTH = NM_PER_INCH // 10_000

LONGEST_TEXT = 40
"""Characters that can still be a size; more is not looked at."""

MEASURED_DECIMALS = 3
"""A size that is written so finely was measured, in the unit that counts."""

ACCEPTED = "a size like .7485, 3/4, 1-1/8, 19 mm, 748.5 thou, #7 or letter F"


class Unit(StrEnum):
    """The unit that a bare number is in."""

    INCH = "in"
    MM = "mm"


class RunoutUnit(StrEnum):
    """What readings of an indicator are written in."""

    INCH = "in"
    THOU = "thou"
    MM = "mm"
    MICRON = "µm"

    @classmethod
    def of(cls, unit: Unit) -> RunoutUnit:
        """What goes with a unit of lengths where nothing else was chosen."""
        return cls.MM if unit is Unit.MM else cls.INCH

    @property
    def is_metric(self) -> bool:
        return self in {RunoutUnit.MM, RunoutUnit.MICRON}


class Length(Struct, frozen=True, order=True, gc=False):
    """A length in whole nanometres; ordered, added and subtracted exactly. May be negative (a deviation)."""

    nm: int

    @classmethod
    def inches(cls, value: Fraction | int | str) -> Length:
        """From inches. Raises LengthError where that is not a whole number of nanometres."""
        return cls(_whole_nm(Fraction(value) * NM_PER_INCH, str(value)))

    @classmethod
    def mm(cls, value: Fraction | int | str) -> Length:
        """From millimetres. Raises LengthError where that is not a whole number of nanometres."""
        return cls(_whole_nm(Fraction(value) * NM_PER_MM, str(value)))

    def __add__(self, other: Length) -> Length:
        return Length(self.nm + other.nm)

    def __sub__(self, other: Length) -> Length:
        return Length(self.nm - other.nm)

    def __neg__(self) -> Length:
        return Length(-self.nm)

    def __abs__(self) -> Length:
        return Length(abs(self.nm))

    def __mul__(self, times: int) -> Length:
        return Length(self.nm * times)

    def __str__(self) -> str:
        # Imported here: how it is shown depends on who reads it, and what it is does not.
        from inventory.measures.length_words import shown

        return shown(self)

    @property
    def inch_text(self) -> str:
        """Inches to four places, without the unit: `0.7500`."""
        return decimal(self.nm, NM_PER_INCH, 4)

    @property
    def fine_inch_text(self) -> str:
        """Inches to five places, for a deviation finer than a tenth: `0.00035`."""
        return decimal(self.nm, NM_PER_INCH, 5)

    @property
    def mm_text(self) -> str:
        """Millimetres to three places, without the unit: `19.050`."""
        return decimal(self.nm, NM_PER_MM, 3)

    @property
    def fraction_text(self) -> str | None:
        """The inch fraction where it is one in 64ths (`1-1/8`), else None."""
        if self.nm <= 0 or self.nm % NM_PER_64TH:
            return None
        inches, rest = divmod(self.nm // NM_PER_64TH, 64)
        part = _SIXTY_FOURTHS[rest]
        if not part:
            return str(inches)
        return f"{inches}-{part}" if inches else part

    @property
    def is_metric(self) -> bool:
        """Whether a machinist would call it in millimetres: whole in 0.1 mm and no 64th of an inch."""
        return self.nm % (NM_PER_MM // 10) == 0 and self.nm % NM_PER_64TH != 0


LengthJson = TypedDict("LengthJson", {"nm": int, "in": str, "mm": str})
"""`nm` is exact, the texts are rounded to four and three places."""


def length_json(length: Length | None) -> LengthJson | None:
    """A length as other programs see it; null where it is not known."""
    return None if length is None else {"nm": length.nm, "in": length.inch_text, "mm": length.mm_text}


class Reading(Struct, frozen=True):
    """A length and how it was read: `0.7485 in`, `number 7 drill, 0.2010 in`."""

    length: Length
    how: str


class LengthError(ValueError):
    """A text that is no length. `read` is the text, shortened; `readings` what may have been meant, likeliest first."""

    def __init__(self, message: str, *, read: str, readings: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.message = message
        self.read = read
        self.readings = readings

    @property
    def suggest(self) -> str | None:
        return self.readings[0] if self.readings else None


class BareNumberError(LengthError):
    """A bare number of inches that nothing here can grip: ask which unit, or where its point belongs."""

    def __init__(self, text: str, limit: Length) -> None:
        self.in_inches = f"{text} in"
        self.in_mm = f"{text} mm"
        readings = _readings_of_bare(text, limit)
        lost_point = _LOST_POINT if text.isdigit() and {self.in_inches, self.in_mm}.isdisjoint(readings[-1:]) else ""
        super().__init__(
            f"“{text}” has no unit: {self.in_inches} is larger than anything here can grip.{lost_point} "
            f"Write {_or(readings)}.",
            read=text,
            readings=readings,
        )


_LOST_POINT = " Was its decimal point left out?"


def _or(readings: tuple[str, ...]) -> str:
    *others, last = readings
    return f"{', '.join(others)} or {last}" if others else last


def _readings_of_bare(number: str, limit: Length) -> tuple[str, ...]:
    """What a bare number above `limit` inches may mean: `7485` is read off a micrometer, `19` is in millimetres.

    Whole numbers of three figures or more that are too large in millimetres too have lost their point.
    """
    in_mm, in_inches = f"{number} mm", f"{number} in"
    if not number.isdigit():
        value = Fraction(number.replace(",", ".").removesuffix("."))
        is_thou = value * NM_PER_MM > limit.nm >= value * _UNITS["thou"]
        return (f"{number} thou",) if is_thou else (in_mm, in_inches)
    if len(number) < 3:
        return in_mm, in_inches
    small_enough = tuple(text for text in _with_point(number) if 0 < Fraction(text) * NM_PER_INCH <= limit.nm)
    if int(number) * NM_PER_MM <= limit.nm:
        return in_mm, *small_enough
    return small_enough or (in_mm, in_inches)


def _with_point(number: str) -> list[str]:
    """Whole figures as a micrometer shows them, to a tenth and to a thousandth."""
    return [f"{number[:-places]}.{number[-places:]}" for places in (4, 3) if len(number) >= places]


def _of_mm_without_point(number: str, limit: Length | None) -> LengthError | None:
    """For whole millimetres of four figures or more that nothing here can grip: they were read off an instrument of
    either unit, and lost their point. None where no place of the point makes a size."""
    if limit is None or not number.isdigit() or len(number) < 4 or int(number) * NM_PER_MM <= limit.nm:
        return None
    pointed = {places: f"{number[:-places]}.{number[-places:]}" for places in (4, 3, 2)}
    meant = (f"{pointed[4]} in", f"{pointed[3]} mm", f"{pointed[2]} mm")
    readings = tuple(text for text in meant if 0 < read(text).length.nm <= limit.nm)
    if not readings:
        return None
    return LengthError(
        f"“{number}” is {number} mm, larger than anything here can grip.{_LOST_POINT} Write {_or(readings)}.",
        read=number,
        readings=readings,
    )


def raise_doubt_of_thousands(text: str, unit: Unit | RunoutUnit, *, most: Length | None = None) -> None:
    """Raises LengthError for bare millimetres like `1.000`, typed in a shop that writes 1.000,5: is it a thousand?

    Not where a thousand times as much would be above `most`, the largest that can be meant.
    """
    number = " ".join(text.split())
    if unit != Unit.MM or not _POINT_BEFORE_THREE.fullmatch(number):
        return
    figures = number.replace(".", "")
    if most is not None and int(figures) * NM_PER_MM > most.nm:
        return
    readings = f"{figures} mm", f"{number} mm"
    raise LengthError(
        f"“{number}” can be read in two ways where a comma stands before decimals. Write {_or(readings)}.",
        read=number,
        readings=readings,
    )


def is_zero(text: str) -> bool:
    """Whether this is a length of zero, as a run-out may be: `parse` reads sizes, which are above it."""
    return _ZERO.fullmatch(text.strip()) is not None


def parse(text: str, unit: Unit | RunoutUnit = Unit.INCH, *, bare_limit: Length | None = None) -> Length:
    """The length that `text` says; a bare number is in `unit`, a bare fraction always in inches.

    `bare_limit` is the largest size that anything here can grip: a bare number of inches above it raises
    BareNumberError, unless three decimals or more say that it was measured in that unit; in millimetres it is asked
    back where its point is lost. Raises LengthError for all that is not a length above zero.
    """
    return read(text, unit, bare_limit=bare_limit).length


def read(text: str, unit: Unit | RunoutUnit = Unit.INCH, *, bare_limit: Length | None = None) -> Reading:
    """As `parse`, with how the text was understood."""
    cleaned = _cleaned(text)
    drill = _DRILL.fullmatch(cleaned)
    if drill:
        return _read_drill(drill, text)
    number, unit_word = _split_unit(cleaned, text)
    value, is_fraction = _number(number, text)
    if value <= 0:
        raise LengthError(f"“{shorten(text)}” is not above zero. Write {ACCEPTED}.", read=shorten(text))
    is_bare_inches = unit_word is None and not is_fraction and unit is Unit.INCH
    if is_bare_inches and bare_limit is not None and value * NM_PER_INCH > bare_limit.nm and not _is_measured(number):
        raise BareNumberError(number, bare_limit)
    if unit_word is None and unit is Unit.MM and (lost := _of_mm_without_point(number, bare_limit)):
        raise lost
    return _reading(value, unit_word or (Unit.INCH.value if is_fraction else unit.value), text)


def is_bare(text: str) -> bool:
    """Whether it is a decimal whose unit was not written; fractions and drills are inches. Raises LengthError."""
    cleaned = _cleaned(text)
    if _DRILL.fullmatch(cleaned):
        return False
    number, unit_word = _split_unit(cleaned, text)
    return unit_word is None and not _FRACTION.fullmatch(number)


def exact(length: Length) -> str:
    """A text that `parse` reads back to the same length: the fraction, else inches, else millimetres."""
    if length.fraction_text is not None:
        return f"{length.fraction_text} in"
    if length.nm % NM_PER_TENTH == 0 and not length.is_metric:
        return f"{length.inch_text} in"
    places = 1
    while length.nm % 10 ** (6 - places):
        places += 1
    return f"{decimal(length.nm, NM_PER_MM, places=places).removesuffix('.0')} mm"


def shorten(text: str) -> str:
    """What was read, short and printable enough to be said back."""
    text = " ".join(text.split())
    text = "".join(character if character.isprintable() else "\N{REPLACEMENT CHARACTER}" for character in text)
    return text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - 1] + "…"


_UNITS = {
    "in": Fraction(NM_PER_INCH),
    "mm": Fraction(NM_PER_MM),
    "thou": Fraction(NM_PER_INCH, 1000),
    "cm": Fraction(NM_PER_MM * 10),
    "m": Fraction(NM_PER_MM * 1000),
    "µm": Fraction(1000),
    "ft": Fraction(NM_PER_INCH * 12),
}
_UNIT_WORDS = {
    '"': "in", "”": "in", "″": "in", "''": "in", "’’": "in",
    "in": "in", "in.": "in", "inch": "in", "inches": "in",
    "mm": "mm", "mm.": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "thou": "thou", "thous": "thou", "mil": "thou", "mils": "thou",
    "cm": "cm", "m": "m", "um": "µm", "µm": "µm", "μm": "µm", "ft": "ft", "foot": "ft", "feet": "ft",
}  # fmt: skip
_WITH_UNIT = re.compile(r"(?P<number>[0-9][0-9.,/ -]*|[.,][0-9]+)\s*(?P<unit>[^0-9.,/ -].*)?", re.ASCII)
_DRILL = re.compile(
    r"(?:#|no\.?\s*|number\s*)(?P<number>[0-9]{1,2})|(?:letter\s*)?(?P<letter>[a-z])",
    re.ASCII | re.IGNORECASE,
)
_ZERO = re.compile(r"0*[.,]?0+(?:\s*(?:in|mm|thou|[uµμ]m|\"))?")
_POINT_BEFORE_THREE = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}", re.ASCII)
_BELOW_ZERO = re.compile("[-\N{MINUS SIGN}\N{EN DASH}] ?[0-9.,]", re.ASCII)
_DECIMAL = re.compile(r"(?:[0-9]{1,7}[.,]?[0-9]{0,12}|[.,][0-9]{1,12})", re.ASCII)
_FRACTION = re.compile(
    r"(?:(?P<whole>[0-9]{1,4})(?:\s*-\s*|\s+))?(?P<over>[0-9]{1,4})\s*/\s*(?P<under>[0-9]{1,4})", re.ASCII
)
_LONGEST = 100_000 * NM_PER_MM
"""A hundred metres: longer than any bar, and far inside a 64-bit integer of nanometres."""


def _cleaned(text: str) -> str:
    cleaned = " ".join(plain_signs(text).split())
    if not cleaned:
        raise LengthError(f"No size was given. Write {ACCEPTED}.", read="")
    if len(cleaned) > LONGEST_TEXT:
        raise LengthError(f"“{shorten(text)}” is too long to be a size. Write {ACCEPTED}.", read=shorten(text))
    if cleaned.startswith("="):
        raise LengthError(
            f"“{shorten(text)}” is a formula. Write its result: {ACCEPTED}.",
            read=shorten(text),
            readings=_if_readable(cleaned[1:]),
        )
    if _BELOW_ZERO.match(cleaned):
        raise LengthError(f"“{shorten(text)}” is below zero. Write {ACCEPTED}.", read=shorten(text))
    return cleaned


def _if_readable(text: str) -> tuple[str, ...]:
    try:
        parse(text)
    except LengthError:
        return ()
    return (text,)


def _unreadable(text: str) -> LengthError:
    return LengthError(f"“{shorten(text)}” cannot be read as a length. Write {ACCEPTED}.", read=shorten(text))


def _split_unit(cleaned: str, text: str) -> tuple[str, str | None]:
    number_and_unit = _WITH_UNIT.fullmatch(cleaned)
    if not number_and_unit:
        raise _unreadable(text)
    word = number_and_unit["unit"]
    if word is None:
        return number_and_unit["number"].strip(), None
    if word.lower() not in _UNIT_WORDS:
        raise _unreadable(text)
    # The hyphen of `3/4-inch` belongs to neither.
    return number_and_unit["number"].rstrip(" -"), _UNIT_WORDS[word.lower()]


def _is_measured(number: str) -> bool:
    """Three decimals or more are read off an instrument, and nobody reads it in the other unit by mistake."""
    return len(number.replace(",", ".").partition(".")[2]) >= MEASURED_DECIMALS


def _number(number: str, text: str) -> tuple[Fraction, bool]:
    fraction = _FRACTION.fullmatch(number)
    if fraction:
        return _fraction(fraction, text), True
    if not _DECIMAL.fullmatch(number):
        raise _unreadable(text)
    return Fraction(number.replace(",", ".").removesuffix(".")), False


def _fraction(fraction: re.Match[str], text: str) -> Fraction:
    over, under = int(fraction["over"]), int(fraction["under"])
    if under == 0:
        raise LengthError(f"“{shorten(text)}” divides by zero. Write {ACCEPTED}.", read=shorten(text))
    if fraction["whole"] is not None and over >= under:
        raise _unreadable(text)
    return int(fraction["whole"] or 0) + Fraction(over, under)


def _read_drill(gauge: re.Match[str], text: str) -> Reading:
    # Imported here: the table is only wanted by the few sizes that are written so.
    from inventory.reference.drills import gauge_size

    name = str(int(gauge["number"])) if gauge["number"] else gauge["letter"].upper()
    length = gauge_size(name)
    if length is None:
        raise LengthError(
            f"“{shorten(text)}” is no drill gauge size: numbers go from 1 to 80, letters from A to Z.",
            read=shorten(text),
        )
    kind = "number" if gauge["number"] else "letter"
    return Reading(length, f"{kind} {name} drill, {length.inch_text} in")


def _reading(value: Fraction, unit: str, text: str) -> Reading:
    nm = value * _UNITS[unit]
    if nm > _LONGEST:
        readings = tuple(_with_point(text)) if text.isascii() and text.isdigit() and unit == Unit.INCH else ()
        meant = f"{_LOST_POINT} Write {_or(readings)}." if readings else f" Write {ACCEPTED}."
        raise LengthError(f"“{shorten(text)}” is longer than 100 m.{meant}", read=shorten(text), readings=readings)
    length = Length(_whole_nm(nm, shorten(text)))
    return Reading(length, _exact_inches(length) if unit in {"in", "thou", "ft"} else exact_mm(length))


def _exact_inches(length: Length) -> str:
    """As `named` with the unit, or every place there is where four would round: `0.74855 in`."""
    if length.fraction_text is not None or length.nm % NM_PER_TENTH == 0:
        return f"{length.fraction_text or length.inch_text} in"
    # A nanometre is 1/25 400 000 in: what was typed as a decimal ends within the places that can be typed.
    places = next((n for n in range(5, 13) if length.nm * 10**n % NM_PER_INCH == 0), None)
    return exact_mm(length) if places is None else f"{decimal(length.nm, NM_PER_INCH, places=places)} in"


def exact_mm(length: Length) -> str:
    """Millimetres with as many places as it takes, and the unit: `19 mm`, `19.05 mm`."""
    text = decimal(length.nm, NM_PER_MM, places=6).rstrip("0").removesuffix(".")
    return f"{text} mm"


def _whole_nm(nm: Fraction, text: str) -> int:
    if nm.denominator != 1:
        raise LengthError(
            f"“{text}” is no whole number of nanometres. "
            "Write it as a decimal, to five places of an inch or six of a millimetre.",
            read=text,
        )
    return nm.numerator


@lru_cache(maxsize=4096)
def decimal(nm: int, per_unit: int, places: int) -> str:
    """`nm` in units of `per_unit`, rounded half away from zero, in integers only."""
    scaled, rest = divmod(abs(nm) * 10**places, per_unit)
    scaled += rest * 2 >= per_unit
    units, decimals = divmod(scaled, 10**places)
    sign = "-" if nm < 0 and scaled else ""
    return f"{sign}{units}.{decimals:0{places}d}"
