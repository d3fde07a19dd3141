"""The buy list: the cheapest way to hold all the demand, or the most of it for a budget, and what stays without."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from msgspec import Struct

from fitfinder.buying.choosing import ALLOWED_SECONDS, Buyable, cents_of, choose, met_by, one_by_one
from fitfinder.buying.demand import Demand, Unreadable
from fitfinder.buying.offers import DemandBySize, Offer, Priced, SeriesForSale, best_sizes, money, offers
from fitfinder.holding.verdicts import Reach
from inventory.measures.length_words import measured


class SizeHere(Struct, frozen=True, kw_only=True):
    """A size that the shop has in service or on order, in a series of the catalogue."""

    series: SeriesForSale
    reach: Reach


class BuyLine(Struct, frozen=True, kw_only=True):
    """One thing to buy at its price, and the demand that it holds and nothing here does."""

    offer: Offer
    price: Priced
    covers: tuple[Demand, ...]
    singly: int | None = None
    """What the sizes of a set that are needed would cost one by one; None where it is no set or a price is missing."""


class Unmet(Struct, frozen=True):
    """Demand that stays without a collet, and why; `offer` is what would hold it but has no price.

    `is_too_dear` is True where only the budget is in the way.
    """

    name: str
    why: str
    offer: Offer | None = None
    is_too_dear: bool = False


class BuyList(Struct, frozen=True, kw_only=True):
    """What to buy. Money is in whole cents, demand is counted by its weight.

    `bound` and `met_bound` are what no other choice can better; where they are reached, the list is proved. `priced`
    and `unpriced` say among how many sizes, sets and blanks that would serve it was chosen. `is_settled` is False where
    time ran out before all other choices were ruled out.
    """

    budget: int | None
    lines: tuple[BuyLine, ...]
    cents: int
    bound: int
    met: int
    met_bound: int
    greedy_cents: int
    greedy_met: int
    held: tuple[Demand, ...]
    unmet: tuple[Unmet, ...]
    priced: int
    unpriced: tuple[Offer, ...]
    is_settled: bool

    @property
    def is_proved(self) -> bool:
        """Whether nothing meets more for the budget, or without one, whether nothing costs less."""
        return self.met_bound <= self.met and (self.budget is not None or self.bound >= self.cents)

    @property
    def held_weight(self) -> int:
        return sum(demand.weight for demand in self.held)


class _Useful(Struct, frozen=True):
    """An offer and the places of the open demand that it would hold."""

    offer: Offer
    holds: frozenset[int]


class _ForSale(Struct, frozen=True):
    """The same at a price."""

    offer: Offer
    holds: frozenset[int]
    price: Priced


def buy_list(
    demands: Sequence[Demand],
    *,
    here: Iterable[SizeHere],
    series: Sequence[SeriesForSale],
    budget: int | None = None,
    unreadable: Iterable[Unreadable] = (),
    seconds: float = ALLOWED_SECONDS,
) -> BuyList:
    """What to buy for this demand, beyond what is here: all of it at least cost, or the most for `budget` cents.

    Only a verdict of `holds` counts, for the whole band, on a lathe that seats the collet. A size without a price is
    never bought; what only such a size would hold is told with it.
    """
    held, waiting = parted(demands, here)
    waiting.sort(key=lambda demand: (demand.stock.shape, demand.stock.band.smallest, demand.stock.band.largest))
    useful = _useful(series, waiting)
    for_sale = [_ForSale(one.offer, one.holds, one.offer.price) for one in useful if one.offer.price is not None]
    candidates = [_candidate(one, waiting) for one in for_sale]
    weights = [demand.weight for demand in waiting]
    choice = choose(candidates, weights, budget, seconds=seconds)
    rough = one_by_one(candidates, weights, budget)
    bought = [for_sale[place] for place in choice.picked]
    return BuyList(
        budget=budget,
        lines=_lines(bought, waiting),
        cents=choice.cents,
        bound=choice.bound,
        met=choice.met,
        met_bound=choice.met_bound,
        greedy_cents=cents_of(candidates, rough),
        greedy_met=met_by(candidates, rough, weights),
        held=tuple(held),
        unmet=(
            *(Unmet(item.name, item.why) for item in unreadable),
            *_unmet({place for one in bought for place in one.holds}, useful, waiting, series),
        ),
        priced=len(for_sale),
        unpriced=tuple(one.offer for one in useful if one.offer.price is None),
        is_settled=choice.is_settled,
    )


def parted(demands: Sequence[Demand], here: Iterable[SizeHere]) -> tuple[list[Demand], list[Demand]]:
    """The demand that is held by what is here or coming, and that which waits."""
    by_size = DemandBySize(demands)
    places = {place for size in here for place in by_size.held_by(size.reach, size.series)}
    held = [demand for place, demand in enumerate(demands) if place in places]
    return held, [demand for place, demand in enumerate(demands) if place not in places]


def _useful(series: Sequence[SeriesForSale], demands: Sequence[Demand]) -> list[_Useful]:
    by_size = DemandBySize(demands)
    every = [
        _Useful(offer, frozenset(place for reach in offer.reaches for place in by_size.held_by(reach, offer.series)))
        for offer in offers([entry for entry in series if entry.is_taken], demands)
    ]
    return [one for one in every if one.holds]


def _candidate(one: _ForSale, demands: Sequence[Demand]) -> Buyable:
    return Buyable(
        holds=one.holds,
        cents=one.price.cents,
        pieces=len(one.offer.sizes),
        misfit=sum(one.offer.misfit(demands[place]) for place in one.holds),
    )


def _lines(bought: Iterable[_ForSale], demands: Sequence[Demand]) -> tuple[BuyLine, ...]:
    """In order of series, shape and size."""
    lines = []
    for one in bought:
        covers = tuple(demands[place] for place in sorted(one.holds))
        singly = _singly(one.offer, covers) if one.offer.kind == "set" else None
        lines.append(BuyLine(offer=one.offer, price=one.price, covers=covers, singly=singly))
    lines.sort(key=lambda line: (line.offer.series.figures.code, line.offer.series.figures.shape, line.offer.sizes))
    return tuple(lines)


def _singly(offer: Offer, covers: Sequence[Demand]) -> int | None:
    """The price of the sizes of a set that hold something of this demand."""
    by_size, total = DemandBySize(covers), 0
    for size, reach in zip(offer.sizes, offer.reaches, strict=True):
        if not any(True for _ in by_size.held_by(reach, offer.series)):
            continue
        price = offer.series.price_of(size)
        if price is None:
            return None
        total += price.cents
    return total


def _unmet(
    met: Collection[int], useful: Sequence[_Useful], demands: Sequence[Demand], series: Sequence[SeriesForSale]
) -> list[Unmet]:
    would_hold: dict[int, list[Offer]] = {}
    for one in useful:
        for place in one.holds - set(met):
            would_hold.setdefault(place, []).append(one.offer)
    elsewhere = _Elsewhere(demands, series)
    return [
        _why(demand, would_hold[place]) if place in would_hold else Unmet(demand.name, elsewhere.why_not_here(place))
        for place, demand in enumerate(demands)
        if place not in met
    ]


def _why(demand: Demand, would_hold: Sequence[Offer]) -> Unmet:
    """Why demand that sizes in these series here would hold stays without."""
    priced = [(offer.price.cents, offer.misfit(demand), offer.name) for offer in would_hold if offer.price is not None]
    if priced:
        cents, _, name = min(priced)
        why = f"not within the budget: {name} would hold it for {money(cents)}"
        return Unmet(demand.name, why, is_too_dear=True)
    best = min(would_hold, key=lambda offer: offer.misfit(demand))
    return Unmet(demand.name, f"no price is known for {best.name}, which would hold it", best)


class _Elsewhere:
    """What would hold demand that no size of a series here holds: sizes of series that no lathe here takes.

    The sizes of a series are gone through once for all the demand, when the first one asks for it.
    """

    def __init__(self, demands: Sequence[Demand], series: Sequence[SeriesForSale]) -> None:
        # What a shop deals in is told before what is only in the tables.
        self._demands, self._series = demands, sorted(series, key=lambda entry: not entry.is_dealt_in)
        self._nearest: dict[int, dict[int, Offer]] = {}

    def why_not_here(self, place: int) -> str:
        """Why nothing here holds it: what is lacking for a size that would, or that none at all can."""
        demand = self._demands[place]
        for number, entry in enumerate(self._series):
            nearest = None if entry.seats_on(demand.lathe) else self._nearest_of(number).get(place)
            if nearest is not None:
                where = f"{demand.lathe} does not take it" if demand.lathe and entry.is_taken else entry.lacks
                return f"{nearest.name} would hold it, but {where}"
        return _too_wide(demand)

    def _nearest_of(self, number: int) -> dict[int, Offer]:
        """For each place of the demand the size of this series that holds it and comes nearest."""
        if number not in self._nearest:
            anywhere = replace(self._series[number], any_lathe=True)
            self._nearest[number] = best_sizes([anywhere], self._demands, rank=_nearness)
        return self._nearest[number]


def _nearness(offer: Offer, demand: Demand) -> tuple[int]:
    return (offer.misfit(demand),)


def _too_wide(demand: Demand) -> str:
    band = demand.stock.band
    if band.smallest == band.largest:
        return "no size of any series here is sure to hold it"
    width = band.largest - band.smallest
    return f"no size of any series here is sure to hold all of it: it may be off by {measured(width)}"
