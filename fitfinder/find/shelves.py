"""Which sizes are worth looking into, told from their ranges alone.

A crib may hold hundreds of pieces of each of the sizes that overlap the stock, and an answer shows ten sizes. What a
size can come to at best, its promise, is the beginning of the sort key of its best piece; a size whose promise is
worse than what ten others keep is never fetched, and the ranking is the same as if all had been.
"""

from __future__ import annotations

from collections.abc import Iterable
from operator import itemgetter

from msgspec import Struct

from fitfinder.find.ranking import MOST_SIZES, best_way, place
from fitfinder.find.ways import Ways
from fitfinder.holding import verdicts
from fitfinder.holding.grips import collet_grip
from fitfinder.holding.pieces import Piece, SizeOnHand
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Verdict
from inventory.measures.lengths import Length

MOST_MAKE_DOS = 3
MOST_LEFT_OUT = 6
"""Of the pieces that would hold it but cannot be used, so many are told: those whose size is nearest to the stock."""

Promise = tuple


class Shelf(Struct, frozen=True, gc=False):
    """One size of the book that overlaps the stock.

    `condition` is that of its best usable piece, None where there is none; `unfit` how many of its pieces are out of
    use, counted to three.
    """

    size: SizeOnHand
    condition: str | None = None
    has_mounted: bool = False
    unfit: int = 0


class Choice:
    """The shelves that overlap the stock, best promise first, handed out until the best ten sizes are sure.

    With `corners`, those that hold hex or square stock across its corners, until the best three are.
    """

    def __init__(
        self, shelves: Iterable[Shelf], *, stock: Stock, ways: Ways, asked: Length | None, corners: bool = False
    ) -> None:
        self._stock, self._ways, self._asked, self._corners = stock, ways, asked, corners
        self._band, self._middle = stock.corner_band if corners else stock.band, stock.band.middle_nm
        self._most = MOST_MAKE_DOS if corners else MOST_SIZES
        if corners:
            limit = Verdict.AT_THE_LIMIT.rank
            shelves = [shelf for shelf in shelves if verdicts.judge(self._band, shelf.size.reach).rank <= limit]
        usable = [shelf for shelf in shelves if shelf.condition and ways.are_there(shelf.size.seat)]
        # A make-do is shown by whichever way asks least for it, and not by the one that runs truest.
        seats = {shelf.size.seat for shelf in usable}
        self._least = {seat: ways.least(seat, by_any_way=corners) for seat in seats}
        # Where a piece is on a lathe the promise may be kept by that one alone: these are looked into in any case.
        self._mounted = [shelf for shelf in usable if shelf.has_mounted]
        # What promises the same is handed out by its id, as it stands in the book.
        self._waiting = sorted(
            [(self._promise(shelf), shelf.size.id, shelf) for shelf in usable if not shelf.has_mounted]
        )
        self._handed_out: dict[int, tuple[Promise, Shelf]] = {}
        self._sure = 0
        self.all = usable

    def _promise(self, shelf: Shelf) -> Promise:
        size = shelf.size
        least = self._least[size.seat]
        is_true = verdicts.in_true_zone(self._band, size.reach)
        return (
            least.is_unchecked,
            verdicts.judge(self._band, size.reach).rank,
            2 if self._asked is not None and not is_true else 0,
            not is_true,
            least.is_worn or shelf.condition != "good",
            least.to_be_fitted + 1,
            abs(size.nominal.nm - self._middle),
        )

    @property
    def is_sure(self) -> bool:
        """Whether nothing that was not handed out yet can come among the best."""
        return not self._waiting or self._sure >= self._most

    def next(self) -> list[Shelf]:
        """The next best shelves, with all that promise as much as the last of them."""
        waiting = self._waiting
        count = min(self._most, len(waiting))
        while 0 < count < len(waiting) and waiting[count][0] == waiting[count - 1][0]:
            count += 1
        found, self._waiting = waiting[:count], waiting[count:]
        self._handed_out |= {size_id: (promise, shelf) for promise, size_id, shelf in found}
        mounted, self._mounted = self._mounted, []
        return mounted + [shelf for _, _, shelf in found]

    def see(self, pieces: Iterable[Piece]) -> None:
        """What was found on the shelves that were handed out: a size that keeps its promise is sure."""
        handed_out = self._handed_out
        for piece in pieces:
            if not handed_out:
                break
            found = None if piece.why_not else handed_out.get(piece.size.id)
            if found is not None and self._keeps(piece, *found):
                del handed_out[piece.size.id]
                self._sure += 1

    def _keeps(self, piece: Piece, promise: Promise, shelf: Shelf) -> bool:
        chains = self._ways(shelf.size.seat)
        if piece.is_plain:
            if self._asked is None:
                return piece.condition == shelf.condition and self._least[shelf.size.seat].is_one_way
            chains = [self._ways.best(shelf.size.seat)]
        grips = (collet_grip(self._stock, piece, chain, asked=self._asked, corners=self._corners) for chain in chains)
        return place(best_way(grips), middle_nm=self._middle, asked=self._asked is not None)[: len(promise)] == promise


def out_of_use(shelves: Iterable[Shelf], stock: Stock) -> list[Shelf]:
    """Enough shelves, nearest to the stock first, for the pieces of them that are left out to be the first of all."""
    found, sure, last = [], 0, None
    for shelf, off in _nearest_first(shelves, stock):
        if sure >= MOST_LEFT_OUT and off != last:
            break
        found.append(shelf)
        sure, last = sure + shelf.unfit, off
    return found


def lacking(shelves: Iterable[Shelf], ways: Ways, stock: Stock) -> list[Shelf]:
    """As `out_of_use`, for what is usable and has no way to a lathe."""
    found, last = [], None
    those = [shelf for shelf in shelves if shelf.condition and not ways.are_there(shelf.size.seat)]
    for shelf, off in _nearest_first(those, stock):
        if len(found) >= MOST_LEFT_OUT and off != last:
            break
        found.append(shelf)
        last = off
    return found


def _nearest_first(shelves: Iterable[Shelf], stock: Stock) -> list[tuple[Shelf, int]]:
    """Each shelf with how far its nominal size is from the stock."""
    middle = stock.band.middle_nm
    return sorted([(shelf, abs(shelf.size.nominal.nm - middle)) for shelf in shelves], key=itemgetter(1))
