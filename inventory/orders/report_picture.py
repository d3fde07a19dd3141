"""A picture of a few amounts as bars beside each other, with the words that say the same. Whole pixels."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

WIDTH = 358
LEFT, ROW, BAR = 2, 34, 12
_LONGEST = WIDTH - 2 * LEFT


class Amount(Struct, frozen=True, kw_only=True):
    """One amount, not below zero, with its words. `is_second` sets it off from the others, by pattern and words."""

    label: str
    amount: int
    words: str
    is_second: bool = False


class DrawnAmount(Struct, frozen=True, kw_only=True):
    """A bar where it stands: its upper edge, its width, and where its words stand above it."""

    bar: Amount
    y: int
    text_y: int
    width: int


class AmountBars(Struct, frozen=True, kw_only=True):
    """The bars of a picture; `height` is its own, `words` say all of it."""

    drawn: tuple[DrawnAmount, ...]
    height: int
    words: str

    width = WIDTH
    left, right, thick = LEFT, WIDTH - LEFT, BAR


def bars_of(bars: Iterable[Amount]) -> AmountBars | None:
    """The longest bar is as wide as the picture; None where there is nothing above zero to show."""
    bars = tuple(bars)
    most = max((bar.amount for bar in bars), default=0)
    if most <= 0:
        return None
    drawn = tuple(
        DrawnAmount(
            bar=bar,
            y=place * ROW + ROW - BAR - 4,
            text_y=place * ROW + ROW - BAR - 9,
            # What is above zero is seen, however small it is.
            width=max(2, bar.amount * _LONGEST // most) if bar.amount else 0,
        )
        for place, bar in enumerate(bars)
    )
    words = "; ".join(f"{bar.label}: {bar.words}" for bar in bars)
    return AmountBars(drawn=drawn, height=len(bars) * ROW + 2, words=words)
