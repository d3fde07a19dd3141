"""Blank or buy: which blanks on hand to bore for the demand that nothing holds, planned jointly.

A bore can only be opened, never closed. So each blank gets one bore, the smaller bores are cut first, and for each the
plan says what it could be opened to later, when what it holds is needed no longer.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from math import floor

from msgspec import Struct

from fitfinder.buying import solver
from fitfinder.buying.demand import Demand
from fitfinder.buying.offers import DemandBySize, Offer, Rank, SeriesForSale, best_sizes, bores
from inventory.measures.lengths import Length

_ALLOWED_SECONDS = 5
_HALF = Fraction(1, 2)


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


class BoreOrBuy(Struct, frozen=True, kw_only=True):
    """One demand: the cheapest size to buy for it, and the bore that serves it.

    `buy` is None where no size of any series here holds it; its price is None where none is on file. `blanks` are the
    tags that could be bored to it. `bore` is the one of the plan.
    """

    demand: Demand
    buy: Offer | None
    blanks: tuple[str, ...]
    bore: Bore | None

    @property
    def word(self) -> str:
        return "bore" if self.bore else "buy" if self.buy else "neither"

    @property
    def shared(self) -> int:
        """How many other demands its bore serves."""
        return len(self.bore.holds) - 1 if self.bore else 0


class BoringPlan(Struct, frozen=True, kw_only=True):
    """What to bore, in the order of cutting, and each demand with its choice, the weightiest first.

    `saved` is what buying for all that the bores serve would cost, as far as prices are known. `is_proved` is False
    where time ran out before it was clear that no other bores serve more.
    """

    bores: tuple[Bore, ...]
    choices: tuple[BoreOrBuy, ...]
    saved: int
    is_proved: bool


class _BoreToCut(Struct, frozen=True):
    """A bore that is worth cutting in a blank of this series, and the places of the demand that it holds."""

    series: str
    size: Length
    holds: frozenset[int]


def blank_or_buy(
    demands: Sequence[Demand], *, blanks: Iterable[BlankHere], series: Sequence[SeriesForSale]
) -> BoringPlan:
    """The bores that serve the most weight of `demands`; of equals the ones that save the most money, then the fewest.

    `demands` is what nothing holds. A bored blank counts as a collet of its size.
    """
    blanks = sorted(blanks, key=lambda blank: (blank.series, blank.pilot, blank.tag))
    buys = best_sizes([entry for entry in series if entry.is_taken], demands, rank=_cheapest_first)
    possible = _possible_bores(demands, blanks, series)
    picked, is_proved = _picked(possible, demands, blanks, buys)
    served = {place for one in picked for place in one.holds}
    cut = [
        (one, _bore(one, blank, demands, later=_later(one, possible) - served))
        for one, blank in _with_blanks(picked, blanks)
    ]
    bore_of = {place: bore for one, bore in cut for place in one.holds}
    choices = [
        BoreOrBuy(demand=demand, buy=buys.get(place), blanks=_could(place, possible, blanks), bore=bore_of.get(place))
        for place, demand in enumerate(demands)
    ]
    return BoringPlan(
        bores=tuple(bore for _, bore in cut),
        choices=tuple(sorted(choices, key=lambda choice: (-choice.demand.weight, choice.demand.aim))),
        saved=sum(cents for cents, places in _purchases(buys) if places & served),
        is_proved=is_proved,
    )


def _cheapest_first(offer: Offer, demand: Demand) -> Rank:
    """Without any price the nearest one."""
    return (offer.price is None, offer.price.cents if offer.price else 0, offer.misfit(demand), offer.name)


def _possible_bores(
    demands: Sequence[Demand], blanks: Sequence[BlankHere], series: Sequence[SeriesForSale]
) -> list[_BoreToCut]:
    """Each set of demand that one bore holds, once for each series: with the smallest such bore, which keeps most open.

    A set that lies in another one is left out unless its bore is larger, so that a blank can take it first.
    """
    by_size, smallest = DemandBySize(demands), {}
    for entry in series:
        code = entry.figures.code
        pilots = [blank.pilot for blank in blanks if blank.series == code]
        if not pilots or entry.figures.shape != "round" or not entry.is_taken:
            continue
        for size in bores(entry, min(pilots), demands):
            holds = frozenset(by_size.held_by(entry.figures.reach_of(size), entry))
            if holds and (code, holds) not in smallest:  # they come in order of size
                smallest[code, holds] = _BoreToCut(code, size, holds)
    every = sorted(smallest.values(), key=lambda one: (one.size, one.series))
    return [
        one
        for one in every
        if not any(other.series == one.series and other.size >= one.size and other.holds > one.holds for other in every)
    ]


def _purchases(buys: Mapping[int, Offer]) -> list[tuple[int, frozenset[int]]]:
    """Each size that would be bought, once: its price in cents where it has one, and the places of its demand."""
    places: dict[tuple[str, str, Length], set[int]] = {}
    cents: dict[tuple[str, str, Length], int] = {}
    for place, offer in buys.items():
        size = (offer.series.figures.code, offer.series.figures.shape, offer.sizes[0])
        places.setdefault(size, set()).add(place)
        cents[size] = offer.price.cents if offer.price else 0
    return [(cents[size], frozenset(places[size])) for size in places]


def _picked(
    possible: Sequence[_BoreToCut], demands: Sequence[Demand], blanks: Sequence[BlankHere], buys: Mapping[int, Offer]
) -> tuple[list[_BoreToCut], bool]:
    """The bores to cut, and whether it is proved that no others serve more.

    The solver is asked in bores: a cent saved is worth more than all of them, a unit of weight more than all the money.
    A size is saved as soon as one of its demands is served.
    """
    purchases = _purchases(buys)
    cent = len(blanks) + 1
    unit = cent * (1 + sum(cents for cents, _ in purchases))
    worths = [(demand.weight * unit, frozenset({place})) for place, demand in enumerate(demands)]
    worths += [(cents * cent, places) for cents, places in purchases]
    rows = [
        (worth, numbers)
        for worth, places in worths
        if (numbers := [number for number, one in enumerate(possible) if one.holds & places])
    ]
    solved = solver.least(
        [numbers for _, numbers in rows],
        [Fraction(1)] * len(possible),
        worths=[worth for worth, _ in rows],
        limits=_limits(possible, blanks),
        seconds=_ALLOWED_SECONDS,
    )
    picked = [possible[number] for number in solved.picked or ()]
    served = {place for one in picked for place in one.holds}
    # What the bores themselves cost is less than a cent; half a bore is room for a slip of the solver.
    is_proved = solved.bound is not None and floor((cent - _HALF - solved.bound) / unit) <= sum(
        demands[place].weight for place in served
    )
    return picked, is_proved


def _limits(possible: Sequence[_BoreToCut], blanks: Sequence[BlankHere]) -> list[solver.Limit]:
    """A blank for each bore, with a pilot hole no larger: of the bores below the n-th pilot less than n are cut."""
    pilots: dict[str, list[Length]] = {}
    for blank in blanks:
        pilots.setdefault(blank.series, []).append(blank.pilot)
    limits = []
    for series, of_series in pilots.items():
        sizes = {number: one.size for number, one in enumerate(possible) if one.series == series}
        limits.append(solver.Limit(dict.fromkeys(sizes, 1), len(of_series)))
        for before, pilot in enumerate(sorted(of_series)):
            smaller = [number for number, size in sizes.items() if size < pilot]
            limits.append(solver.Limit(dict.fromkeys(smaller, 1), before))
    return limits


def _with_blanks(picked: Iterable[_BoreToCut], blanks: Iterable[BlankHere]) -> list[tuple[_BoreToCut, BlankHere]]:
    """In the order of cutting, each in the blank with the largest pilot hole that it allows."""
    left, pairs = list(blanks), []
    for one in sorted(picked, key=lambda one: (one.size, one.series)):
        blank = max(
            (blank for blank in left if blank.series == one.series and blank.pilot <= one.size),
            key=lambda blank: blank.pilot,
        )
        left.remove(blank)
        pairs.append((one, blank))
    return pairs


def _later(one: _BoreToCut, possible: Iterable[_BoreToCut]) -> set[int]:
    """The places of what this bore could be opened for."""
    return {
        place for other in possible if other.series == one.series and other.size > one.size for place in other.holds
    }


def _bore(one: _BoreToCut, blank: BlankHere, demands: Sequence[Demand], *, later: Iterable[int]) -> Bore:
    return Bore(
        tag=blank.tag,
        series=one.series,
        size=one.size,
        holds=tuple(demands[place] for place in sorted(one.holds)),
        opens_to=tuple(sorted((demands[place] for place in sorted(later)), key=lambda demand: demand.aim)),
    )


def _could(place: int, possible: Iterable[_BoreToCut], blanks: Iterable[BlankHere]) -> tuple[str, ...]:
    """The tags of the blanks that could be bored for this demand."""
    sizes = [one for one in possible if place in one.holds]
    return tuple(
        blank.tag for blank in blanks if any(one.series == blank.series and blank.pilot <= one.size for one in sizes)
    )
