"""The board of sizes of a series: a picture, a table, a sheet, and what is gripped to scale."""

import csv
from collections.abc import Iterable, Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET

from fitfinder import crib
from fitfinder.buying.reader import lathes_that_take, links
from fitfinder.holding.pieces import LatheOnHand
from fitfinder.short.board import NONE_HERE, BoardCell, summary
from fitfinder.short.board_reader import cells_of, reaches_in_service, want_of
from fitfinder.short.coverage import capacity, coverage
from fitfinder.short.form import BoardForm, PickedForm
from inventory.figures.names import series_named
from inventory.measures.lengths import exact
from inventory.models import SeriesShape

HOLES_TOLD = 12


@require_GET
def series_board(request: HttpRequest, series: str, shape: str) -> HttpResponse:
    row = _row(series, shape)
    cells, lathes = cells_of(row), crib.lathes_now()
    picked = _picked(request, cells)
    form = BoardForm(request.GET if "tolerance" in request.GET or "lathe" in request.GET else None, lathes=lathes)
    return render(
        request,
        "fitfinder/board.html",
        {
            "place": "buying",
            "figures": row,
            "cells": holes_of(row, cells),
            "summary": summary(cells),
            "off_ladder": any(not cell.is_on_ladder for cell in cells),
            "picked": picked,
            "want": want_of(row, picked.size) if picked else None,
            "form": form,
            "here": reverse("board", args=[row.series.code, row.shape]),
            **_gripped(row, form, lathes),
        },
    )


@require_GET
def board_sheet(request: HttpRequest, series: str, shape: str) -> HttpResponse:
    """The board as a CSV sheet; every text in it is ours, so that none can be taken for a formula."""
    row = _row(series, shape)
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="board-{row.series.code}-{row.shape}.csv"'
    sheet = csv.writer(response)
    sheet.writerow(
        ["series", "shape", "size", "mm", "state", "held", "worn", "out", "damaged or lost", "truest TIR, in", "asked",
         "order"]
    )  # fmt: skip
    for cell in cells_of(row):
        counted = cell.counted
        sheet.writerow(
            [row.series.code, row.shape, exact(cell.size), cell.size.mm_text, cell.state, counted.good,
             counted.worn, counted.out, counted.unfit, counted.truest.inch_text if counted.truest else "", cell.asked,
             cell.want]
        )  # fmt: skip
    return response


def _row(series: str, shape: str) -> SeriesShape:
    rows = SeriesShape.objects.select_related("series__seat")
    return get_object_or_404(rows, series=series_named(series), shape=shape)


def holes_of(row: SeriesShape, cells: Iterable[BoardCell], *, board: str = "") -> list[tuple[BoardCell, str]]:
    """Each hole with where it leads: to its pieces, or, on its `board`, to asking for the size that is missing."""
    pieces = f"{reverse('tool_list')}?{urlencode({'series': row.series.code, 'shape': row.shape})}"
    return [
        (cell, f"{board}?pick={cell.size.nm}#pick")
        if cell.counted == NONE_HERE
        else (cell, f"{pieces}&{urlencode({'size': exact(cell.size)})}")
        for cell in cells
    ]


def _picked(request: HttpRequest, cells: list[BoardCell]) -> BoardCell | None:
    """The missing size that was tapped, to be asked for."""
    form = PickedForm(request.GET)
    picked = form.cleaned_data["pick"] if form.is_valid() else None
    return next((cell for cell in cells if cell.size.nm == picked), None)


def _gripped(row: SeriesShape, form: BoardForm, lathes: Sequence[LatheOnHand]) -> dict[str, object]:
    """What is gripped of the capacity; nothing where the form cannot be read or no capacity is known."""
    figures = crib.series_of(row)
    within = capacity(figures)
    if within is None or not form.is_readable:
        return {"coverage": None}
    asked = [lathe for lathe in lathes if form.asked_lathe in ("", lathe.name)]
    taken = lathes_that_take(figures.seat, rig=links(), lathes=asked)
    reaches = reaches_in_service(row) if taken.names or not lathes else []
    covered = coverage(reaches, within, tolerance=form.asked_tolerance)
    return {"coverage": covered, "taken": taken, "taken_by": sorted(taken.names), "widest": covered.holes[:HOLES_TOLD]}
