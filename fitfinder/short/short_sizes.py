"""The missing sizes: which would hold best what nothing here holds, and what waits for each."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from fitfinder.buying.buy_list import Held
from fitfinder.buying.demand import Demand, in_short
from fitfinder.buying.offers import DemandBySize, Offer, SeriesForSale, offers
from fitfinder.short.shortfalls import TOLD, Need, Remedy, Shortfall, capital
from inventory.measures.lengths import Length


def sizes_short(
    demands: Sequence[Demand],
    *,
    held: Iterable[Held],
    series: Sequence[SeriesForSale],
    unfit: Mapping[tuple[str, str, Length], str],
) -> list[Shortfall]:
    """The missing sizes, each with the demand that it holds better than any other and nothing here holds.

    `unfit` says of a size by series, shape and nominal what became of the one that was here.
    """
    best = _best_sizes(open_demand(demands, held), series)
    waiting: dict[tuple, list[Demand]] = defaultdict(list)
    offer_of = {}
    for demand, offer in best:
        figures = offer.series.figures
        key = (figures.code, figures.shape, offer.sizes[0])
        waiting[key].append(demand)
        offer_of[key] = offer
    return [_size(offer_of[key], demands, unfit.get(key, "")) for key, demands in waiting.items()]


def open_demand(demands: Sequence[Demand], held: Iterable[Held]) -> list[Demand]:
    """The demand that nothing which is here or coming holds."""
    by_size = DemandBySize(demands)
    here = {place for item in held for place in by_size.held_by(item.reach, item.series)}
    return [demand for place, demand in enumerate(demands) if place not in here]


def _best_sizes(demands: Sequence[Demand], series: Sequence[SeriesForSale]) -> list[tuple[Demand, Offer]]:
    """For each demand the size that is nearest to it of those that hold it; then the cheaper one."""
    by_size, best = DemandBySize(demands), {}
    for entry in series:
        if not entry.is_taken:
            continue
        for offer in offers([entry], ()):
            if offer.kind != "size":
                continue
            for place in by_size.held_by(offer.reaches[0], entry):
                price = offer.price.cents if offer.price else None
                rank = (offer.misfit(demands[place]), price is None, price or 0, offer.name)
                if place not in best or rank < best[place][0]:
                    best[place] = (rank, offer)
    return [(demands[place], best[place][1]) for place in sorted(best)]


def _size(offer: Offer, demands: list[Demand], unfit: str) -> Shortfall:
    figures = offer.series.figures
    why = f"Nothing here holds {in_short(demands, most=TOLD)}."
    return Shortfall(
        need=Need.SIZE,
        name=offer.name,
        why=f"{why} {capital(unfit)}." if unfit else why,
        remedy=Remedy(series=figures.code, shape=figures.shape, size=offer.sizes[0]),
        demand=sum(demand.weight for demand in demands),
    )
