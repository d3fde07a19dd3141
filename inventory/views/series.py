"""The series of collets, and the figures that the shop has of its own."""

from django.contrib import messages
from django.db import transaction
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods
from msgspec import Struct

from inventory.figures.forms import SeriesForm, ShopForm
from inventory.figures.names import series_named
from inventory.figures.own_series import gap_in
from inventory.figures.series import (
    OWN_FIGURES,
    SizeChange,
    built_in,
    in_words,
    keep,
    own_figures,
    steps_of,
    values_of,
    what_changes,
)
from inventory.measures.lengths import Length, exact
from inventory.models import SeriesShape, ShopFigures
from inventory.reference.catalog import BASES
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from, edits

_OF_SMALL_SIZES = ("small_closes_by", "small_upto")
"""Most series have no rule of their own for small sizes: nothing is unknown there."""
SHOWN = 12
"""Of the sizes that would change; the rest is counted."""


class SeriesFigure(Struct, frozen=True):
    """One figure: its words, what counts here, and what the tables say where that is something else."""

    words: str
    value: str
    built_in: str


@require_GET
def series_list(request: PersonsRequest) -> HttpResponse:
    rows = SeriesShape.objects.select_related("series", "changed_by").order_by("series__code", "shape")
    shop = ShopFigures.objects.select_related("changed_by").now()
    return render(request, "inventory/series_list.html", {"place": "desk", "rows": rows, "shop": shop})


@require_http_methods(["GET", "POST"])
def series(request: PersonsRequest, code: str, shape: str) -> HttpResponse:
    known = series_named(code)
    if known is None:
        raise Http404
    if request.method == "POST":
        return _save_figures(request, known.code, shape)
    figures = get_object_or_404(_shapes(), series=known, shape=shape)
    if code.upper() != known.code.upper():
        return redirect("series", known.code, shape)
    form = SeriesForm(figures=figures) if request.user.may_keep else None
    return _page(request, figures, form)


@keepers_only
@transaction.atomic
def _save_figures(request: PersonsRequest, code: str, shape: str) -> HttpResponse:
    """Locked from the look at its history on: what somebody else changed is not overwritten unseen."""
    figures = get_object_or_404(_shapes().select_for_update(of=("self",)), series__code=code, shape=shape)
    # As it stands in the book: the preview below puts other figures on its own copy.
    standing = get_object_or_404(_shapes(), pk=figures.pk)
    again = {name: _as_text(value) for name, value in built_in(figures).items()}
    form = SeriesForm(again if "built_in" in request.POST else request.POST, figures=standing)
    meanwhile = changed_meanwhile(figures, request.POST)
    if meanwhile:
        form.add_error(None, meanwhile)
    if not form.is_valid():
        return _page(request, standing, form)
    if "keep" not in request.POST:
        return _page(request, standing, form, changes=what_changes(figures, form.values))
    ladder = {name: getattr(standing, name) for name in form.ladder}
    if form.values == values_of(standing) and form.ladder == ladder:
        messages.info(request, "Nothing was changed.")
    else:
        number = keep(figures, form.values, by=request.user, ladder=form.ladder)
        messages.success(request, f"{figures} is changed, and {_sizes(number)} with it.")
    return redirect("series", code, shape)


@require_http_methods(["GET", "POST"])
@keepers_only
def measuring(request: PersonsRequest) -> HttpResponse:
    with transaction.atomic():
        shop = ShopFigures.objects.the_row() if request.method == "POST" else ShopFigures.objects.now()
        form = ShopForm(request.POST or None, instance=shop)
        if request.method == "POST" and form.is_valid():
            if form.has_changed():
                form.instance.changed_by = request.user
                form.save()
                messages.success(
                    request, "The measuring allowance is changed. Every answer counts with it from now on."
                )
            else:
                messages.info(request, "Nothing was changed.")
            return redirect("series_list")
    return render(request, "inventory/measuring.html", {"place": "desk", "form": form, "edits": edits(shop)})


def _shapes() -> QuerySet[SeriesShape]:
    return SeriesShape.objects.select_related("series", "changed_by")


def _page(
    request: PersonsRequest, figures: SeriesShape, form: SeriesForm | None, *, changes: list[SizeChange] | None = None
) -> HttpResponse:
    return render(
        request,
        "inventory/series.html",
        {
            "place": "desk",
            "figures": figures,
            "steps": steps_of(figures).words,
            "gap": gap_in(figures) if figures.is_own else "",
            "lines": _lines(figures),
            "basis": BASES.get(figures.basis, figures.basis),
            "form": form,
            "drawn_from": drawn_from(figures),
            "changes": changes[:SHOWN] if changes is not None else None,
            "count": _sizes(len(changes)) if changes is not None else "",
            "further": max(0, len(changes or ()) - SHOWN),
            "edits": edits(figures),
        },
    )


def _lines(figures: SeriesShape) -> list[SeriesFigure]:
    here, table, changed = values_of(figures), built_in(figures), own_figures(figures)
    return [
        SeriesFigure(own.label, in_words(here[own.name]), in_words(table[own.name]) if own.name in changed else "")
        for own in OWN_FIGURES
        if not (own.name in _OF_SMALL_SIZES and here[own.name] is None and table.get(own.name) is None)
    ]


def _as_text(value: Length | None) -> str:
    return "" if value is None else exact(value)


def _sizes(number: int) -> str:
    return f"{number} size{'' if number == 1 else 's'}"
