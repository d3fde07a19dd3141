"""Reads the book for what is short, and for blank or buy, and asks the core."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta
from fractions import Fraction
from functools import cached_property

from django.db.models import Count, Q
from django.utils import timezone
from msgspec import Struct

from fitfinder.buying.buy_list import SizeHere, parted
from fitfinder.buying.demand import Demand
from fitfinder.buying.offers import DemandBySize, bores
from fitfinder.buying.reader import WHY_NOT, Purchasing, asked_for, demand_on_file
from fitfinder.holding.stock import Stock
from fitfinder.short import boring, shortfalls
from fitfinder.short.links import LinkToGet, Shank, Shelf, missing_links
from fitfinder.short.shortfalls import BlanksOf, KeyFor, LowItem, OfSize, Remedy, RemedyKey, Shortfall, Wearing
from fitfinder.short.sizes import sizes_short
from inventory.figures.names import series_by_seat
from inventory.inspections.readings import trends
from inventory.measures.length_words import measured
from inventory.measures.lengths import Length
from inventory.models import (
    CountedItem,
    CountedMovement,
    Kind,
    Loan,
    Size,
    Tool,
    Want,
    WorkingMinutes,
)
from inventory.models.asks import AskedFor
from inventory.models.kinds import CHUCKS
from inventory.reference import practice

BORED = "machinable collet bored"
LONGEST_WHY = 200
_SIZE = ("size__series__code", "size__shape", "size__nominal")


class ShortRow(Struct, frozen=True):
    """One thing that is short, and the want that stands for it, if one does."""

    shortfall: Shortfall
    want: Want | None

    @property
    def is_size(self) -> bool:
        return self.shortfall.remedy.size is not None

    @property
    def asks_for(self) -> dict[str, str | int]:
        """What the page that takes it onto the order list is sent."""
        remedy, why = self.shortfall.remedy, self.shortfall.why[:LONGEST_WHY]
        if remedy.size is not None:
            return {"series": remedy.series, "shape": remedy.shape, "nm": remedy.size.nm, "why": why}
        if remedy.item is not None:
            return {"item": remedy.item, "why": why}
        return {"what": remedy.what, "kind": remedy.kind, "mount": remedy.mount, "takes": remedy.takes, "why": why}

    @property
    def tells_demand(self) -> bool:
        """Of a link its sentence says how many pieces it opens."""
        return bool(self.shortfall.demand) and self.shortfall.need is not shortfalls.Need.LINK


def by_need(rows: Iterable[ShortRow]) -> list[tuple[str, list[ShortRow]]]:
    """What is short by why it is, in the order in which it is bought."""
    groups: dict[shortfalls.Need, list[ShortRow]] = {need: [] for need in shortfalls.Need}
    for row in rows:
        groups[row.shortfall.need].append(row)
    return [(need.value, alike) for need, alike in groups.items() if alike]


class Shortage:
    """What the book says on one day; `lead_days` where wear is asked for, as the shop said; None where it never did."""

    def __init__(self, *, today: date, lead_days: int | None = None) -> None:
        self.today = today
        self.lead_days = lead_days or shortfalls.LEAD_DAYS
        self._since = timezone.now() - timedelta(days=shortfalls.USED_DAYS)
        self._purchasing = Purchasing()

    @cached_property
    def wants(self) -> list[Want]:
        """The order list: what it has already is not asked for again."""
        return list(Want.objects.open().for_line())

    @cached_property
    def low(self) -> list[CountedItem]:
        return list(CountedItem.objects.low())

    @cached_property
    def waiting(self) -> list[Demand]:
        """The demand that nothing which is here or coming holds."""
        return parted(self._demands, self._here)[1]

    @cached_property
    def asks(self) -> list[tuple[AskedFor, Stock | None]]:
        return asked_for()

    @cached_property
    def _demands(self) -> list[Demand]:
        return demand_on_file(self.asks)[0]

    @cached_property
    def _here(self) -> list[SizeHere]:
        return self._purchasing.here()

    def rows(self) -> list[ShortRow]:
        """All that is short, links first, then by demand."""
        every = shortfalls.in_order(
            [
                *shortfalls.links_short(self._missing_links()),
                *shortfalls.keys_short(self._keys()),
                *sizes_short(self._demands, here=self._here, series=self._purchasing.series, unfit=self._unfit()),
                *shortfalls.wear_short(self._wearing(), today=self.today, lead_days=self.lead_days),
                *shortfalls.singles_short(self._much_used()),
                *shortfalls.blanks_short(self._blanks(), self._could_be_bored()),
                *shortfalls.counted_short(self._low()),
            ]
        )
        standing = {_key(want): want for want in self.wants}
        return [ShortRow(item, standing.get(item.remedy.key)) for item in every]

    def blank_or_buy(self) -> boring.BoringPlan:
        return boring.blank_or_buy(self.waiting, blanks=self.blanks_here(), series=self._purchasing.series)

    def blanks_here(self) -> list[boring.BlankHere]:
        """Those in service that are not bored, and of which the pilot hole is known."""
        rows = Tool.objects.in_service().filter(kind=Kind.MACHINABLE_COLLET, size=None)
        series = series_by_seat()
        return [
            boring.BlankHere(tag=tag, series=series[seat], pilot=pilot)
            for tag, seat, pilot in rows.order_by("tag").values_list("tag", "mounts_in", "pilot")
            if seat in series and pilot is not None
        ]

    def _missing_links(self) -> list[LinkToGet]:
        here = self._purchasing
        return missing_links(lathes=here.lathes, rig=here.links, shelves=self._shelves(), shanks=self._shanks())

    def _shelves(self) -> list[Shelf]:
        shelves: dict[tuple[str, str, str], list[int]] = defaultdict(list)
        for size in self._purchasing.sizes:
            if size.collets and size.holds_work:
                shelves[size.series, size.seat, size.closing].append(size.collets)
        return [
            Shelf(series=series, seat=seat, closing=closing, sizes=len(of_sizes), pieces=sum(of_sizes))
            for (series, seat, closing), of_sizes in shelves.items()
        ]

    def _shanks(self) -> list[Shank]:
        rows = Tool.objects.in_service().filter(mounts_in__family="taper", mounts_in__code__startswith="MT")
        rows = rows.exclude(kind__in=(Kind.SLEEVE, Kind.DRAWBAR, Kind.COLLET_CHUCK)).order_by("tag")
        return [Shank(tag, taper) for tag, taper in rows.values_list("tag", "mounts_in__code")]

    def _keys(self) -> list[KeyFor]:
        rows = Tool.objects.in_book().filter(kind__in=[Kind.KEY, *CHUCKS]).order_by("tag")
        named: dict[str, list[tuple[str, str]]] = defaultdict(list)
        chucks = []
        for row in rows.only("tag", "kind", "fits", *WHY_NOT):
            if row.kind != Kind.KEY:
                chucks += [row.tag] if row.is_in_service else []
            elif row.fits:
                for text in row.fits.split(","):
                    named[text.strip().upper()].append((row.tag, row.why_not))
        return [KeyFor(tag=tag, keys=tuple(named.get(tag.upper(), ()))) for tag in chucks]

    def _unfit(self) -> dict[tuple[str, str, Length], str]:
        """What became of the collets in the book that cannot be used, of sizes of which none is in service."""
        rows = Tool.objects.in_book().filter(kind=Kind.COLLET)
        rows = rows.filter(Q(condition__in=("damaged", "scrapped")) | Q(missing_since__isnull=False))
        return {
            (row.size.series.code, row.size.shape, row.size.nominal): f"{row.tag} of this size is {row.why_not}"
            for row in rows.select_related("size__series").only("tag", *WHY_NOT, *_SIZE).order_by("-tag")
            if row.size is not None and row.size_id not in self._count
        }

    @cached_property
    def _count(self) -> dict[int, int]:
        """How many collets of each size are in service, by its key."""
        return {size.pk: size.collets for size in self._purchasing.sizes if size.collets}

    @cached_property
    def _loans(self) -> dict[int, int]:
        """How often each size was issued lately, by its key."""
        used = Loan.objects.filter(issued_at__gte=self._since, tool__kind=Kind.COLLET).order_by()
        return dict(used.values_list("tool__size").annotate(Count("pk")))

    def _much_used(self) -> list[OfSize]:
        """The collets that are the only ones of a much used size."""
        often = [
            size for size, times in self._loans.items() if times >= shortfalls.MUCH_USED and self._count.get(size) == 1
        ]
        rows = Tool.objects.in_service().filter(kind=Kind.COLLET, size__in=often).select_related("size__series")
        rows = rows.only("tag", *_SIZE)
        return [self._of_size(row.tag, row.size) for row in rows if row.size is not None]

    def _of_size(self, tag: str, size: Size) -> OfSize:
        return OfSize(
            tag=tag,
            series=size.series.code,
            shape=size.shape,
            size=size.nominal,
            name=str(size),
            loans=self._loans.get(size.pk, 0),
            others=self._count.get(size.pk, 1) - 1,
        )

    def _wearing(self) -> list[Wearing]:
        collets = Tool.objects.in_service().filter(kind=Kind.COLLET).select_related("size__series")
        return [
            Wearing(piece=self._of_size(row.tag, row.size), forecast=None if trend.is_over else trend.forecast)
            for row, trend in trends(collets.only("tag", "kind", "tir", *_SIZE))
            if row.size is not None and (trend.is_over or trend.forecast is not None)
        ]

    def _blanks(self) -> list[BlanksOf]:
        """The series of which a blank is or was in the book."""
        of_series: dict[str, list[Tool]] = defaultdict(list)
        rows = Tool.objects.filter(kind=Kind.MACHINABLE_COLLET).select_related("size").order_by("tag")
        rows = rows.only("tag", "kind", "mounts_in", "size__nominal", *WHY_NOT)
        series = series_by_seat() if rows else {}
        for row in rows:
            if row.mounts_in_id in series:
                of_series[series[row.mounts_in_id]].append(row)
        return [
            BlanksOf(
                series=code,
                left=sum(1 for row in tools if row.is_in_service and row.bored_to is None),
                became=_became(tools),
            )
            for code, tools in of_series.items()
        ]

    def _could_be_bored(self) -> dict[str, int]:
        """By series the weight of the open demand that a blank of it could be bored to."""
        by_size, weights = DemandBySize(self.waiting), {}
        for entry in self._purchasing.series:
            if entry.figures.shape == "round" and entry.is_taken:
                reaches = [entry.figures.reach_of(bore) for bore in bores(entry, None, self.waiting)]
                places = {place for reach in reaches for place in by_size.held_by(reach, entry)}
                weights[entry.figures.code] = sum(self.waiting[place].weight for place in places)
        return weights

    def _low(self) -> list[LowItem]:
        taken = CountedMovement.objects.filter(what=CountedMovement.What.TAKEN, at__gte=self._since).order_by()
        times = dict(taken.values_list("stock__item").annotate(Count("pk")))
        return [
            LowItem(
                id=row.pk, name=row.name, left=row.total, unit=row.unit, mark=row.low_mark, taken=times.get(row.pk, 0)
            )
            for row in self.low
            if row.low_mark is not None
        ]


def minutes_to_bore() -> tuple[Fraction, str]:
    """Minutes to bore a blank in place, and whose figure that is."""
    own = WorkingMinutes.objects.filter(step=BORED).first()
    if own is not None:
        return Fraction(own.hundredths, 100), "the shop's own figure"
    return practice.minutes(BORED).most, "common practice, no source"


def _became(tools: list[Tool]) -> str:
    """What happened to the last few: bored, damaged, retired."""
    became = []
    for tool in tools[-3:]:
        if tool.retired_at is not None:
            became.append(f"{tool.tag} is retired")
        elif tool.bored_to is not None:
            became.append(f"{tool.tag} is bored to {measured(tool.bored_to)}")
        else:
            became.append(f"{tool.tag} is {tool.why_not}")
    return ", ".join(became)


def _key(want: Want) -> RemedyKey:
    """As the key of a remedy that this want is."""
    if want.size is not None:
        return Remedy(series=want.size.series.code, shape=want.size.shape, size=want.size.nominal).key
    return Remedy(item=want.item_id).key if want.item_id else Remedy(what=want.what).key
