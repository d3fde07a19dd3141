"""Weights, exact to the microgram, and the words in which a shop writes them.

An international pound is 0.45359237 kg exactly (1959 agreement), so `42 lb` and `19.05 kg` are both whole
numbers of micrograms and go into a column and come back without a difference.
"""

from __future__ import annotations

import re
from fractions import Fraction

from inventory.measures.display import now

UG_PER_LB = 453_592_370
UG_PER_KG = 1_000_000_000

_PER_UNIT = {
    "lb": UG_PER_LB,
    "lbs": UG_PER_LB,
    "pound": UG_PER_LB,
    "pounds": UG_PER_LB,
    "kg": UG_PER_KG,
    "g": 1_000_000,
}
_MOST_DIGITS = 6
_LB_PLACES = 4
_WEIGHT = re.compile(
    rf"(?P<number>[0-9]{{1,{_MOST_DIGITS}}}(?:[.,][0-9]{{1,9}})?|[.,][0-9]{{1,9}})\s*(?P<unit>[a-z]+)\.?",
    re.ASCII | re.IGNORECASE,
)


class MassError(ValueError):
    """A text that is no weight; the message is a sentence for the person who typed it."""


def parse(text: str) -> int:
    """Micrograms of `42 lb`, `19.1 kg` or `850 g`. Raises MassError for anything else, and for zero."""
    if not text.strip():
        raise MassError("No weight was given. Write it with its unit, like 42 lb or 19 kg.")
    weight = _WEIGHT.fullmatch(text.strip())
    if not weight or weight["unit"].lower() not in _PER_UNIT:
        raise MassError(f"“{text.strip()[:40]}” is not a weight. Write it with its unit, like 42 lb or 19 kg.")
    micrograms = round(Fraction(weight["number"].replace(",", ".")) * _PER_UNIT[weight["unit"].lower()])
    if micrograms <= 0:
        raise MassError("A weight must be above zero. Write it with its unit, like 42 lb or 19 kg.")
    return micrograms


def exact(micrograms: int) -> str:
    """A text that `parse` reads back to the same weight, for any weight that `parse` can give."""
    # A part of a pound is no whole microgram: a pound text is right where rounding leads back to it.
    parts_of_lb = round(Fraction(micrograms * 10**_LB_PLACES, UG_PER_LB))
    leads_back = round(Fraction(parts_of_lb * UG_PER_LB, 10**_LB_PLACES)) == micrograms
    if leads_back and parts_of_lb < 10 ** (_LB_PLACES + _MOST_DIGITS):
        return f"{_plain(parts_of_lb, places=_LB_PLACES)} lb"
    return f"{_plain(micrograms, places=9)} kg"


def typed(micrograms: int) -> str:
    """What a field begins with: as `exact`, in kilograms for who reads millimetres."""
    return f"{_plain(micrograms, places=9)} kg" if now().is_metric else exact(micrograms)


def shown(micrograms: int) -> str:
    """Both units for a person: `42.0 lb (19.1 kg)`, for a metric one `19.1 kg (42.0 lb)`."""
    if now().is_metric:
        return f"{_tenths(micrograms, UG_PER_KG)} kg ({_tenths(micrograms, UG_PER_LB)} lb)"
    return f"{_tenths(micrograms, UG_PER_LB)} lb ({_tenths(micrograms, UG_PER_KG)} kg)"


def _plain(parts: int, *, places: int) -> str:
    units, rest = divmod(parts, 10**places)
    return f"{units}.{rest:0{places}d}".rstrip("0").removesuffix(".")


def _tenths(micrograms: int, per_unit: int) -> str:
    units, tenth = divmod((micrograms * 10 + per_unit // 2) // per_unit, 10)
    return f"{units}.{tenth}"
