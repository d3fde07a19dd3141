"""What waits for somebody: pieces to look at and why, loans that are late, what is missing or not filled in."""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import reduce
from operator import or_

from django.db.models import Count, DateField, OuterRef, Q, Subquery, Value
from django.db.models.functions import Coalesce

from inventory import wear
from inventory.lengths import shown
from inventory.limits import LimitBook, Limits
from inventory.looks import readings_by_tool
from inventory.models import Condition, Inspection, Kind, Loan, Tool

BEFORE_THE_LIMIT = timedelta(days=14)
"""So long before the earliest day of a forecast a piece is due, but not again within as long after a look."""


@dataclass(frozen=True)
class Row:
    """One piece that waits; `since` is the day from which it does, None where that is not known."""

    tool: Tool
    why: str
    since: date | None = None
    urgency: int = 0

    def as_json(self) -> dict:
        since = self.since.isoformat() if self.since else None
        return {"tag": self.tool.tag, "what": self.tool.what, "why": self.why, "since": since}


def everything(*, today: date) -> dict[str, list[Row]]:
    """All lists, by the names under which other programs know them."""
    return {
        "inspections": inspections(today=today),
        "out": [_out(loan) for loan in loans().open()],
        "overdue": [_overdue(loan) for loan in overdue(today=today)],
        "missing": [_missing(tool) for tool in missing()],
        "details_missing": [
            Row(tool, f"details missing: {', '.join(tool.missing_details)}")
            for tool in Tool.objects.details_missing().for_list()
        ],
    }


def loans():
    return Loan.objects.select_related("borrower", "tool__size__series", "tool__location")


def overdue(*, today: date):
    return loans().overdue(on=today).order_by("due_on", "tool__tag")


def missing():
    return Tool.objects.in_book().exclude(missing_since=None).for_list().order_by("missing_since", "tag")


def _out(loan: Loan) -> Row:
    back = f", expected back {loan.due_on.isoformat()}" if loan.due_on else ""
    return Row(loan.tool, f"out to {loan.borrower}{back}", loan.issued_at.date())


def _overdue(loan: Loan) -> Row:
    return Row(loan.tool, f"out to {loan.borrower}, was expected back {loan.due_on.isoformat()}", loan.due_on)


def _missing(tool: Tool) -> Row:
    place = f"; its place is {tool.location}" if tool.location else ""
    return Row(tool, f"not in its drawer{place}", tool.missing_since)


def inspections(*, today: date) -> list[Row]:
    """The pieces in service that are due for a look, the most urgent first."""
    book = LimitBook()
    readings = readings_by_tool(Inspection.objects.readings().filter(tool__in=with_enough_readings()))
    tools = (
        Tool.objects.in_service().select_related("size__series", "location").annotate(uses=_uses_since_the_last_look())
    )
    tools = tools.filter(_may_be_due(book, today) | Q(pk__in=with_enough_readings()))
    rows = (_due(tool, book.of(tool), readings.get(tool.pk), today) for tool in tools)
    return sorted((row for row in rows if row), key=lambda row: (row.urgency, row.since or date.max, row.tool.tag))


def _uses_since_the_last_look():
    """Issues on later days than the last dated look; all where there was none."""
    day = Coalesce(OuterRef("inspected_on"), Value(date(1, 1, 2)), output_field=DateField())
    issued = Loan.objects.filter(tool=OuterRef("pk"), issued_at__date__gt=day)
    counted = issued.order_by().values("tool").annotate(times=Count("pk")).values("times")
    return Coalesce(Subquery(counted), 0)


def _may_be_due(book: LimitBook, today: date) -> Q:
    """By the narrowest figures of each kind, so that a large crib is sorted out by the database."""
    return reduce(or_, (Q(kind=kind) & _beyond(book.narrowest(kind), today) for kind in Kind))


def _beyond(limits: Limits, today: date) -> Q:
    beyond = Q(pk=None)
    if limits.limit is not None:
        beyond |= Q(tir__gt=limits.limit)
    if limits.every_days is not None:
        beyond |= Q(inspected_on=None) | Q(inspected_on__lte=today - timedelta(days=limits.every_days))
    if limits.every_uses is not None:
        beyond |= Q(uses__gte=limits.every_uses)
    return beyond


def with_enough_readings():
    """The keys of the pieces that have as many readings as a forecast takes."""
    counted = Inspection.objects.readings().order_by().values("tool").annotate(looks=Count("pk"))
    return counted.filter(looks__gte=wear.FEWEST_READINGS).values("tool")


def _due(tool: Tool, limits: Limits, readings: list[wear.Reading] | None, today: date) -> Row | None:
    """The row with all reasons, or None where the piece is not due."""
    reasons = [
        reason
        for reason in (
            _over_the_limit(tool, limits),
            _by_forecast(tool, limits, readings, today),
            _by_uses(tool, limits),
            _by_date(tool, limits, today),
        )
        if reason
    ]
    if not reasons:
        return None
    urgency, _, since = reasons[0]
    return Row(tool, "; ".join(why for _, why, _ in reasons), since, urgency)


def _over_the_limit(tool: Tool, limits: Limits):
    if tool.condition != Condition.GOOD or tool.tir is None or limits.limit is None or tool.tir <= limits.limit:
        return None
    return 0, f"called good, but reads {shown(tool.tir)}, over its limit of {shown(limits.limit)}", tool.inspected_on


def _by_forecast(tool: Tool, limits: Limits, readings: list[wear.Reading] | None, today: date):
    if not readings or limits.limit is None or (tool.inspected_on and tool.inspected_on + BEFORE_THE_LIMIT > today):
        return None
    forecast = wear.trend(readings, limit=limits.limit).forecast
    if forecast is None or forecast.earliest - BEFORE_THE_LIMIT > today:
        return None
    return 1, f"its limit is forecast for {forecast.words}", tool.inspected_on


def _by_uses(tool: Tool, limits: Limits):
    if limits.every_uses is None or tool.uses < limits.every_uses:
        return None
    return 2, f"issued {tool.uses} times since it was last inspected; inspected after {limits.every_uses}", None


def _by_date(tool: Tool, limits: Limits, today: date):
    if limits.every_days is None:
        return None
    if tool.inspected_on is None:
        return 4, "no dated inspection yet", None
    due_on = tool.inspected_on + timedelta(days=limits.every_days)
    if due_on > today:
        return None
    return 3, f"last inspected {tool.inspected_on.isoformat()}; inspected every {limits.every_days} days", due_on
