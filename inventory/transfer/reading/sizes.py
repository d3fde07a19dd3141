"""Lengths and ranges inside the texts of a sheet: `Ø20`, `dia 3/4"`, `1/16 - 1-1/8`, `18-25 mm`."""

from __future__ import annotations

import re

from msgspec import Struct

from inventory.measures.lengths import Length, LengthError, Unit, exact, parse

_NUMBER = r"(?:\d+[- ]\d+/\d+|\d+/\d+|\d*[.,]\d+|\d+)"
_UNIT = (
    r"(?:mm\b\.?|cm\b|\"|in\b\.?|inch(?:es)?\b|zoll\b|pouces?\b|pulgadas?\b|pulg\b\.?|pollic[ei]\b|thou\b|mils?\b"
    r"|um\b|microns?\b|micras?\b)"
)
_DIAMETER = r"(?:ø|dia\b\.?|diam\b\.?|diameter\b|d=)"
_AND_UP_TO = r"(?:-|to\b|bis\b|thru\b|hasta\b|fino a\b|jusqu'?a\b|\.{2,3}|a\b)"
_LENGTH = re.compile(
    rf"(?<![\w.,/])(?P<dia>{_DIAMETER})?\s*(?P<number>{_NUMBER})\s*-?\s*(?P<unit>{_UNIT})?(?![\w/])", re.ASCII
)
_RANGE = re.compile(
    rf"(?<![\w.,/])(?P<dia>{_DIAMETER})?\s*(?P<low>{_NUMBER})\s*(?P<lowunit>{_UNIT})?\s*{_AND_UP_TO}\s*{_DIAMETER}?\s*"
    rf"(?P<high>{_NUMBER})\s*-?\s*(?P<highunit>{_UNIT})?(?![\w/])",
    re.ASCII,
)
_UNIT_OF = {
    '"': "in", "in": "in", "inch": "in", "inches": "in", "zoll": "in", "pouce": "in", "pouces": "in", "pulgada": "in",
    "pulgadas": "in", "pulg": "in", "pollice": "in", "pollici": "in", "mm": "mm", "cm": "cm", "thou": "thou",
    "mil": "thou", "mils": "thou", "um": "um", "micron": "um", "microns": "um", "micra": "um", "micras": "um",
}  # fmt: skip
_DOTTED_MIXED = re.compile(r"\b(\d+)\.(\d+/\d+)")
_MIXED = re.compile(r"\D*\d+-\d+/\d+\D*")
"""`1-1/4` by itself, which reads like a range from 1 to 1/4."""
_ZERO_AND_FRACTION = re.compile(r"(?<![\w.,/])0\s*-\s*(\d+/\d+)")


class WrittenLength(Struct, frozen=True, kw_only=True):
    """A number in a text with its unit, None where none stands there; `is_diameter` where it is called one."""

    number: str
    unit: str | None
    is_diameter: bool
    start: int
    end: int

    @property
    def is_fraction(self) -> bool:
        return "/" in self.number

    def length(self, bare: Unit) -> Length | None:
        """Its length, a bare number in this unit; a bare fraction is in inches to everybody, a bare Ø in mm.

        None where it is no length above zero.
        """
        unit = self.unit or ("in" if self.is_fraction else None)
        if unit is None:
            unit = "mm" if self.is_diameter and not self.number.startswith((".", ",", "0")) else str(bare)
        try:
            return parse(f"{self.number} {unit}")
        except LengthError:
            return None

    def text(self, bare: Unit) -> str:
        """Its length as a text that a form reads back; empty where it is none."""
        length = self.length(bare)
        return exact(length) if length is not None else ""


class Span(Struct, frozen=True, kw_only=True):
    """From one number to another in a text; the lower is empty where it is 0."""

    low: WrittenLength | None
    high: WrittenLength
    start: int
    end: int


def prepared(text: str) -> str:
    """A folded text with odd fractions written plainly: `1.1/8` is `1-1/8`, and `0-1/2` is no mixed number."""
    return _ZERO_AND_FRACTION.sub(r"0 to \1", _DOTTED_MIXED.sub(r"\1-\2", text))


def measures_in(text: str) -> list[WrittenLength]:
    """The numbers of a prepared text that can be lengths."""
    return [
        WrittenLength(
            number=written["number"],
            unit=_unit(written["unit"]),
            is_diameter=bool(written["dia"]),
            start=written.start(),
            end=written.end(),
        )
        for written in _LENGTH.finditer(text)
    ]


def spans_in(text: str) -> list[Span]:
    """The ranges of a prepared text; a unit that stands once is that of both ends."""
    spans = []
    for written in _RANGE.finditer(text):
        if _MIXED.fullmatch(written[0]):
            continue
        high_unit = _unit(written["highunit"])
        low_unit = _unit(written["lowunit"]) or high_unit
        high = _measure(written, "high", high_unit or _unit(written["lowunit"]))
        low = _measure(written, "low", low_unit)
        is_zero = not low.number.strip("0.,")
        spans.append(Span(low=None if is_zero else low, high=high, start=written.start(), end=written.end()))
    return spans


def _measure(written: re.Match[str], name: str, unit: str | None) -> WrittenLength:
    return WrittenLength(
        number=written[name],
        unit=unit,
        is_diameter=bool(written["dia"]),
        start=written.start(name),
        end=written.end(name),
    )


def _unit(text: str | None) -> str | None:
    return _UNIT_OF.get(text.rstrip(".")) if text else None
