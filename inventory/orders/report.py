"""What a period cost and brought: the figures that purchasing takes into its meeting."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable
from datetime import date, timedelta

from django.db.models import Exists, OuterRef, Q, Sum
from django.utils import timezone
from msgspec import Struct

from inventory.inspections import wear
from inventory.inspections.readings import trends
from inventory.measures.day_words import shown as day_shown
from inventory.models import Ask, Condition, Kind, Loan, Tool, Want
from inventory.models.kinds import GROUPS
from inventory.models.prices import PriceBook
from inventory.orders.report_picture import Amount, AmountBars, bars_of
from inventory.web.filters import money

A_YEAR = timedelta(days=365)
A_QUARTER = timedelta(days=91)
MOST_BARS = 6
LISTED = 5
_GROUP_OF = {kind: words for words, kinds in GROUPS.items() for kind in kinds}


class ReportFigure(Struct, frozen=True):
    """One figure of the meeting: its headline, its picture (None where there is nothing to show), and a few lines.

    `otherwise` says what would have to be so that there is something to show.
    """

    title: str
    headline: str
    bars: AmountBars | None
    otherwise: str
    lines: tuple[str, ...] = ()


def figures(*, first: date, last: date) -> list[ReportFigure]:
    """The five figures for the days from `first` to `last`, both within it."""
    bought = _wants_received(first, last)
    return [
        _spent_and_scrapped(bought, _tools_scrapped(first, last)),
        _by_series(bought),
        _not_issued(last),
        _asks(first, last),
        _replacements(last),
    ]


def _wants_received(first: date, last: date) -> list[Want]:
    """What was received in these days; a piece that was entered otherwise has no day on which it was paid."""
    received = Want.objects.filter(state=Want.State.RECEIVED, received_at__date__range=(first, last))
    return list(received.with_names().order_by("received_at", "pk"))


def _tools_scrapped(first: date, last: date) -> list[Tool]:
    """The pieces that became scrapped in these days and still were at their end; not those entered as scrapped."""
    history = Tool.history.filter(history_date__date__range=(first, last), condition=Condition.SCRAPPED)
    keys = set(history.values_list("id", flat=True))
    was: dict[int, str] = {}
    became: set[int] = set()
    entries = Tool.history.filter(id__in=keys, history_date__date__lte=last).order_by("history_date", "history_id")
    for key, at, condition in entries.values_list("id", "history_date", "condition"):
        if condition != Condition.SCRAPPED:
            became.discard(key)
        elif was.get(key, Condition.SCRAPPED) != Condition.SCRAPPED and timezone.localdate(at) >= first:
            became.add(key)
        was[key] = condition
    return list(Tool.objects.filter(pk__in=became).select_related("size__series").order_by("tag"))


def _spent_and_scrapped(bought: list[Want], scrapped: list[Tool]) -> ReportFigure:
    spent = sum(want.cents or 0 for want in bought)
    lost = sum(tool.cost_cents or 0 for tool in scrapped)
    unpriced = sum(1 for want in bought if want.cents is None)
    unknown = sum(1 for tool in scrapped if tool.cost_cents is None)
    lines = [f"{tool.tag}, {tool.what}: {money(tool.cost_cents) or 'price not known'}" for tool in scrapped[:LISTED]]
    if len(scrapped) > LISTED:
        lines.append(f"and {len(scrapped) - LISTED} more scrapped")
    if unpriced:
        lines.append(f"{unpriced} received without a price")
    bars = [
        Amount(label="Spent", amount=spent, words=money(spent)),
        Amount(
            label="Scrapped",
            amount=lost,
            words=f"{money(lost)}{f', {unknown} not priced' if unknown else ''}",
            is_second=True,
        ),
    ]
    return ReportFigure(
        "Spent and scrapped",
        f"{money(spent)} spent, {_pieces(len(scrapped))} scrapped that had cost {money(lost)}.",
        bars_of(bars),
        "Nothing with a price was received or scrapped in these days. What comes in from the order list, and what is "
        "called scrapped at an inspection, would show here with what it cost.",
        tuple(lines),
    )


def _by_series(bought: list[Want]) -> ReportFigure:
    cents: Counter[str] = Counter()
    for want in bought:
        cents[_series_of(want)] += want.cents or 0
    pieces: Counter[str] = Counter()
    for want in bought:
        pieces[_series_of(want)] += want.quantity
    rows = [(name, amount, f"{money(amount)}, {_pieces(pieces[name])}") for name, amount in cents.most_common()]
    bars = _largest(rows, in_words=money)
    dearest = next(iter(cents.most_common(1)), ("", 0))
    return ReportFigure(
        "Cost per series",
        f"Most went into {dearest[0]}: {money(dearest[1])}." if dearest[1] else "Nothing was spent.",
        bars_of(bars),
        "Nothing with a price was received in these days. Each series that something was bought for would have a bar.",
    )


def _series_of(want: Want) -> str:
    if want.size is not None:
        return want.size.series.code
    return "counted stock" if want.item_id else "holders and the rest"


def _largest(rows: list[tuple[str, int, str]], *, in_words: Callable[[int], str]) -> list[Amount]:
    """The largest few; what the others come to together is the last bar, `in_words` in the same unit."""
    bars = [Amount(label=label, amount=amount, words=words) for label, amount, words in rows[:MOST_BARS]]
    rest = rows[MOST_BARS:]
    if rest:
        amount = sum(amount for _, amount, _ in rest)
        label = f"{len(rest)} other{'' if len(rest) == 1 else 's'}"
        bars.append(Amount(label=label, amount=amount, words=in_words(amount)))
    return bars


def _not_issued(last: date) -> ReportFigure:
    """In service, in the book for a year, on no lathe, and neither out nor issued in the year up to `last`."""
    since = last - A_YEAR
    entered = Tool.history.filter(id=OuterRef("pk"), history_date__date__lte=since)
    loans = Loan.objects.filter(tool=OuterRef("pk")).filter(Q(issued_at__date__gt=since) | Q(returned_at=None))
    rows = Tool.objects.in_service().filter(Exists(entered), ~Exists(loans), mounted_on=None)
    old = Tool.objects.in_service().filter(Exists(entered)).count()
    by_name: Counter[str] = Counter(
        code or _GROUP_OF[Kind(kind)] for kind, code in rows.values_list("kind", "size__series__code")
    )
    count = sum(by_name.values())
    return ReportFigure(
        "Not issued in a year",
        f"{count} of {_pieces(old)} that have been here for a year.",
        bars_of(_largest([(name, times, _pieces(times)) for name, times in by_name.most_common()], in_words=_pieces)),
        "No piece has lain unused for a year. What is in service, was entered over a year ago, is on no lathe and was "
        "not issued since would be counted here.",
    )


def _asks(first: date, last: date) -> ReportFigure:
    days = (last - first).days + 1
    before_first, before_last = first - timedelta(days=days), first - timedelta(days=1)
    before, now = _times_asked(before_first, before_last), _times_asked(first, last)
    rows = Ask.objects.filter(asked_on__range=(first, last)).values("read_as").annotate(all_times=Sum("times"))
    lines = [f"{row['read_as']}: {_times(row['all_times'])}" for row in rows.order_by("-all_times", "read_as")[:LISTED]]
    bars = [
        Amount(
            label=f"{day_shown(before_first)} to {day_shown(before_last)}",
            amount=before,
            words=_times(before),
            is_second=True,
        ),
        Amount(label=f"{day_shown(first)} to {day_shown(last)}", amount=now, words=_times(now)),
    ]
    change = "as often as" if now == before else "more often than" if now > before else "less often than"
    return ReportFigure(
        "Asked for, not held",
        f"{_times(now)}, {change} in the {days} days before ({before}).",
        bars_of(bars),
        "Every question had a good answer, in these days and in as many before. Those without are counted here.",
        tuple(lines),
    )


def _times_asked(first: date, last: date) -> int:
    return Ask.objects.filter(asked_on__range=(first, last)).aggregate(all=Sum("times"))["all"] or 0


def _replacements(last: date) -> ReportFigure:
    until = last + A_QUARTER
    prices = PriceBook()
    by_month: dict[str, list[int | None]] = defaultdict(list)
    lines = []
    for tool, trend in trends(Tool.objects.in_service().for_line("tir", "cost_cents")):
        if trend.is_over:
            day, when = last, "over its limit now"
        elif trend.forecast is not None and trend.forecast.likely <= until:
            day, when = trend.forecast.likely, f"its limit {trend.forecast.words}"
        else:
            continue
        price = _price(tool, prices)
        by_month[max(day, last).strftime("%Y-%m")].append(price)
        lines.append(f"{tool.tag}, {tool.what}: {when}")
    prices_to_pay = [price for month in by_month.values() for price in month]
    known = [price for price in prices_to_pay if price is not None]
    bars = [Amount(label=month, amount=len(costs), words=_month(costs)) for month, costs in sorted(by_month.items())]
    more = [f"and {len(lines) - LISTED} more"] if len(lines) > LISTED else []
    cost = f", about {money(sum(known))}" if known else ""
    return ReportFigure(
        f"To replace until {day_shown(until)}",
        f"{_pieces(len(prices_to_pay))} by the forecast of wear{cost}.",
        bars_of(bars),
        "No piece is forecast to reach its limit in the quarter ahead. It takes "
        f"{wear.FEWEST_READINGS} readings taken alike before a piece has a forecast and can show here.",
        (*lines[:LISTED], *more),
    )


def _month(prices: list[int | None]) -> str:
    known = [price for price in prices if price is not None]
    return _pieces(len(prices)) + (f", about {money(sum(known))}" if known else "")


def _price(tool: Tool, prices: PriceBook) -> int | None:
    """What a new one of it costs, else what it cost itself."""
    known = prices.of(tool.size) if tool.size is not None else None
    return tool.cost_cents if known is None else known


def _pieces(count: int) -> str:
    return f"{count} piece{'' if count == 1 else 's'}"


def _times(count: int) -> str:
    return f"{count} time{'' if count == 1 else 's'}"
