"""What can be bought: sizes, sets and blanks of every series, with their price and what they would hold."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from operator import itemgetter

from msgspec import Struct

from fitfinder.buying.demand import Demand
from fitfinder.holding.pieces import SeriesOnHand
from fitfinder.holding.verdicts import Reach
from inventory.measures import money as amounts
from inventory.measures.length_words import bore_text, nominal
from inventory.measures.lengths import NM_PER_TENTH, Length

_NM_PER_UM = 1000
Rank = tuple[int | str, ...]
"""What decides between two offers, the lower one first."""


class Priced(Struct, frozen=True):
    """A price in whole cents, and where it comes from: `last paid`, `price list`, `price list, any size`."""

    cents: int
    basis: str


def money(cents: int) -> str:
    return amounts.shown(cents)


class SetForSale(Struct, frozen=True, kw_only=True):
    """Sizes of one series that are sold as one."""

    name: str
    sizes: tuple[Length, ...]
    price: Priced


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesForSale:
    """A series in one shape, where a lathe here takes it and what is known of its prices.

    `lathes` are the names of those that take it; `lacks` says what is missing where none does, `doubt` what could not
    be checked. `any_lathe` is True where no lathe is described. `further` are sizes off the ladder. A blank has its
    pilot hole beside its price, None where any bore can be cut.
    """

    figures: SeriesOnHand
    lathes: frozenset[str] = frozenset()
    any_lathe: bool = False
    lacks: str = ""
    doubt: str = ""
    further: frozenset[Length] = frozenset()
    prices: dict[Length, Priced] = field(default_factory=dict)
    rest: Priced | None = None
    sets: tuple[SetForSale, ...] = ()
    blanks: tuple[tuple[Length | None, Priced], ...] = ()

    @property
    def is_taken(self) -> bool:
        return self.any_lathe or bool(self.lathes)

    @property
    def is_dealt_in(self) -> bool:
        """Whether the shop has, wants or has a price for any of it, beside the ladder that the tables know."""
        return bool(self.further or self.prices or self.rest or self.sets or self.blanks)

    def seats_on(self, lathe: str) -> bool:
        """Whether a lathe of this name takes it; any will do where none is named."""
        if self.any_lathe or not lathe:
            return self.is_taken
        return any(name.upper() == lathe.upper() for name in self.lathes)

    def sizes(self) -> list[Length]:
        """All sizes that it comes in: its ladder, and what the shop has, wants or has a price for beside it."""
        listed = {size for one in self.sets for size in one.sizes}
        return sorted({*ladder(self.figures), *self.further, *self.prices, *listed})

    def price_of(self, size: Length) -> Priced | None:
        return self.prices.get(size) or self.rest


def ladder(figures: SeriesOnHand) -> list[Length]:
    """The sizes that a series comes in step by step; none where that is not known."""
    if figures.listed:
        return sorted(figures.listed)
    first, last, step = figures.ladder_from, figures.ladder_to, figures.ladder_step
    if first is None or last is None or step is None:
        return []
    return [Length(nm) for nm in range(first.nm, last.nm + 1, step.nm)]


class Offer(Struct, frozen=True, kw_only=True):
    """One thing to buy: a `size`, a `set` of sizes, or a `blank` that is to be bored to its one size."""

    kind: str
    series: SeriesForSale
    sizes: tuple[Length, ...]
    price: Priced | None
    name: str

    @property
    def reaches(self) -> list[Reach]:
        return [self.series.figures.reach_of(size) for size in self.sizes]

    def misfit(self, demand: Demand) -> int:
        """Micrometres from the nearest of its sizes to what the bar should be."""
        return min(abs(size.nm - demand.aim.nm) for size in self.sizes) // _NM_PER_UM


class Stretch(Struct, frozen=True, order=True):
    """From one size to another; both ends belong to it where it is gripped."""

    smallest: Length
    largest: Length

    @property
    def width(self) -> Length:
        return self.largest - self.smallest


def sure_zone(reach: Reach) -> Stretch | None:
    """Where a whole band has to lie for the verdict `holds`: the clamping range without its edge allowances."""
    smallest, largest = reach.smallest + reach.edge_bottom, reach.largest - reach.edge_top
    return Stretch(smallest, largest) if smallest <= largest else None


class DemandBySize:
    """The demand in order of size, so that what a zone holds is found without looking at all of it."""

    def __init__(self, demands: Sequence[Demand]) -> None:
        self.demands = demands
        self._places: dict[str, list[int]] = {}
        for place, demand in enumerate(demands):
            self._places.setdefault(demand.stock.shape, []).append(place)
        self._starts: dict[str, list[Length]] = {}
        for shape, places in self._places.items():
            places.sort(key=lambda place: demands[place].stock.band.smallest)
            self._starts[shape] = [demands[place].stock.band.smallest for place in places]

    def held_by(self, reach: Reach, series: SeriesForSale) -> Iterator[int]:
        """The places of the demand whose whole band this holds, where a lathe seats it."""
        zone, shape = sure_zone(reach), series.figures.shape
        if zone is None or shape not in self._places:
            return
        starts, places = self._starts[shape], self._places[shape]
        for at in range(bisect_left(starts, zone.smallest), bisect_right(starts, zone.largest)):
            demand = self.demands[places[at]]
            if demand.stock.band.largest <= zone.largest and series.seats_on(demand.lathe):
                yield places[at]


def offers(series: Iterable[SeriesForSale], demands: Sequence[Demand]) -> list[Offer]:
    """All that could be bought for this demand, with a price or without one."""
    on_offer = []
    for entry in series:
        on_offer += [_size(entry, size) for size in entry.sizes()]
        on_offer += [
            Offer(kind="set", series=entry, sizes=one.sizes, price=one.price, name=one.name) for one in entry.sets
        ]
        on_offer += [
            _blank(entry, bore, price) for pilot, price in entry.blanks for bore in bores(entry, pilot, demands)
        ]
    return on_offer


def best_sizes(
    series: Iterable[SeriesForSale], demands: Sequence[Demand], *, rank: Callable[[Offer, Demand], Rank]
) -> dict[int, Offer]:
    """For the place of each demand the size that ranks lowest of those that hold it."""
    by_size = DemandBySize(demands)
    best: dict[int, tuple[Rank, Offer]] = {}
    for entry in series:
        for offer in (_size(entry, size) for size in entry.sizes()):
            for place in by_size.held_by(entry.figures.reach_of(offer.sizes[0]), entry):
                ranked = rank(offer, demands[place])
                if place not in best or ranked < best[place][0]:
                    best[place] = (ranked, offer)
    return {place: offer for place, (_, offer) in sorted(best.items(), key=itemgetter(0))}


def _size(entry: SeriesForSale, size: Length) -> Offer:
    name = f"{nominal(size)} {entry.figures.shape} {entry.figures.code}"
    return Offer(kind="size", series=entry, sizes=(size,), price=entry.price_of(size), name=name)


def _blank(entry: SeriesForSale, bore: Length, price: Priced) -> Offer:
    """At a price that was entered, with the work in it: at what was last paid, it would beat every hardened collet."""
    name = f"{entry.figures.code} machinable blank, bored to {bore_text(bore)}"
    return Offer(kind="blank", series=entry, sizes=(bore,), price=price, name=name)


def bores(entry: SeriesForSale, pilot: Length | None, demands: Sequence[Demand]) -> list[Length]:
    """The bores worth thinking of: at a bar's own size, and as large as still holds the smallest of the bar.

    Whatever one bore can hold together is held by such a largest one too. Only round blanks are bored.
    """
    figures = entry.figures
    if figures.shape != "round":
        return []
    bores: set[Length] = set()
    for demand in demands:
        if demand.stock.shape != "round":
            continue
        widest = _widest_bore(figures, demand.stock.band.smallest)
        bores |= {demand.aim, widest, Length(widest.nm // NM_PER_TENTH * NM_PER_TENTH)}
    lowest = pilot or figures.smallest or Length(1)
    return sorted(
        bore
        for bore in bores
        if lowest <= bore and bore.nm > 0 and (figures.largest is None or bore <= figures.largest)
    )


def _widest_bore(figures: SeriesOnHand, smallest: Length) -> Length:
    """The largest nominal whose sure zone begins no later than at `smallest`.

    How far a collet closes steps up once at small sizes, so the step that counts is found by trying.
    """
    bore = smallest
    for _ in range(3):
        zone = _sure_from(figures, bore)
        bore = bore + (smallest - zone)
        if _sure_from(figures, bore) == smallest:
            break
    return bore if _sure_from(figures, bore) <= smallest else smallest


def _sure_from(figures: SeriesOnHand, size: Length) -> Length:
    reach = figures.reach_of(size)
    return reach.smallest + reach.edge_bottom
