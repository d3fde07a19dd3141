"""The buy list: the cheapest way to hold all the demand, or the most of it for a budget, with its proof in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from fitfinder.buying.covering import ALLOWED_SECONDS, Choice, cheapest, covered_weight, greedy, most_for
from fitfinder.buying.demand import Demand, Unreadable
from fitfinder.buying.offers import DemandBySize, Offer, SeriesForSale, offers
from fitfinder.buying.parts import Parts
from fitfinder.buying.reducing import Column, bits
from fitfinder.holding.verdicts import Reach


class Held(Struct, frozen=True, kw_only=True):
    """A size that the shop has in service or on order, in a series of the catalogue."""

    series: SeriesForSale
    reach: Reach


class Line(Struct, frozen=True, kw_only=True):
    """One thing to buy, and the demand that it holds and nothing here does."""

    offer: Offer
    covers: tuple[Demand, ...]
    singly: int | None = None
    """What the sizes of a set that are needed would cost one by one; None where it is no set or a price is missing."""

    @property
    def cents(self) -> int:
        return self.offer.price.cents


class Uncovered(Struct, frozen=True):
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
    and `unpriced` say among how many sizes, sets and blanks that would serve it was chosen.
    """

    budget: int | None
    lines: tuple[Line, ...]
    cents: int
    bound: int
    met: int
    met_bound: int
    greedy_cents: int
    greedy_met: int
    held: tuple[Demand, ...]
    uncovered: tuple[Uncovered, ...]
    priced: int
    unpriced: tuple[Offer, ...]
    is_tied: bool

    @property
    def is_proved(self) -> bool:
        """Whether nothing meets more for the budget, or without one, whether nothing costs less."""
        return self.met_bound <= self.met and (self.budget is not None or self.bound >= self.cents)

    @property
    def held_weight(self) -> int:
        return sum(demand.weight for demand in self.held)


def buy_list(
    demands: Sequence[Demand],
    *,
    held: Iterable[Held],
    series: Sequence[SeriesForSale],
    budget: int | None = None,
    unreadable: Iterable[Unreadable] = (),
    seconds: float = ALLOWED_SECONDS,
    parts: Parts | None = None,
) -> BuyList:
    """What to buy for this demand, beyond what is held: all of it at least cost, or the most for `budget` cents.

    Only a verdict of `holds` counts, for the whole band, on a lathe that seats the collet. A size without a price is
    never bought; what only such a size would hold is told with it. `parts` is what was solved of it before; where its
    turn has an end, Paused is raised.
    """
    kept, open_ones = _parted(demands, held)
    # In order of size, so that what a collet holds of bars that lie in no other is a run of neighbours.
    open_ones.sort(key=lambda demand: (demand.stock.shape, demand.stock.band.smallest, demand.stock.band.largest))
    by_size = DemandBySize(open_ones)
    useful = [(offer, mask) for offer in offers(series, open_ones) if (mask := _mask(by_size, offer))]
    priced = [(offer, mask) for offer, mask in useful if offer.price is not None]
    columns = [_column(offer, mask, open_ones) for offer, mask in priced]
    weights = [demand.weight for demand in open_ones]
    if budget is None:
        choice = cheapest(columns, weights, seconds=seconds, parts=parts)
    else:
        choice = most_for(columns, weights, budget, seconds=seconds, parts=parts)
    rough = greedy(columns, weights, budget)
    return BuyList(
        budget=budget,
        lines=tuple(_lines(choice, priced, open_ones)),
        cents=choice.cents,
        bound=choice.bound,
        met=choice.met,
        met_bound=choice.met_bound,
        greedy_cents=sum(columns[place].cents for place in rough),
        greedy_met=covered_weight(columns, rough, weights),
        held=tuple(kept),
        uncovered=(
            *(Uncovered(item.name, item.why) for item in unreadable),
            *_left_open(choice, columns, useful, open_ones, series),
        ),
        priced=len(priced),
        unpriced=tuple(offer for offer, _ in useful if offer.price is None),
        is_tied=choice.is_tied,
    )


def _parted(demands: Sequence[Demand], held: Iterable[Held]) -> tuple[list[Demand], list[Demand]]:
    """The demand that is held already, and that which is open."""
    by_size = DemandBySize(demands)
    here = {place for item in held for place in by_size.held_by(item.reach, item.series)}
    kept = [demand for place, demand in enumerate(demands) if place in here]
    return kept, [demand for place, demand in enumerate(demands) if place not in here]


