"""Which pieces are due for a look, told cheaply: sets of keys first, and pieces in full only where they are shown.

The database sorts out by the narrowest figures of a kind, and what is left is judged by the figures that hold for each
piece. Only pieces with enough readings are forecast; what that gave is remembered for as long as no look is added.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from functools import cached_property, reduce
from operator import or_

from django.db.models import Count, DateField, Max, OuterRef, Q, Subquery, Value
from django.db.models.functions import Coalesce
from msgspec import Struct

from inventory.inspections import wear
from inventory.inspections.limits import LimitBook, Limits, over_limit
from inventory.inspections.readings import readings_by_tool
from inventory.measures.lengths import Length, shown
from inventory.models import Condition, Inspection, Kind, Loan, SeriesShape, Tool
from inventory.models.kinds import COLLETS

BEFORE_THE_LIMIT = timedelta(days=14)
"""So long before the earliest day of a forecast a piece is due, but not again within as long after a look."""
OVER, FORECAST, USES, BY_DATE, NEVER = range(5)
"""Why a piece is due, the most urgent first."""
_MOST_REMEMBERED = 100_000
_remembered: dict[int, tuple[tuple, wear.Forecast | None]] = {}
"""The forecast of a piece, with what it was worked out from. A look is never changed, only followed by
another: as many looks, of which the newest was kept at the same microsecond, and the same limit, give the same."""


class Row(Struct, frozen=True):
    """One piece that waits; `since` is the day from which it does, None where that is not known."""

    tool: Tool
    why: str
    since: date | None = None
    urgency: int = 0

    def as_json(self) -> dict:
        since = self.since.isoformat() if self.since else None
        return {"tag": self.tool.tag, "what": self.tool.what, "why": self.why, "since": since}


class _Seen(Struct, frozen=True):
    """What decides over one piece."""

    pk: int
    tag: str
    tir: Length | None
    condition: str
    inspected_on: date | None
    limits: Limits


class LooksDue:
    """All that is due on one day. `count` and `first` cost no more than what they tell."""

    def __init__(self, *, today: date) -> None:
        self.today = today
        self._book = LimitBook()
        self._limits: dict[tuple, Limits] = {}
        self._forecasts: dict[int, wear.Forecast] = {}

    @cached_property
    def count(self) -> int:
        also_by_date = sum(self._is_by_date(seen) for _, seen in self._urgent.values())
        return len(self._urgent) + self._by_date().count() - also_by_date

    def first(self, most: int | None = None) -> list[Row]:
        """So many rows, the most urgent first; all of them without a number."""
        order = sorted(self._urgent.values(), key=lambda pair: (pair[0], self._since(*pair), pair[1].tag))
        keys = [seen.pk for _, seen in order][:most]
        if most is None or len(keys) < most:
            keys += self._keys_by_date(None if most is None else most - len(keys))
        tools = Tool.objects.filter(pk__in=keys[:_MOST_KEYS]) if len(keys) <= _MOST_KEYS else Tool.objects.in_service()
        found = {tool.pk: tool for tool in tools.select_related("size__series", "location").annotate(uses=_uses())}
        return [row for key in keys if key in found and (row := self._row(found[key]))]

    # The urgent ones: over the limit, forecast, used often ---------------------------------------------------------

    @cached_property
    def _urgent(self) -> dict[int, tuple[int, _Seen]]:
        """The most urgent reason of each piece that is due for more than its interval, by its key."""
        found: dict[int, tuple[int, _Seen]] = {}
        for urgency, pieces in ((OVER, self._over()), (FORECAST, self._forecast()), (USES, self._used_often())):
            for seen in pieces:
                found.setdefault(seen.pk, (urgency, seen))
        return found

    def _over(self) -> Iterator[_Seen]:
        narrowest = {kind: limit for kind in Kind if (limit := self._book.narrowest(kind).limit) is not None}
        beyond = reduce(or_, (Q(kind=kind, tir__gt=limit) for kind, limit in narrowest.items()), Q(pk=None))
        pieces = self._seen(Tool.objects.in_service().filter(beyond, condition=Condition.GOOD))
        return (seen for seen in pieces if seen.limits.limit is not None and seen.tir > seen.limits.limit)

    def _forecast(self) -> Iterator[_Seen]:
        """Those whose limit may be reached soon, by readings that are worth a forecast."""
        looks = (
            Inspection.objects.readings()
            .filter(Q(tool__inspected_on=None) | Q(tool__inspected_on__lte=self.today - BEFORE_THE_LIMIT))
            .order_by()
            .values("tool")
            .annotate(looks=Count("pk"), newest=Max("pk"), at=Max("recorded_at"))
            .filter(looks__gte=wear.FEWEST_READINGS)
        )
        states = {row["tool"]: (row["looks"], row["newest"], row["at"]) for row in looks}
        pieces = [
            seen
            for keys in _parts(states)
            for seen in self._seen(Tool.objects.in_service().filter(pk__in=keys))
            if seen.limits.limit is not None
        ]
        found = _forecasts({seen.pk: ((*states[seen.pk], seen.limits.limit.nm), seen.limits) for seen in pieces})
        until = self.today + BEFORE_THE_LIMIT
        self._forecasts = {pk: forecast for pk, forecast in found.items() if forecast and forecast.earliest <= until}
        return (seen for seen in pieces if seen.pk in self._forecasts)

    def _used_often(self) -> Iterator[_Seen]:
        fewest = min((uses for kind in Kind if (uses := self._book.narrowest(kind).every_uses)), default=None)
        if fewest is None:
            return
        often = Loan.objects.order_by().values("tool").annotate(times=Count("pk")).filter(times__gte=fewest)
        pieces = Tool.objects.in_service().filter(pk__in=often.values("tool"))
        uses = dict(pieces.annotate(uses=_uses()).values_list("pk", "uses"))
        for seen in self._seen(pieces):
            if seen.limits.every_uses is not None and uses.get(seen.pk, 0) >= seen.limits.every_uses:
                yield seen

    def _seen(self, tools) -> Iterator[_Seen]:
        columns = ("size__series", "size__series__code", "size__shape", "size__nominal")
        rows = tools.order_by().values_list("pk", "tag", "tir", "condition", "inspected_on", "kind", *columns)
        for pk, tag, tir, condition, inspected_on, *of_what in rows.iterator(chunk_size=5_000):
            yield _Seen(pk, tag, tir, condition, inspected_on, self._limits_of(*of_what))

    def _limits_of(self, *of_what) -> Limits:
        if of_what not in self._limits:
            self._limits[of_what] = self._book.figures(*of_what)
        return self._limits[of_what]

    def _since(self, urgency: int, seen: _Seen) -> date:
        return date.max if urgency == USES or seen.inspected_on is None else seen.inspected_on

    # Those whose interval is over ----------------------------------------------------------------------------------

    @cached_property
    def _by_interval(self) -> dict[int, Q]:
        """Interval in days -> the pieces that have it."""
        shapes = list(SeriesShape.objects.values_list("series", "series__code", "shape"))
        found: dict[int, Q] = {}
        for kind in Kind:
            of_kind = {None: self._limits_of(kind, None, None, None, None).every_days}
            if kind in COLLETS:
                of_kind |= {
                    (series, shape): self._limits_of(kind, series, code, shape, None).every_days
                    for series, code, shape in shapes
                }
            alike = len(set(of_kind.values())) == 1
            for subject, days in of_kind.items():
                if days is not None and (subject is None or not alike):
                    found[days] = found.get(days, Q(pk=None)) | _of(kind, subject, alike)
        return found

    def _by_date(self):
        over = (pieces & self._is_over(days) for days, pieces in self._by_interval.items())
        return Tool.objects.in_service().filter(reduce(or_, over, Q(pk=None)))

    def _is_over(self, days: int) -> Q:
        return Q(inspected_on=None) | Q(inspected_on__lte=self.today - timedelta(days=days))

    def _is_by_date(self, seen: _Seen) -> bool:
        days = seen.limits.every_days
        return days is not None and (
            seen.inspected_on is None or seen.inspected_on + timedelta(days=days) <= self.today
        )

    def _keys_by_date(self, most: int | None) -> list[int]:
        """Of those that are due by date alone: the longest overdue first, then those that nobody looked at."""
        enough = None if most is None else most + len(self._urgent)
        dated = []
        for days, pieces in self._by_interval.items():
            late = Tool.objects.in_service().filter(pieces, inspected_on__lte=self.today - timedelta(days=days))
            rows = late.order_by("inspected_on", "tag").values_list("inspected_on", "tag", "pk")[:enough]
            dated += [(day + timedelta(days=days), tag, pk) for day, tag, pk in rows]
        keys = [pk for _, _, pk in sorted(dated)]
        if enough is None or len(keys) < enough:
            pieces = reduce(or_, self._by_interval.values(), Q(pk=None))
            never = Tool.objects.in_service().filter(pieces, inspected_on=None).order_by("tag")
            keys += never.values_list("pk", flat=True)[:enough]
        return [key for key in keys if key not in self._urgent][:most]

    # One piece in words --------------------------------------------------------------------------------------------

    def _row(self, tool: Tool) -> Row | None:
        limits = self._book.of(tool)
        reasons = [
            reason
            for reason in (
                _over_the_limit(tool, limits),
                self._by_forecast(tool),
                _by_uses(tool, limits),
                _by_interval(tool, limits, self.today),
            )
            if reason
        ]
        if not reasons:
            return None
        urgency, _, since = reasons[0]
        return Row(tool, "; ".join(why for _, why, _ in reasons), since, urgency)

    def _by_forecast(self, tool: Tool):
        forecast = self._forecasts.get(tool.pk)
        return forecast and (FORECAST, f"its limit is forecast for {forecast.words}", tool.inspected_on)


_MOST_KEYS = 5_000
"""In one statement."""


def _parts(keys: Iterable[int]) -> Iterator[list[int]]:
    keys = list(keys)
    return (keys[start : start + _MOST_KEYS] for start in range(0, len(keys), _MOST_KEYS))


def _of(kind: Kind, subject: tuple | None, alike: bool) -> Q:
    """The pieces of this kind: all of them, those of one series and shape, or those without a size."""
    if subject is None:
        return Q(kind=kind) if alike else Q(kind=kind, size=None)
    return Q(kind=kind, size__series=subject[0], size__shape=subject[1])


def _forecasts(asked: dict[int, tuple[tuple, Limits]]) -> dict[int, wear.Forecast | None]:
    """Each piece's forecast, None where there is none; `asked` has its state and its limits."""
    if len(_remembered) + len(asked) > _MOST_REMEMBERED:
        _remembered.clear()
    new = [pk for pk, (state, _) in asked.items() if _remembered.get(pk, (None,))[0] != state]
    for keys in _parts(new):
        for pk, readings in readings_by_tool(Inspection.objects.readings().filter(tool__in=keys)).items():
            state, limits = asked[pk]
            _remembered[pk] = (state, wear.trend(readings, limit=limits.limit).forecast)
    return {pk: _remembered[pk][1] for pk in asked}


