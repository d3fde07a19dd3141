"""How a value is read from what a machinist types.

Lengths are read as everywhere in this book. The unit of anything else is looked up by pint, which never sees the
number: it would read `1 1/2 in` and `12,7 mm` wrongly.
"""

from __future__ import annotations

import re
from fractions import Fraction

from msgspec import Struct

from fitfinder.arithmetic.quantities import Measure, Quantity, worth
from fitfinder.questions import QuestionError
from inventory.measures import lengths
from inventory.measures.lengths import LengthError, Unit, shorten

EXAMPLES = {
    Measure.LENGTH: "3/4, .7485 or 20mm",
    Measure.READING: "0.012, -.003 or 0.05mm",
    Measure.FORCE: "100lbf or 300N",
    Measure.MASS: "3lb or 2.4kg",
    Measure.SURFACE_SPEED: "100ft/min or 30m/min",
    Measure.STIFFNESS: "30e6psi or 205GPa",
    Measure.DENSITY: "0.2836lb/in^3 or 7850kg/m^3",
    Measure.SPEED: "800 or 800rpm",
    Measure.ANGLE: "60 or 60deg",
    Measure.RATIO: "20 or 1:20, which mean 1 in 20",
    Measure.TAPER: "0.6 or 0.6in/ft",
    Measure.COUNT: "3",
}


def read_quantity(text: str, measure: Measure, *, field: str, unit: Unit, may_be_zero: bool = False) -> Quantity:
    """One value; a bare number is in the unit of `measure` in the system of `unit`.

    Raises QuestionError, which names the field, what was read and what is accepted; also for zero where it cannot be
    and for anything below zero but an indicator reading.
    """
    typed = _Typed(text, measure, field)
    body = " ".join(text.split()).replace("\N{MINUS SIGN}", "-")
    sign = 1
    if measure is Measure.READING and body[:1] in ("-", "+"):
        sign = -1 if body[0] == "-" else 1
        body = body[1:].strip()
    if not body or len(body) > lengths.LONGEST_TEXT:
        raise typed.unreadable()
    is_length = measure in (Measure.LENGTH, Measure.READING)
    quantity = _length(typed, body, unit) if is_length else _measured(typed, body, unit)
    if quantity.value == 0 and (may_be_zero or measure is Measure.READING):
        return quantity
    if quantity.value <= 0:
        raise typed.refusal("is not above zero")
    return Quantity(sign * quantity.value, quantity.unit, measure)


def read_count(text: str, *, field: str, largest: int) -> int:
    """A whole number from 1 to `largest`, also with the word for what is counted. Raises QuestionError."""
    match = re.fullmatch(r"([0-9]{1,6})\s*(?:jaws?|slots?|teeth|tooth|starts?)?", text.strip(), re.ASCII | re.I)
    if not match or not 1 <= int(match[1]) <= largest:
        message = f"“{shorten(text)}” cannot be used as {field}. Write a whole number from 1 to {largest}, like 3."
        raise QuestionError(message, field=field, read=shorten(text))
    return int(match[1])


class _Typed(Struct, frozen=True):
    """What was typed for which key, and the sentences that turn it down."""

    text: str
    measure: Measure
    field: str

    def refusal(self, why: str) -> QuestionError:
        message = f"“{shorten(self.text)}” {why}. {self._like}"
        return QuestionError(message, field=self.field, read=shorten(self.text))

    def unreadable(self) -> QuestionError:
        if not self.text.strip():
            return QuestionError(f"{self.field} is empty. {self._like}", field=self.field, read="")
        return self.refusal(f"cannot be read as {self.measure.words}")

    def wrong_unit(self, word: str) -> QuestionError:
        error = self.refusal(f"is not {self.measure.words}: “{shorten(word)}” is none of its units")
        if self.measure is Measure.FORCE and word in ("lb", "kg"):
            # A weight is not taken for its pull, but that is what was meant.
            error.readings = (f"{shorten(self.text).rstrip('lbskg .')}{word}f",)
        return error

    @property
    def _like(self) -> str:
        return f"Write it like {EXAMPLES[self.measure]}."


