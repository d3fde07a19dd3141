"""Making a covering problem smaller before it is solved, without losing the best choice."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct


class Column(Struct, frozen=True, kw_only=True):
    """One thing to buy. `covers` has a bit for each row; the rest decides, in this order, which is better."""

    covers: int
    cents: int
    pieces: int = 1
    misfit: int = 0

    @property
    def key(self) -> tuple[int, int, int]:
        return (self.cents, self.pieces, self.misfit)


VALUES = ("cents", "pieces", "misfit")


def bits(mask: int) -> list[int]:
    """The places of the bits that are set, lowest first."""
    found = []
    while mask:
        lowest = mask & -mask
        found.append(lowest.bit_length() - 1)
        mask ^= lowest
    return found


def reduced(columns: Sequence[Column], rows: int) -> tuple[list[int], list[int], int]:
    """What need not be asked: the columns that must be chosen, those that are left, and the rows that are left.

    A column goes where another covers as much and is no worse; a row goes where another one is never covered
    without it; the only column of a row is chosen.
    """
    forced: list[int] = []
    left = list(range(len(columns)))
    while True:
        size = (len(left), rows)
        left = undominated(columns, left, rows)
        rows = deciding_rows(columns, left, rows)
        taken = _only_ones(columns, left, rows)
        for place in taken:
            rows &= ~columns[place].covers
        forced += taken
        left = [place for place in left if columns[place].covers & rows]
        if (len(left), rows) == size:
            return forced, left, rows


def undominated(columns: Sequence[Column], left: Iterable[int], rows: int) -> list[int]:
    """Those columns that no other one beats or equals on these rows."""
    best: dict[int, int] = {}
    for place in left:
        covers = columns[place].covers & rows
        if covers and (covers not in best or columns[place].key < columns[best[covers]].key):
            best[covers] = place
    of_row: dict[int, list[int]] = {}
    for covers in best:
        for row in bits(covers):
            of_row.setdefault(row, []).append(covers)
    kept = []
    for covers, place in best.items():
        rarest = min(bits(covers), key=lambda row: len(of_row[row]))
        key = columns[place].key
        beaten = any(
            covers & ~other == 0 and columns[best[other]].key <= key for other in of_row[rarest] if other != covers
        )
        if not beaten:
            kept.append(place)
    return kept


def components(columns: Sequence[Column], left: Iterable[int], rows: int) -> list[tuple[list[int], int]]:
    """Groups of columns that share no row with any other group, each with its rows."""
    groups: list[tuple[list[int], int]] = []
    for place in left:
        mine, mask, others = [place], columns[place].covers & rows, []
        for places, part in groups:
            if part & mask:
                mine, mask = places + mine, part | mask
            else:
                others.append((places, part))
        groups = [*others, (mine, mask)]
    return groups


def columns_of_rows(columns: Sequence[Column], left: Sequence[int], rows: int) -> dict[int, int]:
    """For each row a mask of the columns, by their place in `left`, that cover it."""
    of_row = dict.fromkeys(bits(rows), 0)
    for number, place in enumerate(left):
        for row in bits(columns[place].covers & rows):
            of_row[row] |= 1 << number
    return of_row


def deciding_rows(columns, left: list[int], rows: int) -> int:
    """Those rows that have to be looked at: a row goes where another one is never covered without it."""
    of_row = columns_of_rows(columns, left, rows)
    first: dict[int, int] = {}
    for row, places in of_row.items():
        first.setdefault(places, row)
    decides = set(first.values())
    sizes = [(columns[place].covers & rows).bit_count() for place in left]
    for places, row in first.items():
        narrowest = min(bits(places), key=lambda number: sizes[number])
        for other in bits(columns[left[narrowest]].covers & rows):
            if other != row and other in decides and places & ~of_row[other] == 0:
                decides.discard(other)
    return sum(1 << row for row in decides)


def _only_ones(columns, left: list[int], rows: int) -> list[int]:
    of_row = columns_of_rows(columns, left, rows)
    return sorted({left[places.bit_length() - 1] for places in of_row.values() if places.bit_count() == 1})