def _mask(by_size: DemandBySize, offer: Offer) -> int:
    if not offer.series.is_taken:
        return 0
    places = {place for reach in offer.reaches for place in by_size.held_by(reach, offer.series)}
    return sum(1 << place for place in places)


def _column(offer: Offer, mask: int, demands: Sequence[Demand]) -> Column:
    return Column(
        covers=mask,
        cents=offer.price.cents,
        pieces=len(offer.sizes),
        misfit=sum(offer.misfit(demands[place]) for place in bits(mask)),
    )


def _lines(choice: Choice, priced, demands: Sequence[Demand]) -> list[Line]:
    lines = [
        Line(
            offer=offer,
            covers=tuple(demands[place] for place in bits(mask)),
            singly=_singly(offer, mask, demands),
        )
        for offer, mask in (priced[place] for place in choice.picked)
    ]
    return sorted(
        lines, key=lambda line: (line.offer.series.figures.code, line.offer.series.figures.shape, line.offer.sizes)
    )


def _singly(offer: Offer, mask: int, demands: Sequence[Demand]) -> int | None:
    """The price of the sizes of a set that hold something of this demand."""
    if offer.kind != "set":
        return None
    by_size = DemandBySize([demands[place] for place in bits(mask)])
    needed = [size for size in offer.sizes if list(by_size.held_by(_reach(offer, size), offer.series))]
    prices = [offer.series.prices.get(size) or offer.series.rest for size in needed]
    return None if None in prices else sum(price.cents for price in prices)


def _reach(offer: Offer, size) -> Reach:
    return offer.series.figures.reach_of(size)


def _left_open(choice: Choice, columns, useful, demands, series) -> list[Uncovered]:
    met = 0
    for place in choice.picked:
        met |= columns[place].covers
    elsewhere = _Elsewhere(demands, series)
    return [_why(place, demand, useful, elsewhere) for place, demand in enumerate(demands) if not met >> place & 1]


def _why(place: int, demand: Demand, useful, elsewhere: _Elsewhere) -> Uncovered:
    would = [offer for offer, mask in useful if mask >> place & 1]
    priced = [offer for offer in would if offer.price is not None]
    if priced:
        best = min(priced, key=lambda offer: (offer.price.cents, offer.misfit(demand)))
        why = f"not within the budget: {best.name} would hold it for {money(best.price.cents)}"
        return Uncovered(demand.name, why, is_too_dear=True)
    if would:
        best = min(would, key=lambda offer: offer.misfit(demand))
        return Uncovered(demand.name, f"no price is known for {best.name}, which would hold it", best)
    return Uncovered(demand.name, elsewhere.why_not_here(place))


class _Elsewhere:
    """What would hold demand that no size of a series here holds: sizes of series that no lathe here takes.

    The sizes of a series are gone through once for all the demand, when the first one asks for it.
    """

    def __init__(self, demands: Sequence[Demand], series: Sequence[SeriesForSale]) -> None:
        self._demands, self._series, self._by_size = demands, series, DemandBySize(demands)
        self._best: dict[int, dict[int, Offer]] = {}

    def why_not_here(self, place: int) -> str:
        """Why nothing here holds it: what is lacking for a size that would, or that none at all can."""
        demand = self._demands[place]
        for number, entry in enumerate(self._series):
            best = None if entry.seats_on(demand.lathe) else self._best_of(number).get(place)
            if best is not None:
                where = f"{demand.lathe} does not take it" if demand.lathe and entry.is_taken else entry.lacks
                return f"{best.name} would hold it, but {where}"
        return _too_wide(demand)

    def _best_of(self, number: int) -> dict[int, Offer]:
        """For each place of the demand the size of this series that holds it and comes nearest."""
        if number not in self._best:
            entry, found = self._series[number], {}
            anywhere = SeriesForSale(figures=entry.figures, any_lathe=True, further=entry.further, prices=entry.prices)
            for offer in offers([anywhere], ()):
                for place in self._by_size.held_by(offer.reaches[0], anywhere):
                    misfit = offer.misfit(self._demands[place])
                    if place not in found or misfit < found[place][0]:
                        found[place] = (misfit, offer)
            self._best[number] = {place: offer for place, (_, offer) in found.items()}
        return self._best[number]


def _too_wide(demand: Demand) -> str:
    band = demand.stock.band
    if band.smallest == band.largest:
        return "no size of any series here is sure to hold it"
    width = band.largest - band.smallest
    return f"no size of any series here is sure to hold all of it: it may be off by {width.inch_text} in"


def money(cents: int) -> str:
    return f"${cents // 100:,}.{cents % 100:02d}"
