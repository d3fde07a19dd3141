"""The wear of one piece over time, and the limits and intervals by which pieces are inspected."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods
from msgspec import Struct

from inventory.figures.names import series_named
from inventory.inspections.limit_form import LimitForm, keep_limits
from inventory.inspections.limits import LimitBook, intervals, limits_of
from inventory.inspections.readings import readings_of
from inventory.inspections.wear import trend
from inventory.inspections.wear_picture import picture_of
from inventory.measures.lengths import Length
from inventory.models import Kind, Series, Tool, WearLimit
from inventory.pieces.words import KIND_OF_SLUG
from inventory.reference.wear_limits import WearFigures, wear_figures
from inventory.web.access import PersonsRequest, keepers_only

_KINDS_BY_SERIES = {Kind.COLLET}
"""Their limit hangs on the series and the size; the rest is told by its kind."""


class LimitRow(Struct, frozen=True, kw_only=True):
    """What holds for the pieces of one series or kind."""

    subject: str
    address: str
    limit: Length | None
    is_by_size: bool
    intervals: list[str]
    is_own: bool


@require_GET
def wear(request: PersonsRequest, tag: str) -> HttpResponse:
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    limits, readings = limits_of(tool), readings_of(tool)
    its_trend = trend(readings, limit=limits.limit, reads=tool.tir)
    context = {
        "tool": tool,
        "limits": limits,
        "trend": its_trend,
        "over": limits.exceeded_by(tool.tir, tool.condition),
        "readings": [(reading, reading in its_trend.alike) for reading in readings],
        "undated": tool.inspections.standing().filter(taken_on=None, tir__isnull=False).count(),
        "picture": picture_of(readings, its_trend) if readings else None,
    }
    return render(request, "inventory/wear.html", {"place": "tooling", **context})


@require_GET
def wear_limits(request: PersonsRequest) -> HttpResponse:
    book = LimitBook()
    series = [
        _limit_row(row.code, reverse("limits_of_series", args=[row.code]), book.own(series=row), _built_in(series=row))
        for row in Series.objects.order_by("code")
    ]
    kinds = [
        _limit_row(kind, reverse("limits_of_kind", args=[slugify(kind)]), book.own(kind=kind), wear_figures(kind))
        for kind in Kind
        if kind not in _KINDS_BY_SERIES
    ]
    return render(request, "inventory/wear_limits.html", {"place": "desk", "series": series, "kinds": kinds})


def _limit_row(subject: str, address: str, own: WearLimit | None, built_in: WearFigures) -> LimitRow:
    own_limit, own_days, own_uses = (own.limit, own.every_days, own.every_uses) if own else (None, None, None)
    return LimitRow(
        subject=subject,
        address=address,
        limit=own_limit or built_in.limit,
        is_by_size=built_in.basis == "published-seen",
        intervals=intervals(own_days or built_in.every_days, own_uses or built_in.every_uses),
        is_own=own is not None,
    )


@require_http_methods(["GET", "POST"])
@keepers_only
def limits_of_series(request: PersonsRequest, code: str) -> HttpResponse:
    series = series_named(code)
    if series is None:
        raise Http404
    return _save_edit(request, {"series": series}, f"{series} collets", _built_in(series=series))


@require_http_methods(["GET", "POST"])
@keepers_only
def limits_of_kind(request: PersonsRequest, slug: str) -> HttpResponse:
    kind = KIND_OF_SLUG.get(slug)
    if kind is None or kind in _KINDS_BY_SERIES:
        raise Http404(f"There is no kind of piece called “{slug}” with limits of its own.")
    return _save_edit(request, {"kind": kind}, kind, wear_figures(kind))


def _built_in(*, series: Series) -> WearFigures:
    """Of a round collet; an ER collet's limit goes by its size, and is told as such."""
    return wear_figures(Kind.COLLET, series=series.code, shape="round")


def _save_edit(request: PersonsRequest, subject: dict, words: str, built_in: WearFigures) -> HttpResponse:
    own = WearLimit.objects.filter(**subject).first()
    initial = {name: getattr(own, name) for name in LimitForm.base_fields} if own else {}
    form = LimitForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        keep_limits(subject, form.cleaned_data)
        messages.success(request, f"The limits of {words} are saved.")
        return redirect("wear_limits")
    context = {"place": "desk", "form": form, "words": words, "built_in": built_in, "is_series": "series" in subject}
    context["intervals"] = intervals(built_in.every_days, built_in.every_uses)
    return render(request, "inventory/wear_limit_form.html", context)
