"""Which pieces are due for an inspection, and why: the rules, and the reading of the whole crib that they judge."""

from __future__ import annotations

from datetime import date, timedelta
from enum import IntEnum

from django.db.models import Count, F, Q
from msgspec import Struct

from inventory.inspections.limits import LimitBook, Limits
from inventory.inspections.readings import readings_to_forecast
from inventory.inspections.wear import DatedReading, trend
from inventory.measures.day_words import shown as day_shown
from inventory.measures.length_words import shown
from inventory.measures.lengths import Length
from inventory.models import Loan, Tool

BEFORE_THE_LIMIT = timedelta(days=14)
"""So long before the earliest day of a forecast a piece is due, but not again within as long after an inspection."""


class Urgency(IntEnum):
    """Why a piece is due, the most urgent first."""

    OVER_LIMIT = 0
    FORECAST = 1
    USED_OFTEN = 2
    LONG_AGO = 3
    NEVER = 4


class DueReason(Struct, frozen=True):
    """One reason why a piece is due; `since` is the day from which it is, None where that is not known."""

    urgency: Urgency
    words: str
    since: date | None = None


class InspectionDue(Struct, frozen=True):
    """A piece that is due, by its key and tag, and why, the most urgent reason first."""

    pk: int
    tag: str
    reasons: tuple[DueReason, ...]

    @property
    def order(self) -> tuple[Urgency, date, str]:
        """The most urgent first, then what waits longest."""
        first = self.reasons[0]
        return first.urgency, first.since or date.max, self.tag

    @property
    def why(self) -> str:
        return "; ".join(reason.words for reason in self.reasons)


class _JudgedPiece(Struct, frozen=True):
    """What decides over one piece: a crib of thousands is read by these columns, and in full only where it is shown."""

    pk: int
    tag: str
    kind: str
    condition: str
    tir: Length | None
    inspected_on: date | None
    series: int | None
    series_code: str | None
    shape: str | None
    nominal: Length | None


_COLUMNS = (
    "pk", "tag", "kind", "condition", "tir", "inspected_on",
    "size__series", "size__series__code", "size__shape", "size__nominal",
)  # fmt: skip


def inspections_due(*, today: date) -> list[InspectionDue]:
    """The pieces in service that are due, the most urgent first."""
    book, readings, uses = LimitBook(), readings_to_forecast(), _uses()
    due = []
    for row in Tool.objects.in_service().order_by().values_list(*_COLUMNS):
        piece = _JudgedPiece(*row)
        limits = book.figures(piece.kind, piece.series, piece.series_code, piece.shape, piece.nominal)
        reasons = (
            _over_limit(piece, limits),
            _forecast(piece, readings.get(piece.pk, []), limits, today),
            _used_often(uses.get(piece.pk, 0), limits),
            _by_date(piece.inspected_on, limits, today),
        )
        if any(reasons):
            due.append(InspectionDue(piece.pk, piece.tag, tuple(reason for reason in reasons if reason)))
    return sorted(due, key=lambda one: one.order)


def _uses() -> dict[int, int]:
    """How often each piece was issued on later days than its last dated inspection; all times where it has none."""
    later = Q(tool__inspected_on=None) | Q(issued_at__date__gt=F("tool__inspected_on"))
    return dict(Loan.objects.filter(later).order_by().values_list("tool").annotate(Count("pk")))


def _over_limit(piece: _JudgedPiece, limits: Limits) -> DueReason | None:
    limit = limits.exceeded_by(piece.tir, piece.condition)
    if limit is None or piece.tir is None:
        return None
    words = f"called good, but reads {shown(piece.tir)}, over its limit of {shown(limit)}"
    return DueReason(Urgency.OVER_LIMIT, words, piece.inspected_on)


def _forecast(piece: _JudgedPiece, readings: list[DatedReading], limits: Limits, today: date) -> DueReason | None:
    if piece.inspected_on is not None and piece.inspected_on > today - BEFORE_THE_LIMIT:
        return None
    forecast = trend(readings, limit=limits.limit, reads=piece.tir).forecast if readings else None
    if forecast is None or forecast.earliest > today + BEFORE_THE_LIMIT:
        return None
    return DueReason(Urgency.FORECAST, f"its limit is forecast for {forecast.words}", piece.inspected_on)


def _used_often(uses: int, limits: Limits) -> DueReason | None:
    if limits.every_uses is None or uses < limits.every_uses:
        return None
    words = f"issued {uses} times since it was last inspected; inspected after {limits.every_uses}"
    return DueReason(Urgency.USED_OFTEN, words)


def _by_date(inspected_on: date | None, limits: Limits, today: date) -> DueReason | None:
    if limits.every_days is None:
        return None
    if inspected_on is None:
        return DueReason(Urgency.NEVER, "no dated inspection yet")
    due_on = inspected_on + timedelta(days=limits.every_days)
    if due_on > today:
        return None
    words = f"last inspected {day_shown(inspected_on)}; inspected every {limits.every_days} days"
    return DueReason(Urgency.LONG_AGO, words, due_on)
