"""The buy list as lines for a terminal."""

from __future__ import annotations

from fitfinder.buying import buy_words
from fitfinder.buying.buy_list import BuyList, Line, money


def buy_text(found: BuyList, *, seconds: float) -> str:
    """The whole list in plain lines, the sentence to act on first."""
    held = len(found.held)
    return "\n".join(
        [
            buy_words.headline(found),
            *(_line(line) for line in found.lines),
            *buy_words.proof(found),
            *([f"Held already: {held} of the demand on file."] if held else []),
            *(f"Stays without: {item.name}: {item.why}." for item in found.uncovered),
            f"Worked out in {seconds:.2f} s.",
        ]
    )


def _line(line: Line) -> str:
    name = line.offer.name
    if line.offer.kind == "set":
        name = f"{name} ({line.offer.series.figures.code}: {buy_words.sizes_in_words(line)})"
    return f"  {money(line.cents):>10}  {name}. {buy_words.reason(line)}"
