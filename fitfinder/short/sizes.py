"""The missing sizes: which would hold best what nothing here holds, and what waits for each."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from fitfinder.buying.buy_list import SizeHere, parted
from fitfinder.buying.demand import Demand, in_short
from fitfinder.buying.offers import Offer, Rank, SeriesForSale, best_sizes
from fitfinder.short.shortfalls import TOLD, Need, Remedy, Shortfall, capital
from inventory.measures.lengths import Length


def sizes_short(
    demands: Sequence[Demand],
    *,
    here: Iterable[SizeHere],
    series: Sequence[SeriesForSale],
    unfit: Mapping[tuple[str, str, Length], str],
) -> list[Shortfall]:
    """The missing sizes, each with the demand that it holds better than any other and nothing here holds.

    `unfit` says of a size by series, shape and nominal what became of the one that was here.
    """
    open_ones = parted(demands, here)[1]
    taken = [entry for entry in series if entry.is_taken]
    waiting: dict[tuple[str, str, Length], list[Demand]] = defaultdict(list)
    offer_of: dict[tuple[str, str, Length], Offer] = {}
    for place, offer in best_sizes(taken, open_ones, rank=_nearest_first).items():
        key = (offer.series.figures.code, offer.series.figures.shape, offer.sizes[0])
        waiting[key].append(open_ones[place])
        offer_of[key] = offer
    return [_size(offer_of[key], demands, unfit.get(key, "")) for key, demands in waiting.items()]


def _nearest_first(offer: Offer, demand: Demand) -> Rank:
    """Of two that are as near the cheaper one."""
    return (offer.misfit(demand), offer.price is None, offer.price.cents if offer.price else 0, offer.name)


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
