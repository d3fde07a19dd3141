"""How a value is read from what a machinist types.

Lengths are read as everywhere in this book. The unit of anything else is looked up by pint, which never sees the
number: it would read `1 1/2 in` and `12,7 mm` wrongly.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

from fitfinder.arithmetic.quantities import UNITS, Kind, Quantity
from fitfinder.holding.stock import QuestionError
from inventory.measures import lengths
from inventory.measures.lengths import LengthError, Unit, shorten

EXAMPLES = {
    Kind.LENGTH: "3/4, .7485 or 20mm",
    Kind.READING: "0.012, -.003 or 0.05mm",
    Kind.FORCE: "100lbf or 300N",
    Kind.MASS: "3lb or 2.4kg",
    Kind.SURFACE_SPEED: "100ft/min or 30m/min",
    Kind.STIFFNESS: "30e6psi or 205GPa",
    Kind.DENSITY: "0.2836lb/in^3 or 7850kg/m^3",
    Kind.SPEED: "800 or 800rpm",
    Kind.ANGLE: "60 or 60deg",
    Kind.RATIO: "20 or 1:20, which mean 1 in 20",
    Kind.TAPER: "0.6 or 0.6in/ft",
    Kind.COUNT: "3",
}


def read_quantity(text: str, kind: Kind, *, field: str, unit: Unit, may_be_zero: bool = False) -> Quantity:
    """One value; a bare number is in the unit of `kind` in the system of `unit`.

    Raises QuestionError, which names the field, what was read and what is accepted; also for zero where it cannot be
    and for anything below zero but an indicator reading.
    """
    cleaned = " ".join(text.split()).replace("\N{MINUS SIGN}", "-")
    sign = -1 if cleaned.startswith("-") and kind is Kind.READING else 1
    body = cleaned[1:].strip() if cleaned[:1] in ("-", "+") and kind is Kind.READING else cleaned
    if not body or len(body) > lengths.LONGEST_TEXT:
        raise _unreadable(text, kind, field)
    if kind in (Kind.LENGTH, Kind.READING):
        found = _length(body, text, kind, field, unit)
    else:
        found = _measure(body, text, kind, field, unit)
    if found.value == 0 and (may_be_zero or kind is Kind.READING):
        return found
    if found.value <= 0:
        raise _refusal(f"“{shorten(text)}” is not above zero", text, kind, field)
    return Quantity(sign * found.value, found.unit)


def read_count(text: str, *, field: str, largest: int) -> int:
    """A whole number from 1 to `largest`, also with the word for what is counted. Raises QuestionError."""
    found = re.fullmatch(r"([0-9]{1,6})\s*(?:jaws?|slots?|teeth|tooth|starts?)?", text.strip(), re.ASCII | re.I)
    if not found or not 1 <= int(found[1]) <= largest:
        message = f"“{shorten(text)}” cannot be used as {field}. Write a whole number from 1 to {largest}, like 3."
        raise QuestionError(message, field=field, read=shorten(text))
    return int(found[1])


_NUMBER = re.compile(
    r"(?P<sign>[-+]?)\s*(?:(?P<whole>[0-9]{1,6})(?:\s*-\s*|\s+))?(?P<over>[0-9]{1,6})\s*/\s*(?P<under>[0-9]{1,6})"
    r"(?P<rest>.*)"
    r"|(?P<decimal>[-+]?(?:[0-9]{1,15}(?:[.,][0-9]{0,30})?|[.,][0-9]{1,30})(?:e[-+]?[0-9]{1,2}(?![0-9]))?)(?P<unit>.*)",
    re.ASCII | re.I,
)
_AMBIGUOUS = re.compile(r"[0-9]{1,3},[0-9]{3}", re.ASCII)


def _number(body: str, text: str, kind: Kind, field: str) -> tuple[Fraction, str]:
    """The number and what stands behind it."""
    found = _NUMBER.fullmatch(body)
    if not found:
        raise _unreadable(text, kind, field)
    if found["decimal"] is None:
        if not int(found["under"]):
            raise _refusal(f"“{shorten(text)}” divides by zero", text, kind, field)
        value = int(found["whole"] or 0) + Fraction(int(found["over"]), int(found["under"]))
        return -value if found["sign"] == "-" else value, found["rest"].strip()
    number = found["decimal"]
    if _AMBIGUOUS.fullmatch(number):
        if kind is Kind.SPEED:
            return Fraction(number.replace(",", "")), found["unit"].strip()
        raise QuestionError(
            f"“{shorten(text)}” could be {number.replace(',', '.')} or {number.replace(',', '')}. Write one of them.",
            field=field,
            read=shorten(text),
            suggest=number.replace(",", "") + found["unit"].strip(),
        )
    return Fraction(number.replace(",", ".")), found["unit"].strip()


_EXACT = re.compile(r"((?:[0-9]{1,8}(?:[.,][0-9]{0,30})?|[.,][0-9]{1,30}))\s*(in|mm|\")?", re.ASCII | re.I)
_METRIC_LENGTH = re.compile(r".*[0-9.,/\s](?:[mcuµμ]?m|mm\.|millimet(?:re|er)s?)", re.I)


def _length(body: str, text: str, kind: Kind, field: str, unit: Unit) -> Quantity:
    plain_number = _EXACT.fullmatch(body)
    if plain_number:
        # What another sum gave has more places than a nanometre: it is not rounded here.
        value = Fraction(plain_number[1].replace(",", "."))
        word = (plain_number[2] or unit.value).lower().replace('"', "in")
        return _not_too_long(Quantity(value, word), text, kind, field)
    try:
        length = lengths.parse(body, unit)
    except LengthError as error:
        accepted = (
            error.message if kind is Kind.LENGTH else f"“{shorten(text)}” cannot be read as {kind}. {_like(kind)}"
        )
        raise QuestionError(accepted, field=field, read=shorten(text), suggest=error.suggest) from None
    word = "mm" if _METRIC_LENGTH.fullmatch(body) else "in"
    return Quantity.of(Fraction(length.nm, 10**9), word)


def _not_too_long(length: Quantity, text: str, kind: Kind, field: str) -> Quantity:
    if length.base > 100:
        raise _refusal(f"“{shorten(text)}” is longer than 100 m", text, kind, field)
    return length


_OWN_UNITS = {
    Kind.SPEED: re.compile(r"(?:rpm|r\.?p\.?m\.?|rev/min|/min|1/min)?", re.I),
    Kind.ANGLE: re.compile(r"(?:°|deg\.?|degrees?)?", re.I),
    Kind.TAPER: re.compile(r"(?:in|inch|inches|\")?\s*(?:/|per\s)?\s*(?:ft\.?|foot)?|tpf", re.I),
    Kind.RATIO: re.compile(r""),
}


def _measure(body: str, text: str, kind: Kind, field: str, unit: Unit) -> Quantity:
    if kind is Kind.RATIO:
        body = re.sub(r"^1\s*(?::|in\s)\s*", "", body)
        if "/" in body:
            raise _unreadable(text, kind, field)
    value, word = _number(body, text, kind, field)
    if kind in _OWN_UNITS:
        if not _OWN_UNITS[kind].fullmatch(word):
            raise _wrong_unit(word, text, kind, field)
        return Quantity(value, UNITS[kind][0])
    if not word:
        return _bare(value, text, kind, field, unit)
    return _with_unit(value, word, text, kind, field)


# A bare number is taken only where it can be that of some solid that is turned: from soft plastic to tungsten.
_BELIEVABLE = {
    "psi": (10**5, 2 * 10**8),
    "MPa": (10**3, 10**6),
    "lb/in^3": (Fraction("0.01"), 1),
    "kg/m^3": (300, 25_000),
}


def _bare(value: Fraction, text: str, kind: Kind, field: str, unit: Unit) -> Quantity:
    name = UNITS[kind][unit is Unit.MM]
    low, high = _BELIEVABLE.get(name, (None, None))
    if low is not None and value > 0 and not low <= value <= high:
        raise _refusal(f"“{shorten(text)}” has no unit, and {shorten(text)} {name} is no solid", text, kind, field)
    return Quantity(value, name)


_UNIT_TEXT = re.compile(r"[a-zµμ]{1,12}(?:\s?[*/·]\s?[a-zµμ]{1,12}|(?:\^|\*\*)?[1-3²³])*", re.I)
_INCH_WORDS = {
    "lb", "lbs", "lbf", "lbm", "pound", "pounds", "oz", "ozf", "ft", "feet", "foot", "in", "inch", "inches", "psi",
    "ksi", "kip", "kpsi", "mpsi", "ton", "tons", "yd",
}  # fmt: skip
_ALIASES = {
    "sfm": "ft/min", "fpm": "ft/min", "sfpm": "ft/min", "mpa": "MPa", "gpa": "GPa", "n": "N", "kn": "kN", "kp": "kgf",
    "#": "lb", "lbs": "lb", "kg": "kg", "g": "g", "mpsi": "Mpsi", "n/mm2": "N/mm^2", "n/mm²": "N/mm^2",
    "lb/in3": "lb/in^3", "lb/cu in": "lb/in^3", "g/cc": "g/cm^3", "g/cm3": "g/cm^3", "kg/m3": "kg/m^3",
    "kg/dm3": "kg/dm^3",
}  # fmt: skip
_DIMENSIONS = {
    Kind.FORCE: ("lbf", "N"),
    Kind.MASS: ("lb", "kg"),
    Kind.SURFACE_SPEED: ("ft/min", "m/min"),
    Kind.STIFFNESS: ("psi", "MPa"),
    Kind.DENSITY: ("lb/in^3", "kg/m^3"),
}


def _with_unit(value: Fraction, word: str, text: str, kind: Kind, field: str) -> Quantity:
    inch, metric = _DIMENSIONS[kind]
    word = _ALIASES.get(word.rstrip(".").lower(), word)
    name = inch if _INCH_WORDS & set(re.split(r"[^a-z]+", word.lower())) else metric
    factor = _factor(word, name) if _UNIT_TEXT.fullmatch(word) else None
    if factor is None:
        raise _wrong_unit(word, text, kind, field)
    return Quantity(value * factor, name)


@cache
def _registry():
    # Half a second to load, and a sum without such units does without it.
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


def _factor(word: str, name: str) -> Fraction | None:
    """How many of the unit `name` one `word` is; None where it is none, or of another kind."""
    if word == name:
        return Fraction(1)
    import pint

    try:
        return Fraction(_registry().Quantity(Fraction(1), word).to(name).magnitude)
    except (pint.PintError, AttributeError, ValueError, TypeError, ArithmeticError, AssertionError):
        # Pint's own parser ends in several ways on what is no unit.
        return None


def _like(kind: Kind) -> str:
    return f"Write it like {EXAMPLES[kind]}."


def _refusal(said: str, text: str, kind: Kind, field: str) -> QuestionError:
    return QuestionError(f"{said}. {_like(kind)}", field=field, read=shorten(text))


def _unreadable(text: str, kind: Kind, field: str) -> QuestionError:
    if not text.strip():
        return QuestionError(f"{field} is empty. {_like(kind)}", field=field, read="")
    return _refusal(f"“{shorten(text)}” cannot be read as {kind}", text, kind, field)


def _wrong_unit(word: str, text: str, kind: Kind, field: str) -> QuestionError:
    said = f"“{shorten(text)}” is not {kind}: “{shorten(word)}” is none of its units"
    error = _refusal(said, text, kind, field)
    if kind is Kind.FORCE and word in ("lb", "kg"):
        # A weight is not taken for its pull, but that is what was meant.
        error.suggest = f"{shorten(text).rstrip('lbskg .')}{word}f"
    return error
