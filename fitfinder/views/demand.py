"""Which bar the shop keeps: the demand that its collets should meet."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from fitfinder.buying.form import BarForm
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Length
from inventory.models import KeptBar
from inventory.web.access import buyers_and_keepers
from inventory.web.editing import save_row
from inventory.web.tables import Column, word_list

COLUMNS = (
    Column("Size", "size"),
    Column("Shape", "shape"),
    Column("Read as"),
    Column("Weight", "weight", is_figure=True),
    Column(""),
)
_BY: dict[str, Callable[[tuple[KeptBar, str]], Any]] = {
    "size": lambda bar: _largest(bar[0]),
    "shape": lambda bar: bar[0].shape,
    "weight": lambda bar: bar[0].weight,
}
_GIVEN = ("size", "shape", "grade", "weight", "note")


@require_GET
@buyers_and_keepers
def demand(request):
    bars = [(bar, _read_as(bar)) for bar in KeptBar.objects.standing()]
    context = word_list(
        request,
        bars,
        COLUMNS,
        _BY,
        label="Size, shape, grade or note",
        words_of=lambda bar: f"{bar[0].size} {bar[0].shape} {bar[1]} {bar[0].note}",
    )
    return render(request, "fitfinder/demand.html", {"place": "buying", **context})


@require_http_methods(["GET", "POST"])
@buyers_and_keepers
def demand_add(request):
    given = {name: request.GET[name] for name in _GIVEN if name in request.GET}
    form = BarForm(request.POST or None, initial=given, instance=KeptBar(entered_by=request.user))
    if request.method == "POST" and save_row(form):
        messages.success(request, f"{form.stock.read_as} is on the list.")
        return redirect("demand")
    return _form_page(request, form, heading="Bar that the shop keeps")


@require_http_methods(["GET", "POST"])
@buyers_and_keepers
def demand_edit(request, pk):
    bar = get_object_or_404(KeptBar.objects.standing(), pk=pk)
    heading = f"Edit {bar}"
    form = BarForm(request.POST or None, instance=bar)
    if request.method == "POST" and save_row(form):
        messages.success(request, f"{form.stock.read_as} is saved.")
        return redirect("demand")
    return _form_page(request, form, heading=heading)


@require_POST
@buyers_and_keepers
def demand_drop(request, pk):
    bar = get_object_or_404(KeptBar, pk=pk)
    if KeptBar.objects.standing().filter(pk=pk).update(retired_at=timezone.now()):
        messages.success(request, f"{bar} is off the list.")
    else:
        messages.info(request, f"{bar} was off the list already.")
    return redirect("demand")


def _largest(bar: KeptBar) -> Length | None:
    try:
        return stock_from(bar.size, shape=bar.shape, grade=bar.grade).band.largest
    except QuestionError:
        return None


def _read_as(bar: KeptBar) -> str:
    try:
        return stock_from(bar.size, shape=bar.shape, grade=bar.grade).read_as
    except QuestionError as error:
        return error.message


def _form_page(request, form, *, heading):
    return render(request, "fitfinder/demand_form.html", {"place": "buying", "form": form, "heading": heading})
