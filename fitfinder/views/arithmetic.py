"""Shop arithmetic: the list of sums, and one page for each, whose address is the whole question."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET
from msgspec import Struct

from fitfinder import crib
from fitfinder.arithmetic.form import SumForm
from fitfinder.arithmetic.frame import Result, Sum, WorkedSum
from fitfinder.arithmetic.quantities import Quantity
from fitfinder.arithmetic.sums import SUMS
from fitfinder.arithmetic.telling import value_text
from fitfinder.questions import QuestionError, unit_named
from fitfinder.views.asking import last_chosen


class ShownResult(Struct, frozen=True):
    """One result: its words, its value, and the same in the other unit where there is one."""

    words: str
    value: str
    other: str


@require_GET
def arithmetic_list(request: HttpRequest) -> HttpResponse:
    return render(request, "fitfinder/arithmetic_list.html", {"place": "plan", "sums": SUMS.values()})


@require_GET
def arithmetic(request: HttpRequest, name: str) -> HttpResponse:
    if name not in SUMS:
        raise Http404(f"No sum is called {name}.")
    asked = SUMS[name]
    texts = {key.name: request.GET[key.name] for key in asked.keys if key.name in request.GET}
    unit = request.GET.get("unit") or crib.shop_unit().value
    if not texts:
        form = SumForm(asked, initial={"unit": last_chosen(request)["unit"] or unit})
        return _page(request, asked, form)
    form = SumForm(asked, initial={**texts, "unit": unit})
    try:
        worked = asked.worked(texts, unit=unit_named(unit))
    except QuestionError as error:
        return _page(request, asked, SumForm(asked, initial={**texts, "unit": unit}, error=error))
    return _page(request, asked, form, worked)


def _page(request: HttpRequest, asked: Sum, form: SumForm, worked: WorkedSum | None = None) -> HttpResponse:
    return render(
        request,
        "fitfinder/arithmetic.html",
        {
            "place": "plan",
            "asked": asked,
            "form": form,
            "worked": worked,
            "given": _given(asked, worked) if worked else "",
            "results": _results(asked, worked) if worked else [],
        },
    )


def _given(asked: Sum, worked: WorkedSum) -> str:
    """What the sum was asked with, each in its words."""
    words = {key.name: key.words.removeprefix("Or the ").removesuffix(" …") for key in asked.keys}
    return " · ".join(f"{words[name]}: {_short(value)}" for name, value in worked.inputs.items())


def _results(asked: Sum, worked: WorkedSum) -> list[ShownResult]:
    return [ShownResult(asked.results[name], _short(value), _other(value)) for name, value in worked.result.items()]


def _short(value: Result) -> str:
    return value.short if isinstance(value, Quantity) else value_text(value)


def _other(value: Result) -> str:
    return value.other.short if isinstance(value, Quantity) and value.other else ""
