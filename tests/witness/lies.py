"""What a slip of the hand would make of a figure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from inventory.reference.tables import as_number

NUMBER = re.compile(r"\d+-\d+/\d+|\d+/\d+|\d*\.\d+|\d+")
NAMED_NUMBER = re.compile(r"\d*\.\d+|\d+")
FLAGS = {"yes": "no", "no": "yes"}


class Lie(Struct, frozen=True):
    """What is said in place of a figure. A gross one is no matter of opinion, even in common practice."""

    kind: str
    text: str
    is_gross: bool


def lies_about(text: str, beside: Sequence[str]) -> list[Lie]:
    """Each differs from `text` in value. `beside` are what the neighbours say in this place, the nearest first."""
    if text in FLAGS:
        return [Lie("the other word", FLAGS[text], is_gross=True)]
    value = as_number(text)
    lies = [
        Lie("a digit", _another_digit(text), is_gross=False),
        Lie("twice", _written(value * 2), is_gross=True),
        Lie("times ten", _written(value * 10), is_gross=True),
        Lie("a tenth", _written(value / 10), is_gross=True),
        Lie("the sign", f"-{text}", is_gross=True),
    ]
    lies += [Lie("a neighbour's", other, is_gross=False) for other in beside if as_number(other) != value][:1]
    # Nothing is twice nothing.
    return [lie for lie in lies if value or lie.kind in ("a digit", "a neighbour's")]


def _another_digit(text: str) -> str:
    """The last digit, one more, and of a 9 one less; of a fraction that above the line."""
    place = text.index("/") - 1 if "/" in text else len(text) - 1
    digit = int(text[place])
    return f"{text[:place]}{digit + 1 if digit < 9 else digit - 1}{text[place + 1 :]}"


def _written(value: Fraction) -> str:
    """As the tables write it: a decimal where it ends, else a fraction."""
    for places in range(7):
        if (value * 10**places).denominator == 1:
            whole, rest = divmod(int(value * 10**places), 10**places)
            return f"{whole}.{rest:0{places}d}" if places else str(whole)
    return str(value)
