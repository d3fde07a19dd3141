"""Reads the book for purchasing: the sizes that are here, what can be bought at which price, what should be held.

Here a piece counts as the shop's own wherever it is: what is out to somebody comes back, and is not bought again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from django.db.models import Count
from django.http import QueryDict
from msgspec import Struct

from fitfinder import crib
from fitfinder.buying.buy_list import BuyList, SizeHere, buy_list
from fitfinder.buying.choosing import ALLOWED_SECONDS
from fitfinder.buying.demand import Demand, Unreadable
from fitfinder.buying.offers import Priced, SeriesForSale, SetForSale
from fitfinder.crib_rows import seat_of
from fitfinder.holding.chains import Missing, chains_to
from fitfinder.holding.collets.gaps import metric_sizes
from fitfinder.holding.pieces import LINK_KINDS, LatheOnHand, Piece
from fitfinder.holding.stock import Stock
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.holding.verdicts import Reach
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Length, Unit
from inventory.models import Ask, KeptBar, Kind, Price, Series, SeriesShape, SetPrice, Size, Tool, Want
from inventory.models.asks import AskedFor
from inventory.models.kept_bars import LARGEST_WEIGHT
from inventory.models.prices import last_paid

LAST_PAID, ENTERED, ENTERED_ANY = "last paid", "price list", "price list, any size"
_MOST_ASKS = 500


class SizeInBook(Struct, frozen=True, kw_only=True):
    """A size of the book, and how many of it are in service: collets, and pieces of any kind."""

    pk: int
    series: str
    seat: str
    closing: str
    holds_work: bool
    shape: str
    nominal: Length
    reach: Reach
    is_marked: bool
    collets: int
    pieces: int


class Purchasing:
    """All that a buy list is made from, read once."""

    def __init__(self) -> None:
        self.lathes, self.links, self.sizes = crib.lathes_now(), links(), sizes_in_book()
        self.series = self._for_sale()

    def here(self) -> list[SizeHere]:
        """The sizes that are in service, and those that are approved or on order: they are coming."""
        of: dict[tuple[str, str], SeriesForSale] = {
            (entry.figures.code, entry.figures.shape): entry for entry in self.series
        }
        coming = set(Want.objects.coming().order_by().values_list("size", flat=True))
        return [
            SizeHere(series=of[size.series, size.shape], reach=size.reach)
            for size in self.sizes
            if (size.pieces or size.pk in coming) and (size.series, size.shape) in of
        ]

    def buy_list(self, *, budget: int | None, with_asks: bool = True, seconds: float = ALLOWED_SECONDS) -> BuyList:
        """What to buy for the demand on file, beyond what the shop has; `budget` in cents."""
        demands, unreadable = demand_on_file(asked_for() if with_asks else [])
        series = _with_metric(self.series, demands)
        return buy_list(demands, here=self.here(), series=series, budget=budget, unreadable=unreadable, seconds=seconds)

    def _for_sale(self) -> list[SeriesForSale]:
        entered, paid, sets, known = _entered(), last_paid(), _sets(), _for_sale_singly(self.sizes)
        for_sale = []
        rows = SeriesShape.objects.filter(series__holds_work=True).select_related("series__seat")
        of_series: dict[Series, LathesThatTake] = {}  # a series is in a row for each of its shapes
        for row in rows.order_by("series__code", "shape"):
            key = (row.series.code, row.shape)
            if row.series not in of_series:
                of_series[row.series] = lathes_that_take(
                    row.series.seat.code, rig=self.links, lathes=self.lathes, is_drawn=row.series.is_drawn
                )
            taken = of_series[row.series]
            if row.series.retired_at is not None:
                # What is here of it still holds; no more of it is bought.
                for_sale.append(SeriesForSale(figures=crib.without_ladder(row), lathes=taken.names, lacks=taken.lacks))
                continue
            of_sizes = {size: Priced(cents, LAST_PAID) for size, cents in paid[key].items()} | entered[key].of_sizes
            for_sale.append(
                SeriesForSale(
                    figures=crib.series_of(row),
                    lathes=taken.names,
                    any_lathe=not self.lathes,
                    lacks=taken.lacks,
                    doubt=taken.doubt,
                    further=frozenset(known[key]),
                    prices=of_sizes,
                    rest=entered[key].of_any_size,
                    sets=tuple(sets[key]),
                    blanks=tuple(entered[key].of_blanks.items()),
                )
            )
        return for_sale


def _with_metric(series: Sequence[SeriesForSale], demands: Sequence[Demand]) -> list[SeriesForSale]:
    """Each series with the flats in millimetres that the demand is called by."""
    with_metric = []
    for entry in series:
        stocks = [demand.stock for demand in demands if demand.stock.shape == entry.figures.shape]
        metric = {size for stock in stocks for size in metric_sizes(stock, entry.figures)}
        with_metric.append(replace(entry, further=entry.further | metric) if metric else entry)
    return with_metric


class LathesThatTake(NamedTuple):
    """The names of the lathes that take a seat, what is missing where none does, and what could not be checked."""

    names: frozenset[str]
    lacks: str
    doubt: str


def lathes_that_take(
    seat: str, *, rig: Sequence[Piece], lathes: Sequence[LatheOnHand], is_drawn: bool = False
) -> LathesThatTake:
    ways = chains_to(seat, rig=rig, lathes=lathes, is_drawn=is_drawn)
    if isinstance(ways, Missing):
        return LathesThatTake(frozenset(), ways.why, "")
    checked = {way.lathe.name for way in ways if way.lathe and way.is_checked}
    doubts = {way.doubt for way in ways if way.lathe and way.lathe.name not in checked}
    names = frozenset(way.lathe.name for way in ways if way.lathe)
    return LathesThatTake(names, "", " ".join(sorted(doubts)))


def links() -> list[Piece]:
    """All that can stand between a lathe and a collet, in service or not; what is out counts as here."""
    rows = Tool.objects.in_book().filter(kind__in=[*LINK_KINDS, Kind.DRAWBAR]).select_related("mounts_in", "offers")
    rows = rows.only(
        "tag", "kind", "through", "is_solid", "mounts_in__code", "mounts_in__family", "offers__code", *WHY_NOT
    )
    return [
        Piece(
            id=row.pk,
            tag=row.tag,
            kind=Kind(row.kind),
            condition=row.condition,
            mounts_in=seat_of(row.mounts_in.code, row.mounts_in.family) if row.mounts_in else None,
            offers=row.offers.code if row.offers else None,
            through=row.through,
            is_solid=row.is_solid,
            mounted_on=None,  # it can be put on any lathe that takes it
            why_not=row.why_not,
        )
        for row in rows.order_by("condition", "tag")
    ]


_OF_A_SIZE = (
    "pk", "series__code", "series__seat__code", "series__closing", "series__holds_work", "shape", "nominal",
    "clamps_from", "clamps_to", "edge_bottom", "edge_top", "is_marked",
)  # fmt: skip


def sizes_in_book() -> list[SizeInBook]:
    """How many are in service is counted each time: a number that is stored goes wrong behind bulk writes, and the
    seek through an index is as quick."""
    in_service = Tool.objects.in_service().exclude(size=None).order_by().values_list("size", "kind")
    collets: dict[int, int] = defaultdict(int)
    pieces: dict[int, int] = defaultdict(int)
    for size, kind, count in in_service.annotate(Count("pk")):
        pieces[size] += count
        if kind == Kind.COLLET:
            collets[size] += count
    return [
        SizeInBook(
            pk=pk,
            series=series,
            seat=seat,
            closing=closing,
            holds_work=holds_work,
            shape=shape,
            nominal=nominal,
            reach=Reach(smallest=smallest, largest=largest, edge_bottom=bottom, edge_top=top),
            is_marked=is_marked,
            collets=collets[pk],
            pieces=pieces[pk],
        )
        for (
            pk, series, seat, closing, holds_work, shape, nominal, smallest, largest, bottom, top, is_marked
        ) in Size.objects.values_list(*_OF_A_SIZE)
    ]  # fmt: skip


WHY_NOT = ("condition", "missing_since", "retired_at")
"""The columns of a piece that say why it cannot be used."""


def reach_of_size(size: Size) -> Reach:
    return Reach(
        smallest=size.clamps_from, largest=size.clamps_to, edge_bottom=size.edge_bottom, edge_top=size.edge_top
    )


def demand_on_file(asks: Iterable[tuple[AskedFor, Stock | None]]) -> tuple[list[Demand], list[Unreadable]]:
    """The bar that is kept, and what people asked for; each with the sentence why where it cannot be read."""
    demands, unreadable = [], []
    for bar in KeptBar.objects.standing():
        try:
            stock = stock_from(bar.size, shape=bar.shape, grade=bar.grade)
        except QuestionError as error:
            unreadable.append(Unreadable(str(bar), f"it cannot be read any more: {error.message}"))
            continue
        demands.append(Demand(stock=stock, weight=bar.weight, note=bar.note))
    kept_bars = {(demand.stock.shape, demand.stock.band) for demand in demands}
    demands += [
        Demand(stock=stock, weight=min(ask.times, LARGEST_WEIGHT), lathe=ask.lathe, asked=ask.times)
        for ask, stock in asks
        if stock is not None and (ask.lathe or (stock.shape, stock.band) not in kept_bars)
    ]
    return demands, unreadable


def asked_for() -> list[tuple[AskedFor, Stock | None]]:
    """What people asked for and the crib does not hold, with the stock; None where it cannot be read any more."""
    return [(ask, _stock_of(ask.question)) for ask in Ask.objects.standing().grouped(most=_MOST_ASKS)]


def _stock_of(question: str) -> Stock | None:
    """The stock that a question asked about; None where it names a piece that has changed, or a lost grade."""
    texts = QueryDict(question)
    try:
        unit = Unit(texts.get("unit") or Unit.INCH)  # one of a metric shop says its unit
        return stock_from(
            texts.get("size", ""),
            texts.get("size2", ""),
            shape=texts.get("shape", "round"),
            grade=texts.get("grade", ""),
            unit=unit,
        )
    except ValueError:
        return None


_Key = tuple[str, str]
"""The code of a series, and a shape."""


class _Entered:
    """The prices that were entered for one series and shape; a blank has its pilot hole, None for any."""

    def __init__(self) -> None:
        self.of_sizes: dict[Length, Priced] = {}
        self.of_any_size: Priced | None = None
        self.of_blanks: dict[Length | None, Priced] = {}


def _entered() -> dict[_Key, _Entered]:
    entered: dict[_Key, _Entered] = defaultdict(_Entered)
    rows = Price.objects.values_list("series__code", "shape", "is_blank", "nominal", "cents")
    for code, shape, is_blank, nominal, cents in rows:
        of_series = entered[code, shape]
        if is_blank:
            of_series.of_blanks[nominal] = Priced(cents, ENTERED)
        elif nominal is None:
            of_series.of_any_size = Priced(cents, ENTERED_ANY)
        else:
            of_series.of_sizes[nominal] = Priced(cents, ENTERED)
    return entered


def _sets() -> dict[_Key, list[SetForSale]]:
    sets: dict[_Key, list[SetForSale]] = defaultdict(list)
    rows = SetPrice.objects.filter(sizes__isnull=False).values_list(
        "series__code", "name", "cents", "sizes__shape", "sizes__nominal"
    )
    in_order = rows.order_by("series__code", "name", "sizes__shape", "sizes__nominal")
    for (code, name, cents), of_set in groupby(in_order, key=itemgetter(0, 1, 2)):
        shapes, sizes = zip(*(row[3:] for row in of_set), strict=True)
        one = SetForSale(name=name, sizes=tuple(sorted(sizes)), price=Priced(cents, ENTERED))
        sets[code, shapes[0]].append(one)
    return sets


def _for_sale_singly(sizes: Iterable[SizeInBook]) -> dict[_Key, set[Length]]:
    """Every size that the book has, by series and shape; ranges that are marked on single pieces are not for sale."""
    known: dict[_Key, set[Length]] = defaultdict(set)
    for size in sizes:
        if not size.is_marked:
            known[size.series, size.shape].add(size.nominal)
    return known
