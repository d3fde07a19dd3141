"""What is due, and the limits and intervals by which it is."""

from django import forms
from django.contrib import messages
from django.db import IntegrityError, transaction
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from inventory.inspections import waiting
from inventory.inspections.due import inspections_due
from inventory.inspections.limits import LimitBook
from inventory.measures.inputs import CountInput, TirInput, say_plainly
from inventory.models import Kind, Series, WearLimit
from inventory.reference.wear_limits import wear_figures
from inventory.views.keeping import KIND_OF_SLUG
from inventory.web.access import keepers_only

SHOWN = 200
_KINDS_BY_SERIES = {Kind.COLLET}
"""Their limit hangs on the series and the size; the rest is told by its kind."""


@require_GET
def due(request):
    today = timezone.localdate()
    to_inspect = inspections_due(today=today)
    return render(
        request,
        "inventory/due.html",
        {
            "place": "desk",
            "inspections": {
                "rows": waiting.to_inspect(to_inspect[:SHOWN]),
                "count": len(to_inspect),
                "shown": SHOWN,
            },
            "overdue": _first(waiting.overdue(today=today)),
            "missing": _first(waiting.missing()),
        },
    )


def _first(rows) -> dict:
    return {"rows": rows[:SHOWN], "count": rows.count(), "shown": SHOWN}


class LimitForm(forms.Form):
    """A shop's own figures; an empty field keeps the built-in one."""

    limit = TirInput(required=False, label="Largest TIR", help_text="Like .001 or 0.02 mm.")
    every_days = CountInput(
        required=False, min_value=1, max_value=10_000, label="Look at it every so many days", help_text="Like 365."
    )
    every_uses = CountInput(
        required=False, min_value=1, max_value=100_000, label="Look at it after so many issues", help_text="Like 50."
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)

    def clean_limit(self):
        limit = self.cleaned_data["limit"]
        if limit is not None and limit.nm == 0:
            raise forms.ValidationError("0 was read; nothing runs that true. Write a limit like .001.")
        return limit


@require_GET
def wear_limits(request):
    book = LimitBook()
    series = [(row, row.code, book.own(series=row), _built_in(series=row)) for row in Series.objects.order_by("code")]
    kinds = [(None, kind, book.own(kind=kind), wear_figures(kind)) for kind in Kind if kind not in _KINDS_BY_SERIES]
    return render(request, "inventory/wear_limits.html", {"place": "desk", "series": series, "kinds": kinds})


@require_http_methods(["GET", "POST"])
@keepers_only
def limits_of_series(request, code):
    series = get_object_or_404(Series, code__iexact=code)
    return _edited(request, {"series": series}, f"{series} collets", _built_in(series=series))


@require_http_methods(["GET", "POST"])
@keepers_only
def limits_of_kind(request, slug):
    kind = KIND_OF_SLUG.get(slug)
    if kind is None or kind in _KINDS_BY_SERIES:
        raise Http404(f"There is no kind of piece called “{slug}” with limits of its own.")
    return _edited(request, {"kind": kind}, kind, wear_figures(kind))


def _built_in(*, series):
    """Of a round collet; an ER collet's limit goes by its size, and is told as such."""
    return wear_figures(Kind.COLLET, series=series.code, shape="round")


def _edited(request, subject, words, built_in):
    own = WearLimit.objects.filter(**subject).first()
    initial = {name: getattr(own, name) for name in LimitForm.base_fields} if own else {}
    form = LimitForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        _keep(subject, form.cleaned_data)
        messages.success(request, f"The limits of {words} are kept.")
        return redirect("wear_limits")
    context = {"place": "desk", "form": form, "words": words, "built_in": built_in, "is_series": "series" in subject}
    return render(request, "inventory/wear_limit_form.html", context)


def _keep(subject, figures) -> None:
    """One row for each subject, also where two keepers press at once; none where all is as built in."""
    if all(value is None for value in figures.values()):
        for row in WearLimit.objects.filter(**subject):
            row.delete()
        return
    try:
        with transaction.atomic():
            WearLimit.objects.update_or_create(**subject, defaults=figures)
    except IntegrityError:
        WearLimit.objects.update_or_create(**subject, defaults=figures)
