"""Prices as shops write them: `31,50 €`, `£4.50`, `1.249,00`, `CHF 1'249.–`."""

from __future__ import annotations

import re
from collections.abc import Iterable

_CURRENCY = re.compile(r"(?i)(?:us|c|a)?\$|[€£¥]|\b(?:eur|euros?|usd|gbp|chf|sfr|fr|dm|dollars?|pounds?)\b\.?")
_EMPTY_CENTS = re.compile(r"[.,](?:-+|–|—)$")
_DECIMALS = re.compile(r"[0-9]([.,])[0-9]{1,2}$")


def decimal_sign(texts: Iterable[str]) -> str:
    """The sign before the cents in a column of prices; empty where nothing tells, or both do."""
    signs = {written[1] for text in texts if (written := _DECIMALS.search(_bare(text)))}
    return signs.pop() if len(signs) == 1 else ""


def names_currency(text: str) -> bool:
    return _CURRENCY.search(text) is not None and any(character.isdigit() for character in text)


def plain_amount(text: str, decimal: str = "") -> str | None:
    """The amount with a point and no thousands, like `1249.00`; None where it is no amount, or could be two."""
    bare = _bare(text)
    if not re.fullmatch(r"[0-9]+(?:[.,][0-9]+)*", bare):
        return None
    signs = [character for character in bare if character in ".,"]
    if not signs:
        return bare
    last = signs[-1]
    before, _, rest = bare.rpartition(last)
    is_thousands = len(rest) == 3
    if len(set(signs)) == 2:
        return None if is_thousands and signs.count(last) > 1 else _joined(before, rest)
    if len(signs) > 1:
        return re.sub(r"[.,]", "", bare) if is_thousands else None
    if not is_thousands:
        return _joined(before, rest) if len(rest) <= 2 else None
    if decimal:
        return before + rest if last != decimal else None
    return before + rest if last == "," else None


def _joined(units: str, cents: str) -> str:
    return f"{re.sub(r'[.,]', '', units)}.{cents}"


def _bare(text: str) -> str:
    return _EMPTY_CENTS.sub("", re.sub(r"[\s'’\u00a0\u202f]", "", _CURRENCY.sub("", text)))