_EXACT = re.compile(r"((?:[0-9]{1,8}(?:[.,][0-9]{0,30})?|[.,][0-9]{1,30}))\s*(in|mm|\")?", re.ASCII | re.I)
_METRIC_LENGTH = re.compile(r".*[0-9.,/\s](?:[mcuµμ]?m|mm\.|millimet(?:re|er)s?)", re.I)
_LONGEST = 100
"""Metres."""


def _length(typed: _Typed, body: str, unit: Unit) -> Quantity:
    plain_number = _EXACT.fullmatch(body)
    if plain_number:
        # What another sum gave has more places than a nanometre: it is not rounded here.
        word = (plain_number[2] or unit.value).lower().replace('"', "in")
        quantity = Quantity(Fraction(plain_number[1].replace(",", ".")), word, typed.measure)
        if quantity.counted > _LONGEST:
            raise typed.refusal(f"is longer than {_LONGEST} m")
        return quantity
    try:
        length = lengths.parse(body, unit)
    except LengthError as error:
        refusal = typed.unreadable()
        if typed.measure is Measure.LENGTH:
            refusal = QuestionError(error.message, field=typed.field, read=shorten(typed.text))
        refusal.readings = error.readings
        raise refusal from None
    return Quantity.of(Fraction(length.nm, 10**9), typed.measure, metric=bool(_METRIC_LENGTH.fullmatch(body)))


_NUMBER = re.compile(
    r"(?P<sign>[-+]?)\s*(?:(?P<whole>[0-9]{1,6})(?:\s*-\s*|\s+))?(?P<over>[0-9]{1,6})\s*/\s*(?P<under>[0-9]{1,6})"
    r"(?P<rest>.*)"
    r"|(?P<decimal>[-+]?(?:[0-9]{1,15}(?:[.,][0-9]{0,30})?|[.,][0-9]{1,30})(?:e[-+]?[0-9]{1,2}(?![0-9]))?)(?P<unit>.*)",
    re.ASCII | re.I,
)
_AMBIGUOUS = re.compile(r"[0-9]{1,3},[0-9]{3}", re.ASCII)


def _number(typed: _Typed, body: str) -> tuple[Fraction, str]:
    """The number and what stands behind it."""
    match = _NUMBER.fullmatch(body)
    if not match:
        raise typed.unreadable()
    if match["decimal"] is None:
        return _fraction(typed, match), match["rest"].strip()
    number, word = match["decimal"], match["unit"].strip()
    if _AMBIGUOUS.fullmatch(number):
        if typed.measure is not Measure.SPEED:
            raise _which_number(typed, number, word)
        number = number.replace(",", "")
    return Fraction(number.replace(",", ".")), word


def _fraction(typed: _Typed, match: re.Match[str]) -> Fraction:
    if not int(match["under"]):
        raise typed.refusal("divides by zero")
    value = int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"]))
    return -value if match["sign"] == "-" else value


def _which_number(typed: _Typed, number: str, word: str) -> QuestionError:
    decimal, thousands = number.replace(",", "."), number.replace(",", "")
    return QuestionError(
        f"“{shorten(typed.text)}” could be {decimal} or {thousands}. Write one of them.",
        field=typed.field,
        read=shorten(typed.text),
        readings=(thousands + word,),
    )


_OF_ONE_UNIT = {
    Measure.SPEED: re.compile(r"(?:rpm|r\.?p\.?m\.?|rev/min|/min|1/min)?", re.I),
    Measure.ANGLE: re.compile(r"(?:°|deg\.?|degrees?)?", re.I),
    Measure.TAPER: re.compile(r"(?:in|inch|inches|\")?\s*(?:/|per\s)?\s*(?:ft\.?|foot)?|tpf", re.I),
    Measure.RATIO: re.compile(r""),
}
"""What may stand behind a number that has one unit only. Pint is not asked: 1/min is no turn to it, and an angle a bare
number."""


