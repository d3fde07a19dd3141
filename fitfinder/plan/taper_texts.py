"""A taper as drawings and shops write it: a ratio, so much a foot or a metre, an angle, a Morse taper by its number."""

from __future__ import annotations

import re
from fractions import Fraction

from fitfinder.arithmetic.tapers import taper_of_angle
from inventory.reference.tapers import MORSE_NAMED, morse

TAPERS_ACCEPTED = "20 or 1:20, .6 in/ft or 50 mm/m on diameter, 3 deg a side, 6 deg included, or Morse 2"
_NUMBER = (
    r"(?:(?:(?P<whole>[0-9]{1,2})[- ])?(?P<over>[0-9]{1,4})\s*/\s*(?P<under>[0-9]{1,4})"
    r"|(?P<decimal>[0-9]{1,5}(?:[.,][0-9]{1,6})?|[.,][0-9]{1,6}))"
)
_RATIO = re.compile(rf"(?:(?P<change>[1-9][0-9]{{0,2}})\s*(?::|in)\s*)?{_NUMBER}", re.ASCII)
_EACH = re.compile(
    rf"{_NUMBER}\s*(?P<unit>in\.?|inch|inches|\"|”|mm|millimet(?:er|re)s?)?\s*(?P<each>/|per|a|p)?\s*"
    r"(?P<length>ft\.?|foot|tpf|'|’|m|met(?:er|re)|%|percent)",
    re.ASCII,
)
_ANGLE = re.compile(
    rf"{_NUMBER}\s*(?:°|deg\.?|degrees?)\s*(?:(?P<minutes>[0-5]?[0-9])\s*(?:['′’]|min\.?|minutes?)\s*)?"
    r"(?P<how>included|incl\.?|inclusive|(?:a|per|each)\s+side|half(?:\s+angle)?)?",
    re.ASCII,
)
_MORSE_BEHIND = re.compile(r"(?P<number>[0-9])\s*m\.?t\.?")


def taper_ratio(text: str) -> Fraction:
    """How far a taper goes along the axis to change the diameter by one: 20 for 1:20.

    Raises ValueError with the end of a sentence that begins with what was read.
    """
    cleaned = " ".join(text.lower().split())
    named = MORSE_NAMED.fullmatch(cleaned) or _MORSE_BEHIND.fullmatch(cleaned)
    if named and named["number"]:
        if (taper := morse(named["number"].replace(" ", "-"))) is None:
            raise ValueError("is no Morse taper: they go from 0 to 7, with a 4-1/2")
        ratio = 12 / taper.taper_per_foot
    elif angle := _ANGLE.fullmatch(cleaned):
        ratio = 1 / taper_of_angle(_half_angle(angle))
    elif each := _EACH.fullmatch(cleaned):
        share = _number(each) * _share_of(each)
        ratio = 1 / share if share else Fraction(0)
    elif plain := _RATIO.fullmatch(cleaned):
        if plain["over"]:
            raise ValueError("may be a ratio or so much a foot")
        ratio = _number(plain) / int(plain["change"] or 1)
    else:
        raise ValueError("is no taper")
    if ratio >= 100_000:
        raise ValueError("is no taper")
    if ratio < 1:
        raise ValueError("is steeper than is planned here: the diameter may change by no more than the length does")
    return ratio


def _number(read: re.Match[str]) -> Fraction:
    if read["over"]:
        parts = Fraction(int(read["over"]), int(read["under"])) if int(read["under"]) else Fraction(0)
        return int(read["whole"] or 0) + parts
    return Fraction(read["decimal"].replace(",", "."))


def _share_of(read: re.Match[str]) -> Fraction:
    """What one of the unit over its length is, both in the same unit."""
    if not read["unit"] and not read["each"] and read["length"] not in {"tpf", "%", "percent"}:
        raise ValueError("does not say so much for each of what")
    length, is_metric = read["length"].strip("."), (read["unit"] or "").startswith("m")
    if length in {"%", "percent"} and not read["unit"]:
        return Fraction(1, 100)
    if length.startswith("m") and is_metric:
        return Fraction(1, 1000)
    if length.startswith(("f", "t", "'", "’")) and not is_metric:
        return Fraction(1, 12)
    raise ValueError("mixes inches and millimetres" if read["unit"] else "does not say so much of what")


def _half_angle(read: re.Match[str]) -> Fraction:
    degrees = _number(read) + Fraction(int(read["minutes"] or 0), 60)
    if not read["how"]:
        raise ValueError("may be of one side or of both: write “a side” or “included” behind it")
    if read["how"].startswith("inc"):
        degrees /= 2
    if not 0 < degrees < 45:
        raise ValueError("is outside 0 to 45 degrees a side")
    return degrees
