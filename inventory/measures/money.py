"""Amounts of money as the shop writes them. An amount is a whole number of the currency's smallest coin."""

from __future__ import annotations

import re

from inventory.measures.display import Currency, now
from inventory.measures.lengths import shorten

MOST = 2**31
"""The first number that no column of an amount takes."""
_SPACES = re.compile(r"[\s\u00a0\u202f']+")


class MoneyError(ValueError):
    """A text that is no amount; the message is a sentence for the person who typed it."""


def shown(amount: int) -> str:
    """With its sign and the thousands apart: `$1,234.50`, `1.234,50 €`."""
    currency = now().currency
    text = _grouped(amount, currency)
    if currency.is_after:
        return f"{text} {currency.sign}"
    # A code is a word of its own, a sign is not: CHF 12.00, $12.00.
    return f"{currency.sign} {text}" if currency.sign[-1:].isalpha() else f"{currency.sign}{text}"


def typed(amount: int) -> str:
    """What a field begins with: `1234.50`, `1234,50`."""
    currency = now().currency
    return _joined(*_parts(amount, currency.places), "," if currency.has_comma else ".")


def plain(amount: int) -> str:
    """For programs and sheets, always with a point: `1234.50`."""
    return _joined(*_parts(amount, now().currency.places), ".")


def parse(text: str) -> int:
    """The amount that `shown`, `typed` or a person of this shop writes. Raises MoneyError."""
    currency = now().currency
    bare = _SPACES.sub("", text)
    sign = _SPACES.sub("", currency.sign)
    for affix in (sign, sign.casefold()):
        if affix and bare.casefold().startswith(affix.casefold()):
            bare = bare[len(affix) :]
        elif affix and bare.casefold().endswith(affix.casefold()):
            bare = bare[: -len(affix)]
    units, decimals = _split(bare, currency, text)
    places = currency.places
    # More figures than Python would read as one number are none that a column takes either.
    if len(decimals.rstrip("0")) > places or len(units.lstrip("0")) > len(str(MOST)):
        raise _unreadable(text)
    amount = int(units.lstrip("0") or "0") * 10**places + int((decimals + "0" * places)[:places] or "0")
    if amount >= MOST:
        raise _unreadable(text)
    return amount


_POINT = {
    ".": re.compile(r"(?P<whole>[0-9]+|[0-9]{1,3}(?:,[0-9]{3})+)?(?:\.(?P<decimals>[0-9]*))?", re.ASCII),
    ",": re.compile(r"(?P<whole>[0-9]+|[0-9]{1,3}(?:\.[0-9]{3})+)?(?:,(?P<decimals>[0-9]*))?", re.ASCII),
}
"""By the sign before the decimals; the other one is between the thousands."""


def _split(bare: str, currency: Currency, text: str) -> tuple[str, str]:
    """Whole and decimals. Of the other notation is taken what can be nothing else: `17,20` where a point is usual."""
    point = "," if currency.has_comma else "."
    for mark in (point, "." if point == "," else ","):
        amount = _POINT[mark].fullmatch(bare)
        if amount and (amount["whole"] or amount["decimals"]):
            return re.sub(r"[.,]", "", amount["whole"] or ""), amount["decimals"] or ""
    raise _unreadable(text)


def _unreadable(text: str) -> MoneyError:
    return MoneyError(f"“{shorten(text)}” is not an amount of money. Write it like {example()}.")


def example() -> str:
    """An amount as this shop types it: `31.50`, `31,50`, `31`."""
    return typed({0: 31, 3: 31_500}.get(now().currency.places, 3150))


def _parts(amount: int, places: int) -> tuple[str, str]:
    units, decimals = divmod(amount, 10**places)
    return str(units), f"{decimals:0{places}d}" if places else ""


def _joined(units: str, decimals: str, point: str) -> str:
    return f"{units}{point}{decimals}" if decimals else units


def _grouped(amount: int, currency: Currency) -> str:
    units, decimals = _parts(amount, currency.places)
    point, between = (",", ".") if currency.has_comma else (".", ",")
    return _joined(f"{int(units):,}".replace(",", between), decimals, point)