def _measured(typed: _Typed, body: str, unit: Unit) -> Quantity:
    measure = typed.measure
    if measure is Measure.RATIO:
        body = re.sub(r"^1\s*(?::|in\s)\s*", "", body)
        if "/" in body:
            raise typed.unreadable()
    value, word = _number(typed, body)
    if measure in _OF_ONE_UNIT:
        if not _OF_ONE_UNIT[measure].fullmatch(word):
            raise typed.wrong_unit(word)
        return Quantity(value, measure.inch, measure)
    if not word:
        return _bare(typed, value, unit)
    return _with_unit(typed, value, word)


# A bare number is taken only where it can be that of some solid that is turned: from soft plastic to tungsten.
_BELIEVABLE: dict[str | None, tuple[Fraction, Fraction]] = {
    "psi": (Fraction(10**5), Fraction(2 * 10**8)),
    "MPa": (Fraction(10**3), Fraction(10**6)),
    "lb/in^3": (Fraction("0.01"), Fraction(1)),
    "kg/m^3": (Fraction(300), Fraction(25_000)),
}


def _bare(typed: _Typed, value: Fraction, unit: Unit) -> Quantity:
    name = typed.measure.unit(metric=unit is Unit.MM)
    low, high = _BELIEVABLE.get(name, (value, value))
    if value > 0 and not low <= value <= high:
        raise typed.refusal(f"has no unit, and {shorten(typed.text)} {name} is no solid")
    return Quantity(value, name, typed.measure)


_UNIT_TEXT = re.compile(r"[a-zµμ]{1,12}(?:\s?[*/·]\s?[a-zµμ]{1,12}|(?:\^|\*\*)?[1-3²³])*", re.I)
_WITHOUT_CARET = re.compile(r"(?<=[a-z])(?=[23]\b)", re.I)
_SHOP_WORDS = {
    "sfm": "ft/min", "fpm": "ft/min", "sfpm": "ft/min", "mpa": "MPa", "gpa": "GPa", "n": "N", "kn": "kN", "kp": "kgf",
    "#": "lb", "mpsi": "Mpsi", "n/mm^2": "N/mm^2", "n/mm²": "N/mm^2", "lb/cu in": "lb/in^3",
}  # fmt: skip
"""What pint knows by another name, or would take for a thousandth in these letters."""
_INCH_WORDS = {
    "lb", "lbs", "lbf", "lbm", "pound", "pounds", "oz", "ozf", "ft", "feet", "foot", "in", "inch", "inches", "psi",
    "ksi", "kip", "kpsi", "mpsi", "ton", "tons", "yd",
}  # fmt: skip
"""An answer to one of these is in inches and pounds."""


def _with_unit(typed: _Typed, value: Fraction, word: str) -> Quantity:
    plain_word = _WITHOUT_CARET.sub("^", word.rstrip("."))
    name = _SHOP_WORDS.get(plain_word.lower(), plain_word)
    is_inch = bool(_INCH_WORDS & set(re.split(r"[^a-z]+", name.lower())))
    unit = typed.measure.unit(metric=not is_inch)
    # `KG` is no unit to pint, and is one to a person.
    times = _worth_in(name, unit) or _worth_in(name.lower(), unit)
    if times is None:
        raise typed.wrong_unit(name)
    return Quantity(value * times, unit, typed.measure)


def _worth_in(name: str, unit: str | None) -> Fraction | None:
    """How many of `unit` the typed one is; None where it is no unit, or one of another measure."""
    if not _UNIT_TEXT.fullmatch(name):
        return None
    import pint

    try:
        return worth(name, unit)
    except (pint.PintError, AttributeError, ValueError, TypeError, ArithmeticError, AssertionError):
        # Pint's own parser ends in several ways on what is no unit.
        return None
