"""Blank or buy: which blanks on hand to bore for the demand that nothing holds, planned jointly.

A bore can only be opened, never closed. So each blank gets one bore, the smaller bores are cut first, and for each the
plan says what it could be opened to later, when what it holds is needed no longer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from fitfinder.buying.demand import Demand
from fitfinder.buying.offers import DemandBySize, Offer, SeriesForSale, bores, offers
from fitfinder.buying.reducing import bits
from inventory.measures.lengths import Length

MOST_STEPS = 200_000
"""Choices looked at before the search takes the best so far: seconds, and far more than any crib's blanks need."""


class BlankHere(Struct, frozen=True, kw_only=True):
    """A machinable blank in service, not bored yet."""

    tag: str
    series: str
    pilot: Length


class Bore(Struct, frozen=True, kw_only=True):
    """One blank bored to one size: the demand that it then holds, and what it can be opened to afterwards."""

    tag: str
    series: str
    size: Length
    holds: tuple[Demand, ...]
    opens_to: tuple[Demand, ...]


class Choice(Struct, frozen=True, kw_only=True):
    """One demand: the cheapest size to buy for it, and the bore that serves it.

    `buy` is None where no size of any series here holds it; its price is None where none is on file. `blanks` are the
    tags that could be bored to it. `bore` is the one of the plan.
    """

    demand: Demand
    buy: Offer | None
    blanks: tuple[str, ...]
    bore: Bore | None

    @property
    def shared(self) -> int:
        """How many other demands its bore serves."""
        return len(self.bore.holds) - 1 if self.bore else 0


class Plan(Struct, frozen=True, kw_only=True):
    """What to bore, in the order of cutting, and each demand with its choice, the weightiest first.

    `saved` is what buying for all that the bores serve would cost, as far as prices are known. `is_proved` is False
    where the search was cut short.
    """

    bores: tuple[Bore, ...]
    choices: tuple[Choice, ...]
    saved: int
    is_proved: bool


class _Candidate(Struct, frozen=True):
    """A bore that is worth cutting in a blank of this series, and the places of the demand that it holds."""

    series: str
    size: Length
    covers: int


def blank_or_buy(demands: Sequence[Demand], *, blanks: Iterable[BlankHere], series: Sequence[SeriesForSale]) -> Plan:
    """The bores that serve the most weight of `demands`; of equals the ones that save the most money, then the fewest.

    `demands` is what nothing holds. A bored blank counts as a collet of its size.
    """
    blanks = sorted(blanks, key=lambda blank: (blank.series, blank.pilot, blank.tag))
    buys = _cheapest(demands, series)
    candidates = _candidates(demands, blanks, series)
    search = _Search(demands, candidates, blanks, buys)
    picked = search.best
    cut = _cut(picked, candidates, blanks, demands)
    by_place = {place: bore for bore, mask in cut for place in bits(mask)}
    choices = [
        Choice(
            demand=demand,
            buy=buys.get(place),
            blanks=_could(place, candidates, blanks),
            bore=by_place.get(place),
        )
        for place, demand in enumerate(demands)
    ]
    served = {place for _, mask in cut for place in bits(mask)}
    return Plan(
        bores=tuple(bore for bore, _ in cut),
        choices=tuple(sorted(choices, key=lambda choice: (-choice.demand.weight, choice.demand.aim))),
        saved=_cost(served, buys),
        is_proved=search.is_proved,
    )


def _cheapest(demands: Sequence[Demand], series: Sequence[SeriesForSale]) -> dict[int, Offer]:
    """For the place of each demand the cheapest size that holds it; without any price the nearest one."""
    by_size, best = DemandBySize(demands), {}
    for offer in offers([entry for entry in series if entry.is_taken], ()):
        if offer.kind != "size":
            continue
        for place in by_size.held_by(offer.reaches[0], offer.series):
            cents = offer.price.cents if offer.price else None
            rank = (cents is None, cents or 0, offer.misfit(demands[place]), offer.name)
            if place not in best or rank < best[place][0]:
                best[place] = (rank, offer)
    return {place: offer for place, (_, offer) in best.items()}


def _cost(places: Iterable[int], buys: dict[int, Offer]) -> int:
    """The price of the sizes that would be bought for these, each size once."""
    sizes = {
        (buys[place].series.figures.code, buys[place].series.figures.shape, buys[place].sizes[0]): buys[place].price
        for place in places
        if place in buys
    }
    return sum(price.cents for price in sizes.values() if price is not None)