def _uses():
    """Issues on later days than the last dated look; all where there was none."""
    day = Coalesce(OuterRef("inspected_on"), Value(date(1, 1, 2)), output_field=DateField())
    issued = Loan.objects.filter(tool=OuterRef("pk"), issued_at__date__gt=day)
    counted = issued.order_by().values("tool").annotate(times=Count("pk")).values("times")
    return Coalesce(Subquery(counted), 0)


def _over_the_limit(tool: Tool, limits: Limits):
    limit = over_limit(tool, limits)
    if limit is None:
        return None
    words = f"called good, but reads {shown(tool.tir)}, over its limit of {shown(limit)}"
    return OVER, words, tool.inspected_on


def _by_uses(tool: Tool, limits: Limits):
    if limits.every_uses is None or tool.uses < limits.every_uses:
        return None
    return USES, f"issued {tool.uses} times since it was last inspected; inspected after {limits.every_uses}", None


def _by_interval(tool: Tool, limits: Limits, today: date):
    if limits.every_days is None:
        return None
    if tool.inspected_on is None:
        return NEVER, "no dated inspection yet", None
    due_on = tool.inspected_on + timedelta(days=limits.every_days)
    if due_on > today:
        return None
    return BY_DATE, f"last inspected {tool.inspected_on.isoformat()}; inspected every {limits.every_days} days", due_on
