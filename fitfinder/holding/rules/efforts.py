"""What a way costs in minutes: once for the lot, for each set-up, and for each part at each gripping."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct, field

from inventory.reference import practice

ZERO = Fraction(0)


class Minutes(Struct, frozen=True):
    """The working minutes of the shop: its own by name where it has set them, else those of common practice."""

    own: Mapping[str, Fraction] = field(default_factory=dict)

    def of(self, name: str) -> Fraction:
        """Minutes of one working step; raises KeyError where neither the shop nor common practice has them."""
        return self.own[name] if name in self.own else practice.minutes(name).most


class Effort(Struct, frozen=True, kw_only=True, gc=False):
    """`fit` is 0 for what is mounted now; `set_up` is done once for each set-up; `per_part` at each gripping;
    `once` on each part before its first gripping."""

    fit: Fraction = ZERO
    set_up: Fraction = ZERO
    per_part: Fraction = ZERO
    once: Fraction = ZERO

    def __add__(self, other: Effort) -> Effort:
        # Most parts of a way take no time of their own, and there are hundreds in a question.
        if other is NO_EFFORT:
            return self
        if self is NO_EFFORT:
            return other
        return Effort(
            fit=_sum(self.fit, other.fit),
            set_up=_sum(self.set_up, other.set_up),
            per_part=_sum(self.per_part, other.per_part),
            once=_sum(self.once, other.once),
        )

    def total(self, *, parts: int, setups: int) -> Fraction:
        """Minutes for the whole lot."""
        each = _sum(self.once, _times(self.per_part, setups))
        return _sum(_sum(self.fit, _times(self.set_up, setups)), _times(each, parts))


NO_EFFORT = Effort()


def _sum(one: Fraction, other: Fraction) -> Fraction:
    """Most of them are no minutes, and fractions are slow to add."""
    return one if other is ZERO else other if one is ZERO else one + other


def _times(minutes: Fraction, count: int) -> Fraction:
    return minutes if minutes is ZERO or count == 1 else minutes * count


def first_and_next(first: Fraction, *, then: Fraction) -> Effort:
    """What takes longer for the first part of a set-up than for those after it."""
    then = min(first, then)
    return Effort(set_up=first - then, per_part=then)


def quicker_from(few: Effort, many: Effort, *, setups: int) -> int | None:
    """From how many parts on `many` is the quicker of the two; None where the lines do not cross.

    `few` begins with less and costs more for each part.
    """
    head_start = many.total(parts=0, setups=setups) - few.total(parts=0, setups=setups)
    gain = few.once - many.once + (few.per_part - many.per_part) * setups
    if head_start <= 0 or gain <= 0:
        return None
    return int(head_start / gain) + 1