def _candidates(demands, blanks: list[BlankHere], series: Sequence[SeriesForSale]) -> list[_Candidate]:
    """Each set of demand that one bore holds, once for each series: with the smallest such bore, which keeps most open.

    A set that lies in another one is left out unless its bore is smaller, so that a blank can take it first.
    """
    by_size, found = DemandBySize(demands), {}
    for entry in series:
        pilots = [blank.pilot for blank in blanks if blank.series == entry.figures.code]
        if not pilots or entry.figures.shape != "round" or not entry.is_taken:
            continue
        for size in bores(entry, min(pilots), demands):
            mask = sum(1 << place for place in by_size.held_by(entry.figures.reach_of(size), entry))
            key = (entry.figures.code, mask)
            if mask and (key not in found or size < found[key].size):
                found[key] = _Candidate(entry.figures.code, size, mask)
    every = sorted(found.values(), key=lambda one: (one.size, one.series))
    return [
        one
        for one in every
        if not any(
            other.series == one.series and other.size >= one.size and other.covers != one.covers
            and other.covers & one.covers == one.covers
            for other in every
        )
    ]  # fmt: skip


class _Search:
    """All choices of bores, cut off where what is left cannot better the best so far."""

    def __init__(self, demands, candidates: list[_Candidate], blanks: list[BlankHere], buys: dict[int, Offer]) -> None:
        self._weights = [demand.weight for demand in demands]
        self._buys, self._candidates = buys, candidates
        self._pilots: dict[str, list[Length]] = {}
        for blank in blanks:
            self._pilots.setdefault(blank.series, []).append(blank.pilot)
        self._worth = [self._weight(one.covers) for one in candidates]
        # The weightiest first, so that good choices come early.
        self._order = sorted(range(len(candidates)), key=lambda place: (-self._worth[place], candidates[place].size))
        self._steps = 0
        self._best_rank = (0, 0, 0)
        self.best: tuple[int, ...] = ()
        self._go(0, (), 0)

    @property
    def is_proved(self) -> bool:
        return self._steps <= MOST_STEPS

    def _go(self, at: int, picked: tuple[int, ...], covers: int) -> None:
        self._steps += 1
        if self._steps > MOST_STEPS:
            return
        weight = self._weight(covers)
        rank = (weight, _cost(bits(covers), self._buys), -len(picked))
        if rank > self._best_rank:
            self._best_rank, self.best = rank, picked
        if weight + self._at_most(at, covers, len(picked)) < self._best_rank[0]:
            return
        for place in range(at, len(self._order)):
            one = self._candidates[self._order[place]]
            if one.covers & ~covers and self._fits((*picked, self._order[place])):
                self._go(place + 1, (*picked, self._order[place]), covers | one.covers)

    def _at_most(self, at: int, covers: int, used: int) -> int:
        """What the blanks that are left can add at most: the weightiest of what follows, as if nothing overlapped."""
        left = sum(map(len, self._pilots.values())) - used
        gains = sorted(
            (self._weight(self._candidates[place].covers & ~covers) for place in self._order[at:]), reverse=True
        )
        return sum(gains[:left])

    def _fits(self, picked: tuple[int, ...]) -> bool:
        """Whether each of these bores finds a blank of its own whose pilot hole is no larger."""
        for series, pilots in self._pilots.items():
            sizes = sorted(self._candidates[place].size for place in picked if self._candidates[place].series == series)
            if len(sizes) > len(pilots) or any(pilot > size for pilot, size in zip(pilots, sizes, strict=False)):
                return False
        return True

    def _weight(self, mask: int) -> int:
        return sum(self._weights[place] for place in bits(mask))


def _cut(picked, candidates, blanks: list[BlankHere], demands) -> list[tuple[Bore, int]]:
    """The picked bores in the order of cutting, each in the blank with the largest pilot hole that it allows."""
    left, served, cut = list(blanks), 0, []
    for place in picked:
        served |= candidates[place].covers
    for one in sorted((candidates[place] for place in picked), key=lambda one: (one.size, one.series)):
        blank = max(
            (blank for blank in left if blank.series == one.series and blank.pilot <= one.size),
            key=lambda blank: blank.pilot,
        )
        left.remove(blank)
        later = {
            place
            for other in candidates
            if other.series == one.series and other.size > one.size
            for place in bits(other.covers & ~served)
        }
        bore = Bore(
            tag=blank.tag,
            series=one.series,
            size=one.size,
            holds=tuple(demands[place] for place in bits(one.covers)),
            opens_to=tuple(sorted((demands[place] for place in later), key=lambda demand: demand.aim)),
        )
        cut.append((bore, one.covers))
    return cut


def _could(place: int, candidates: list[_Candidate], blanks: list[BlankHere]) -> tuple[str, ...]:
    return tuple(
        blank.tag
        for blank in blanks
        if any(one.series == blank.series and blank.pilot <= one.size and one.covers >> place & 1 for one in candidates)
    )
