"""A series as a board of its sizes: what of each is here, worn, out or missing, and what people asked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum

from msgspec import Struct

from fitfinder.buying.offers import ladder
from fitfinder.holding.collets.gaps import ladder_size
from fitfinder.holding.pieces import SeriesOnHand
from fitfinder.holding.stock import Stock
from inventory.measures.length_words import nominal, runout_text
from inventory.measures.lengths import Length


class SizeState(StrEnum):
    """The best that can be said of a size."""

    HELD = "held"
    WORN = "worn"
    OUT = "out"
    MISSING = "missing"


class CountedSize(Struct, frozen=True, kw_only=True):
    """How many pieces of a size are good and here, worn and here, out, and damaged or lost; and the truest reading."""

    good: int = 0
    worn: int = 0
    out: int = 0
    unfit: int = 0
    truest: Length | None = None


NONE_HERE = CountedSize()


class BoardCell(Struct, frozen=True, kw_only=True):
    """One size of the board. `asked` is how often it was asked for and not held, `want` the state of its order."""

    size: Length
    counted: CountedSize = NONE_HERE
    asked: int = 0
    want: str = ""
    is_on_ladder: bool = True

    @property
    def state(self) -> SizeState:
        if self.counted.good:
            return SizeState.HELD
        if self.counted.worn:
            return SizeState.WORN
        return SizeState.OUT if self.counted.out else SizeState.MISSING

    @property
    def is_asked_for(self) -> bool:
        return bool(self.asked or self.want)

    @property
    def mark(self) -> str:
        """The word in the hole, beside its ring: how many are held, else how it stands with the size."""
        if self.state is SizeState.HELD:
            return str(self.counted.good + self.counted.worn)
        if self.state is SizeState.MISSING:
            return "asked" if self.is_asked_for else ""
        return str(self.state)

    @property
    def words(self) -> str:
        """All of it in words: `3/4: 2 held, 1 out, truest 0.0003 in; looked for 3 times`."""
        counted = self.counted
        counts = [
            f"{number} {word}"
            for number, word in (
                (counted.good, "held"),
                (counted.worn, "worn"),
                (counted.out, "out"),
                (counted.unfit, "damaged or lost"),
            )
            if number
        ]
        if self.state is SizeState.MISSING:
            counts.insert(0, "missing")
        if counted.truest is not None:
            counts.append(f"truest {runout_text(counted.truest)} TIR")
        asked = [f"looked for {self.asked} time{'' if self.asked == 1 else 's'}"] if self.asked else []
        asked += [self.want] if self.want else []
        return f"{nominal(self.size)}: " + "; ".join([", ".join(counts), *asked])


def board(
    figures: SeriesOnHand,
    *,
    counted: Mapping[Length, CountedSize],
    asked: Mapping[Length, int],
    wants: Mapping[Length, str],
) -> list[BoardCell]:
    """Every size of the ladder, and in order beside it what the shop has or wants off it (letter and metric sizes)."""
    on_ladder = set(ladder(figures))
    here = {size for size, count in counted.items() if count != NONE_HERE}
    return [
        BoardCell(
            size=size,
            counted=counted.get(size, NONE_HERE),
            asked=asked.get(size, 0),
            want=wants.get(size, ""),
            is_on_ladder=size in on_ladder,
        )
        for size in sorted(on_ladder | here | set(wants) | set(asked))
    ]


def asked_sizes(figures: SeriesOnHand, asks: Iterable[tuple[Stock, int]]) -> dict[Length, int]:
    """For each size of the ladder how often stock was asked for that this size would hold best."""
    times: dict[Length, int] = {}
    for stock, count in asks:
        rung = ladder_size(stock, figures) if stock.shape == figures.shape else None
        if rung is not None:
            times[rung[1]] = times.get(rung[1], 0) + count
    return times


def summary(cells: Iterable[BoardCell]) -> str:
    """`71 sizes from 1/32 to 1-1/8: 31 held, 4 worn, 1 out, 35 missing, 3 of those asked for`."""
    cells = list(cells)
    if not cells:
        return "No size is known: this series has no ladder, and none of it is in Gripbook."
    states = [cell.state for cell in cells]
    counts = [f"{states.count(state)} {state}" for state in SizeState if state in states]
    asked = len([cell for cell in cells if cell.state is SizeState.MISSING and cell.is_asked_for])
    span = f"from {nominal(cells[0].size)} to {nominal(cells[-1].size)}"
    tail = f"; {asked} of the missing {'is' if asked == 1 else 'are'} asked for" if asked else ""
    return f"{len(cells)} size{'' if len(cells) == 1 else 's'} {span}: {', '.join(counts)}{tail}."
