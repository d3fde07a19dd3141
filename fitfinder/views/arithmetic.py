"""Shop arithmetic: the list of sums, and one page for each, whose address is the whole question."""

from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_GET

from fitfinder.arithmetic import SUMS, Quantity, QuestionError
from fitfinder.arithmetic.as_text import said
from fitfinder.arithmetic.form import SumForm
from fitfinder.holding.stock import unit_named
from fitfinder.views.find import REMEMBERED
from inventory.measures.lengths import Unit


@require_GET
def arithmetic_list(request):
    return render(request, "fitfinder/arithmetic_list.html", {"place": "plan", "sums": SUMS.values()})


@require_GET
def arithmetic(request, name):
    if name not in SUMS:
        raise Http404(f"No sum is called {name}.")
    asked = SUMS[name]
    texts = {key.name: request.GET[key.name] for key in asked.keys if key.name in request.GET}
    worked = error = None
    if texts:
        unit = request.GET.get("unit") or Unit.INCH.value
        try:
            worked = asked.worked(texts, unit=unit_named(unit))
        except QuestionError as refusal:
            error = refusal
    else:
        unit = request.COOKIES.get(REMEMBERED["unit"], "")
        unit = unit if unit in list(Unit) else Unit.INCH.value
    context = {
        "place": "plan",
        "asked": asked,
        "worked": worked,
        "given": _given(asked, worked),
        "results": _results(asked, worked),
        "picture": worked.picture if worked else None,
        "form": SumForm(asked, initial={**texts, "unit": unit}, error=error),
    }
    return render(request, "fitfinder/arithmetic.html", context)


def _given(asked, worked) -> str:
    """What the sum was asked with, each in its words."""
    if worked is None:
        return ""
    words = {key.name: key.words.removeprefix("Or the ").removesuffix(" …") for key in asked.keys}
    return " · ".join(f"{words[name]}: {_shown(value)[0]}" for name, value in worked.inputs.items())


def _results(asked, worked) -> list[tuple[str, str, str]]:
    """The words of each result, its value, and the same in the other unit."""
    if worked is None:
        return []
    return [(asked.results[name], *_shown(value)) for name, value in worked.result.items()]


def _shown(value) -> tuple[str, str]:
    if isinstance(value, Quantity):
        return value.short, value.other.short if value.other else ""
    return said(value), ""
