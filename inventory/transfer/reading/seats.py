"""Seats and families named inside the texts of a sheet: `MK 3`, `camlock 4`, `1-1/8" x 12 tpi`, `ER-32`."""

from __future__ import annotations

import re
from collections.abc import Collection

from msgspec import Struct

_NO = r"(?:gr\.?|nr\.?|no\.?|n\.?|n°|#|size|taille|taglia|grosse|tam\.?)?\s*"
_MORSE = r"(?:m\.?\s?t\.?|mk|cm|morse(?:\s?taper)?|morsekegel|cono\s?morse|cone\s?morse|c\.m\.|mta|mtb)"
_PATTERNS = (
    (re.compile(rf"(?<![\w]){_MORSE}\s*[-#]?\s*{_NO}([0-7])(?![\d./]\d|[\w])"), "MT{}"),
    (re.compile(rf"(?<![\w.-])(?<!\d/){_NO}([0-7])\s*-?\s*(?:mt|m\.t\.|mk|cm|morse)(?![\w])"), "MT{}"),
    (re.compile(rf"(?:din\s*55029|iso\s*702-2|camlock)\s*[-,]?\s*{_NO}(?:d\s?1\s?-?\s?)?(\d{{1,2}})(?!\d)"), "D1-{}"),
    (re.compile(r"(?<![\w])d\s?1\s?[- ]\s?(\d{1,2})(?![\d/])"), "D1-{}"),
    (re.compile(rf"(?:din\s*55027|ba[jyi]on\w+)\s*[-,]?\s*{_NO}(\d{{1,2}})(?!\d)"), "55027-{}"),
    (re.compile(r"(?<![\w])a\s?([12])\s?[- ]\s?(\d{1,2})(?![\d/])"), "A{}-{}"),
    (re.compile(r"(?<![\w])l\s?-?\s?([0o]{1,2}|1|2)(?![\w])"), "L{}"),
    (re.compile(r"(?<![\w])(?:jt|jacobs(?:\s?taper)?|j)\s?-?\s?(\d{1,2})(?![\w/])"), "JT{}"),
)  # fmt: skip
_THREAD = re.compile(
    r"(?<![\w./])(\d+(?:[- ]\d+/\d+|[.,]\d+)?|\d+/\d+)\s*\"?\s*(?:x|-)\s*(\d{1,2})"
    r"(?:\s*(?:t\.?p\.?i\.?|threads|bsw|bsf|unf?|unc|whit(?:worth)?|w)\b\.?)*(?![\w/\".])"
)
_THREAD_WORDS = re.compile(r"tpi|t\.p|bs[wf]|un[cf]|whit")
_METRIC = re.compile(r"(?<![\w])m\s?(\d{2})\s*x\s*(\d(?:[.,]\d+)?)(?!\d)")
_CODE = re.compile(r"(?<![\w])(?:(er|tg|da)\s?-?\s?(\d{1,3})|(\d{1,3})\s?er)m?(?![\w])")
_C_CODE = re.compile(r"(?<![\w/.])(\d{1,2})\s?-?\s?([cj])(?![\w])")
_R8 = re.compile(r"(?<![\w])r\s?-?\s?8(?![\w])")
_EIGHTHS = {"125": "1/8", "25": "1/4", "250": "1/4", "375": "3/8", "5": "1/2", "500": "1/2", "625": "5/8", "75": "3/4",
            "750": "3/4", "875": "7/8"}  # fmt: skip


class NamedCode(Struct, frozen=True):
    """A code that a text names, and where."""

    code: str
    start: int
    end: int


def seats_in(text: str, known: Collection[str]) -> list[NamedCode]:
    """The seats that a folded text names, in their order; `known` are the codes of the book in capitals.

    What is written like a seat and is none of the book's is named too, but for Jacobs tapers: those are told only
    where the book has them.
    """
    named_seats: list[NamedCode] = []
    for pattern, form in _PATTERNS:
        for match in pattern.finditer(text):
            code = form.format(*(group.upper() for group in match.groups()))
            code = code.replace("O", "0") if form == "L{}" else code
            if code in known or form in {"MT{}", "D1-{}"}:
                _add(named_seats, NamedCode(code, match.start(), match.end()))
    for match in _METRIC.finditer(text):
        _add(named_seats, NamedCode(f"M{match[1]}x{match[2].replace(',', '.')}", match.start(), match.end()))
    for match in _THREAD.finditer(text):
        code = f"{_diameter(match[1])}-{match[2]}"
        if code.upper() in known or (_THREAD_WORDS.search(match[0]) and 4 <= int(match[2]) <= 20):
            _add(named_seats, NamedCode(code, match.start(), match.end()))
    return sorted(named_seats, key=lambda named: named.start)


def series_in(text: str, known: Collection[str]) -> list[NamedCode]:
    """The families of collets that a folded text names."""
    families: list[NamedCode] = []
    for match in _CODE.finditer(text):
        code = f"{(match[1] or 'er').upper()}{match[2] or match[3]}"
        _add(families, NamedCode(code, match.start(), match.end()))
    for match in _C_CODE.finditer(text):
        _add(families, NamedCode(f"{match[1]}{match[2].upper()}", match.start(), match.end()))
    for match in _R8.finditer(text):
        _add(families, NamedCode("R8", match.start(), match.end()))
    for code in known:
        for match in re.finditer(rf"(?<![\w]){re.escape(code.casefold())}(?![\w])", text):
            _add(families, NamedCode(code, match.start(), match.end()))
    return sorted((named for named in families if named.code in known), key=lambda named: named.start)


def _add(names: list[NamedCode], name: NamedCode) -> None:
    if all(name.end <= other.start or name.start >= other.end for other in names):
        names.append(name)


def _diameter(text: str) -> str:
    """`1 1/8` and `1.125` are `1-1/8`."""
    plain = text.replace(",", ".")
    before, dot, rest = plain.partition(".")
    if dot:
        fraction = _EIGHTHS.get(rest.rstrip("0") or "0", "")
        return f"{before}-{fraction}" if fraction and before != "0" else fraction or before
    return plain.replace(" ", "-")
