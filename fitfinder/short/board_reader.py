"""Reads the book for the board of one series and shape: what of each size is here, asked for, and what is gripped."""

from __future__ import annotations

from collections import defaultdict

from django.db.models import Count, Exists, Min, OuterRef, Q, QuerySet

from fitfinder import crib
from fitfinder.buying.reader import asked_for, reach_of_size
from fitfinder.holding.verdicts import Reach
from fitfinder.short.board import BoardCell, CountedSize, asked_sizes, board
from inventory.measures.lengths import Length
from inventory.models import Loan, SeriesShape, Size, Tool, Want
from inventory.models.wear import USABLE_CONDITIONS


def cells_of(row: SeriesShape) -> list[BoardCell]:
    figures = crib.series_of(row)
    wants = Want.objects.open().filter(size__series=row.series_id, size__shape=row.shape)
    asks = [(stock, ask.times) for ask, stock in asked_for() if stock is not None]
    return board(
        figures,
        counted=_counted(row),
        asked=asked_sizes(figures, asks),
        wants={size: str(Want.State(state).label) for size, state in wants.values_list("size__nominal", "state")},
    )


def reaches_in_service(row: SeriesShape) -> list[Reach]:
    in_service = Tool.objects.in_service()
    return [reach_of_size(size) for size in _sizes(row).filter(tools__in=in_service).distinct()]


def want_of(row: SeriesShape, nominal: Length) -> Want | None:
    """The want that stands for this size."""
    same = {"size__series": row.series_id, "size__shape": row.shape, "size__nominal": nominal}
    return Want.objects.open().filter(**same).first()


def _counted(row: SeriesShape) -> dict[Length, CountedSize]:
    is_out = Exists(Loan.objects.open().filter(tool=OuterRef("pk")))
    pieces = Tool.objects.in_book().filter(size__series=row.series_id, size__shape=row.shape).order_by()
    alike = pieces.annotate(is_out=is_out, is_missing=Q(missing_since__isnull=False))
    groups = alike.values_list("size__nominal", "condition", "is_missing", "is_out")
    counts: dict[Length, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    truest: dict[Length, Length] = {}
    for nominal, condition, is_missing, is_out_now, count, tir in groups.annotate(Count("pk"), Min("tir")):
        if is_missing or condition not in USABLE_CONDITIONS:
            counts[nominal]["unfit"] += count
            continue
        counts[nominal]["out" if is_out_now else condition] += count
        if tir is not None:
            truest[nominal] = min(tir, truest.get(nominal, tir))
    return {nominal: CountedSize(**of_size, truest=truest.get(nominal)) for nominal, of_size in counts.items()}


def _sizes(row: SeriesShape) -> QuerySet[Size]:
    return Size.objects.filter(series=row.series_id, shape=row.shape)
