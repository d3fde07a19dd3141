"""Reads the book for the board of one series and shape: what of each size is here, asked for, and what is gripped."""

from __future__ import annotations

from django.db.models import Count, Exists, Min, OuterRef, Q, QuerySet

from fitfinder import crib
from fitfinder.buying.reader import asked_for, reach_of_size
from fitfinder.holding.verdicts import Reach
from fitfinder.short.board import BoardCell, CountedSize, asked_sizes, board
from inventory.measures.lengths import Length
from inventory.models import SeriesShape, Size, Tool, Want


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
    in_service = Q(tools__condition__in=("good", "worn"), tools__missing_since=None, tools__retired_at=None)
    unfit = Q(tools__condition__in=("damaged", "scrapped")) | Q(tools__missing_since__isnull=False)
    out = Exists(Tool.objects.in_service().is_out().filter(pk=OuterRef("tools__pk")))
    sizes = (
        _sizes(row)
        .annotate(is_out=out)
        .values("nominal")
        .annotate(
            good=Count("tools", filter=in_service & Q(tools__condition="good", is_out=False)),
            worn=Count("tools", filter=in_service & Q(tools__condition="worn", is_out=False)),
            out=Count("tools", filter=in_service & Q(is_out=True)),
            unfit=Count("tools", filter=unfit & Q(tools__retired_at=None)),
            truest=Min("tools__tir", filter=in_service),
        )
        .values_list("nominal", "good", "worn", "out", "unfit", "truest")
    )
    return {
        nominal: CountedSize(good=good, worn=worn, out=out, unfit=unfit, truest=truest)
        for nominal, good, worn, out, unfit, truest in sizes.order_by("nominal")
    }


def _sizes(row: SeriesShape) -> QuerySet[Size]:
    return Size.objects.filter(series=row.series_id, shape=row.shape)
