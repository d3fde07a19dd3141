"""The board of sizes of a series: a picture, a table, a sheet, and what is gripped to scale."""

import csv

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET

from fitfinder import crib, crib_sizes
from fitfinder.buying.coverage import covered, uncovered
from fitfinder.short.board import NONE_HERE, Counted, asked_sizes, board, capacity, summary
from fitfinder.short.board_form import BoardForm, PickedForm
from fitfinder.short.rulers import rulers
from inventory.measures.lengths import Length, exact
from inventory.models import SeriesShape, Size, Tool, Want

HOLES_TOLD = 12


@require_GET
def series_board(request, series, shape):
    figures = _figures(series, shape)
    cells = _cells(figures)
    lathes, rig = list(crib.lathes_now()), crib_sizes.links()
    picked = _picked(request, cells)
    form = BoardForm(request.GET if "tolerance" in request.GET or "lathe" in request.GET else None, lathes=lathes)
    return render(
        request,
        "fitfinder/board.html",
        {
            "place": "missing",
            "figures": figures,
            "cells": [(cell, _pieces(figures, cell) if cell.counted != NONE_HERE else "") for cell in cells],
            "summary": summary(cells),
            "off_ladder": any(not cell.is_on_ladder for cell in cells),
            "picked": picked,
            "want": _want_of(figures, picked),
            "form": form,
            "coverage": _coverage(figures, form, lathes, rig),
            "here": reverse("board", args=[figures.series.code, figures.shape]),
        },
    )


@require_GET
def board_sheet(request, series, shape):
    """The board as a CSV sheet; every text in it is ours, so that none can be taken for a formula."""
    figures = _figures(series, shape)
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="board-{figures.series.code}-{figures.shape}.csv"'
    sheet = csv.writer(response)
    sheet.writerow(
        ["series", "shape", "size", "mm", "state", "held", "worn", "out", "damaged or lost", "truest TIR, in", "asked",
         "order"]
    )  # fmt: skip
    for cell in _cells(figures):
        counted = cell.counted
        sheet.writerow(
            [figures.series.code, figures.shape, exact(cell.size), cell.size.mm_text, cell.state, counted.good,
             counted.worn, counted.out, counted.unfit, counted.truest.inch_text if counted.truest else "", cell.asked,
             cell.want]
        )  # fmt: skip
    return response


def _figures(series: str, shape: str) -> SeriesShape:
    return get_object_or_404(
        SeriesShape.objects.select_related("series__seat"), series__code__iexact=series, shape=shape
    )


def _cells(figures: SeriesShape):
    on_hand = crib.series_of(figures)
    counted = {row.pop("nominal"): Counted(**row) for row in crib_sizes.counted(figures)}
    wants = Want.objects.open().filter(size__series=figures.series_id, size__shape=figures.shape)
    asks = [(stock, ask.times) for ask, stock in crib_sizes.asked_for() if stock is not None]
    return board(
        on_hand,
        counted=counted,
        asked=asked_sizes(on_hand, asks),
        wants={want.size.nominal: want.get_state_display() for want in wants.select_related("size")},
    )


def _pieces(figures: SeriesShape, cell) -> str:
    return f"{reverse('tool_list')}?" + urlencode(
        {"series": figures.series.code, "shape": figures.shape, "size": exact(cell.size)}
    )


def _picked(request, cells):
    """The missing size that was tapped, to be asked for."""
    form = PickedForm(request.GET)
    picked = form.cleaned_data["pick"] if form.is_valid() else None
    return next((cell for cell in cells if cell.size.nm == picked), None)


def _want_of(figures: SeriesShape, picked) -> Want | None:
    """The want that stands for the size that was tapped."""
    if picked is None:
        return None
    same = {"size__series": figures.series_id, "size__shape": figures.shape, "size__nominal": picked.size}
    return Want.objects.open().filter(**same).first()


def _coverage(figures: SeriesShape, form: BoardForm, lathes, rig) -> dict | None:
    """What is gripped of the capacity, and what is not; None where the form cannot be read or no capacity is known."""
    on_hand = crib.series_of(figures)
    within = capacity(on_hand)
    if within is None or not form.is_readable:
        return None
    chosen = [lathe for lathe in lathes if form.asked_lathe in ("", lathe.name)]
    names, lacks, doubt = crib_sizes.seated(on_hand.seat, rig=rig, on=chosen)
    seats = bool(names) or not lathes
    reaches = [crib_sizes.reach_of_size(size) for size in _in_service(figures)] if seats else []
    gripped = covered(reaches, form.asked_tolerance)
    holes = uncovered(gripped, within)
    return {
        "tolerance": form.asked_tolerance,
        "within": within,
        "lathes": sorted(names),
        "lacks": lacks,
        "doubt": doubt,
        "rulers": rulers(gripped, within),
        "holes": sorted(holes, key=lambda hole: hole.width, reverse=True)[:HOLES_TOLD],
        "hole_count": len(holes),
        "open_share": _share(sum((hole.width.nm for hole in holes), 0), within.width),
    }


def _in_service(figures: SeriesShape):
    in_service = Tool.objects.in_service()
    return Size.objects.filter(series=figures.series_id, shape=figures.shape, tools__in=in_service).distinct()


def _share(nm: int, whole: Length) -> int:
    return 100 * nm // whole.nm if whole.nm else 0
