"""Rows for purchasing and the boards, as the plain objects that the core takes: sizes, prices, demand, asks.

Here a piece counts as the shop's own wherever it is: what is out to somebody comes back, and is not bought again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import Count, Exists, Min, OuterRef, Q
from django.http import QueryDict

from fitfinder import crib
from fitfinder.buying.buy_list import BuyList, SizeHere, buy_list
from fitfinder.buying.choosing import ALLOWED_SECONDS
from fitfinder.buying.demand import Demand, Unreadable
from fitfinder.buying.offers import Priced, SeriesForSale, SetForSale
from fitfinder.holding.chains import Chain, Missing, chains_to
from fitfinder.holding.pieces import LINK_KINDS, LatheOnHand, Piece, Seat
from fitfinder.holding.stock import Stock
from fitfinder.holding.stock_texts import stock_from
from fitfinder.holding.verdicts import Reach
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Length, Unit
from inventory.models import Ask, KeptBar, Kind, Price, SeriesShape, SetPrice, Size, Tool, Want
from inventory.models import Seat as SeatRow
from inventory.models.asks import AskedFor
from inventory.models.kept_bars import LARGEST_WEIGHT
from inventory.models.prices import last_paid

LAST_PAID, ENTERED, ENTERED_ANY = "last paid", "price list", "price list, any size"
_MOST_ASKS = 500


def links() -> list[Piece]:
    """All that can stand between a lathe and a collet, in service or not; what is out counts as here."""
    rows = Tool.objects.in_book().filter(kind__in=[*LINK_KINDS, Kind.DRAWBAR]).select_related("mounts_in", "offers")
    return [
        Piece(
            id=row.pk,
            tag=row.tag,
            kind=row.kind,
            condition=row.condition,
            mounts_in=_seat(row.mounts_in),
            offers=row.offers.code if row.offers else None,
            through=row.through,
            is_solid=row.is_solid,
            mounted_on=None,  # it can be put on any lathe that takes it
            why_not=_why_not(row),
        )
        for row in rows.order_by("condition", "tag")
    ]


def _why_not(row: Tool) -> str:
    if row.is_in_service:
        return ""
    return f"missing since {row.missing_since}" if row.missing_since else row.condition


def _seat(row: SeatRow | None) -> Seat | None:
    if row is None:
        return None
    is_taper = row.family == "taper" and row.code.startswith("MT")
    return Seat(row.code, needs_drawbar=is_taper, is_thread=row.family == "thread")


def seated(seat: str, *, rig: Iterable[Piece], on: Iterable[LatheOnHand]) -> tuple[frozenset[str], str, str]:
    """The names of the lathes that take this seat, what is missing where none does, and what is not checked."""
    rig, on = list(rig), list(on)
    names, doubts = set(), set()
    for lathe in on:
        ways = chains_to(seat, rig=rig, lathes=[lathe])
        if isinstance(ways, Missing):
            continue
        names.add(lathe.name)
        if not any(way.is_checked for way in ways):
            doubts |= {way.doubt for way in ways if isinstance(way, Chain)}
    if not names:
        found = chains_to(seat, rig=rig, lathes=on)
        return frozenset(), found.why if isinstance(found, Missing) else "", ""
    return frozenset(names), "", " ".join(sorted(doubts))


class Purchasing:
    """All that a buy list is made from, read once."""

    def __init__(self) -> None:
        self.lathes, self.links = list(crib.lathes_now()), links()
        rows = SeriesShape.objects.select_related("series__seat").order_by("series__code", "shape")
        self._entered = _by_series(Price.objects.select_related("series"))
        self._sets = _sets()
        self._paid = last_paid()
        self._known = _known_sizes()
        self.series = [self._for_sale(row) for row in rows]
        self._of = {(entry.figures.code, entry.figures.shape): entry for entry in self.series}

    def here(self) -> list[SizeHere]:
        """The sizes that are in service, and those that are approved or on order: they are coming."""
        in_service = Tool.objects.in_service().filter(size=OuterRef("pk"))
        coming = Want.objects.coming().filter(size=OuterRef("pk"))
        sizes = Size.objects.filter(Exists(in_service) | Exists(coming)).select_related("series")
        return [
            SizeHere(series=self._of[size.series.code, size.shape], reach=reach_of_size(size))
            for size in sizes
            if (size.series.code, size.shape) in self._of
        ]

    def demands(self, *, with_asks: bool = True) -> tuple[list[Demand], list[Unreadable]]:
        """The bar that is kept, and what people asked for; each with the sentence why where it cannot be read."""
        found, unreadable = [], []
        for bar in KeptBar.objects.standing():
            try:
                stock = stock_from(bar.size, shape=bar.shape, grade=bar.grade)
            except QuestionError as error:
                unreadable.append(Unreadable(str(bar), f"it cannot be read any more: {error.message}"))
                continue
            found.append(Demand(stock=stock, weight=bar.weight, note=bar.note))
        if with_asks:
            kept = {(demand.stock.shape, demand.stock.band) for demand in found}
            found += [
                Demand(stock=stock, weight=min(ask.times, LARGEST_WEIGHT), lathe=ask.lathe, asked=ask.times)
                for ask, stock in asked_for()
                if stock is not None and (ask.lathe or (stock.shape, stock.band) not in kept)
            ]
        return found, unreadable

    def buy_list(self, *, budget: int | None, with_asks: bool = True, seconds: float = ALLOWED_SECONDS) -> BuyList:
        """What to buy for the demand on file, beyond what the shop has; `budget` in cents."""
        demands, unreadable = self.demands(with_asks=with_asks)
        return buy_list(
            demands, here=self.here(), series=self.series, budget=budget, unreadable=unreadable, seconds=seconds
        )

    def _for_sale(self, row: SeriesShape) -> SeriesForSale:
        names, lacks, doubt = seated(row.series.seat.code, rig=self.links, on=self.lathes)
        key = (row.series.code, row.shape)
        entered = self._entered[key]
        paid = {size: Priced(cents, LAST_PAID) for size, cents in self._paid[key].items()}
        prices = {**paid, **{size: price for size, price in entered["sizes"].items() if size}}
        return SeriesForSale(
            figures=crib.series_of(row),
            lathes=names,
            any_lathe=not self.lathes,
            lacks=lacks,
            doubt=doubt,
            further=frozenset(self._known[key]),
            prices=prices,
            rest=entered["sizes"].get(None),
            sets=tuple(self._sets[key]),
            blanks=tuple(entered["blanks"].items()),
        )


def reach_of_size(size: Size) -> Reach:
    return Reach(
        smallest=size.clamps_from, largest=size.clamps_to, edge_bottom=size.edge_bottom, edge_top=size.edge_top
    )


def asked_for() -> list[tuple[AskedFor, Stock | None]]:
    """What people looked for in vain, with the stock; None where it cannot be read any more."""
    return [(ask, _stock_of(ask.question)) for ask in Ask.objects.standing().grouped(most=_MOST_ASKS)]


def _stock_of(question: str) -> Stock | None:
    """The stock that a question asked about; None where it names a piece that has changed, or a lost grade."""
    texts = QueryDict(question)
    try:
        unit = Unit(texts.get("unit", "in"))
        return stock_from(
            texts.get("size", ""),
            texts.get("size2", ""),
            shape=texts.get("shape", "round"),
            grade=texts.get("grade", ""),
            unit=unit,
        )
    except ValueError:
        return None


def _known_sizes() -> dict[tuple[str, str], set[Length]]:
    """Every size that the book has, by series and shape; ranges that are marked on single pieces are not for sale."""
    known: dict[tuple[str, str], set[Length]] = defaultdict(set)
    for code, shape, size in Size.objects.filter(is_marked=False).values_list("series__code", "shape", "nominal"):
        known[code, shape].add(size)
    return known


def _by_series(prices: Iterable[Price]):
    entered = defaultdict(lambda: {"sizes": {}, "blanks": {}})
    for price in prices:
        basis = ENTERED if price.nominal or price.is_blank else ENTERED_ANY
        group = entered[price.series.code, price.shape]["blanks" if price.is_blank else "sizes"]
        group[price.nominal] = Priced(price.cents, basis)
    return entered


def _sets() -> dict[tuple[str, str], list[SetForSale]]:
    sets = defaultdict(list)
    for row in SetPrice.objects.select_related("series").prefetch_related("sizes"):
        sizes = list(row.sizes.all())
        if sizes:
            one = SetForSale(
                name=row.name,
                sizes=tuple(sorted(size.nominal for size in sizes)),
                price=Priced(row.cents, ENTERED),
            )
            sets[row.series.code, sizes[0].shape].append(one)
    return sets


def counted(figures: SeriesShape) -> list[dict]:
    """For each size of a series and shape what of it there is, and the truest reading of what is in service."""
    in_service = Q(tools__condition__in=("good", "worn"), tools__missing_since=None, tools__retired_at=None)
    unfit = Q(tools__condition__in=("damaged", "scrapped")) | Q(tools__missing_since__isnull=False)
    out = Exists(Tool.objects.in_service().is_out().filter(pk=OuterRef("tools__pk")))
    rows = (
        Size.objects.filter(series=figures.series_id, shape=figures.shape)
        .annotate(is_out=out)
        .values("nominal")
        .annotate(
            good=Count("tools", filter=in_service & Q(tools__condition="good", is_out=False)),
            worn=Count("tools", filter=in_service & Q(tools__condition="worn", is_out=False)),
            out=Count("tools", filter=in_service & Q(is_out=True)),
            unfit=Count("tools", filter=unfit & Q(tools__retired_at=None)),
            truest=Min("tools__tir", filter=in_service),
        )
        .order_by("nominal")
    )
    return list(rows)
