"""A series as a whole: entered by the shop or of the tables, its names, its shapes, edited, retired and taken back."""

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inventory.figures.names import series_named
from inventory.figures.own_seats import OtherNameForm
from inventory.figures.own_series import BodyForm, OwnSeriesForm, ShapeForm, dependents, gap_in
from inventory.measures.length_words import shown
from inventory.models import OtherName, Seat, Series, SeriesShape, Tool
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from, edits

FEW = 12


@require_http_methods(["GET", "POST"])
@keepers_only
def series_add(request: PersonsRequest) -> HttpResponse:
    """A new one, by itself or like another."""
    like = _like(request)
    form = OwnSeriesForm(request.POST if request.method == "POST" else None, like=like)
    if request.method == "POST" and form.is_valid():
        series = form.save(by=request.user)
        messages.success(request, f"{series} is a series of this shop now: collets of it can be entered and found.")
        _tell_doubts(request, form, series)
        return redirect("series_whole", series.code)
    heading = f"A series like {like}" if like is not None else "Enter a series of the shop's own"
    hint = "What is left empty is not known, and no answer counts with it."
    return _form_page(request, form, heading=heading, hint=hint, back=reverse("series_list"), words="All series")


@require_http_methods(["GET", "POST"])
@keepers_only
def series_add_shape(request: PersonsRequest, code: str) -> HttpResponse:
    series = get_object_or_404(Series, code__iexact=code)
    if series.shapes.count() == 3:
        messages.info(request, f"{series} has round, hex and square already.")
        return redirect("series_whole", series.code)
    form = ShapeForm(request.POST if request.method == "POST" else None, series=series)
    if request.method == "POST" and form.is_valid():
        figures = form.save(by=request.user)
        messages.success(request, f"{figures} collets can be entered and found now.")
        _tell_gap(request, figures)
        return redirect("series", series.code, figures.shape)
    back = reverse("series_whole", args=[series.code])
    return _form_page(request, form, heading=f"Another shape of {series}", hint="", back=back, words=str(series))


@require_http_methods(["GET", "POST"])
def series_whole(request: PersonsRequest, code: str) -> HttpResponse:
    series = _by_any_name(code)
    if series.code != code and request.method == "GET":
        return redirect("series_whole", series.code)
    if request.method == "POST":
        return _save_name(request, series)
    return _page(request, series, OtherNameForm(of=series))


@keepers_only
def _save_name(request: PersonsRequest, series: Series) -> HttpResponse:
    """Another name more, or one fewer."""
    form = OtherNameForm(request.POST, of=series)
    if "forget" in request.POST:
        OtherName.objects.filter(series=series, text=request.POST["forget"]).delete()
        messages.success(request, "That name is forgotten.")
    elif form.is_valid():
        name = form.save(by=request.user)
        messages.success(request, f"“{name}” is read as {series} from now on.")
    else:
        return _page(request, series, form)
    return redirect("series_whole", series.code)


@require_http_methods(["GET", "POST"])
@keepers_only
def series_edit(request: PersonsRequest, code: str) -> HttpResponse:
    if not get_object_or_404(Series, code__iexact=code).is_own:
        return _refuse_series_of_tables(request, code)
    if request.method == "POST":
        return _save_edit(request, code)
    series = get_object_or_404(Series, code__iexact=code)
    return _edit_page(request, series, BodyForm.of(series))


@transaction.atomic
def _save_edit(request: PersonsRequest, code: str) -> HttpResponse:
    """Locked from the look at its history on: what somebody else changed is not overwritten unseen."""
    series = get_object_or_404(Series.objects.select_for_update(of=("self",)), code__iexact=code)
    form = BodyForm.of(series, request.POST)
    if meanwhile := changed_meanwhile(series, request.POST):
        form.add_error(None, meanwhile)
    if not form.is_valid():
        return _edit_page(request, get_object_or_404(Series, pk=series.pk), form)
    if form.change(by=request.user):
        messages.success(request, f"{series} is changed.{_dependents_in_words(series)}")
        if form.is_new_seat:
            messages.info(request, f"{series.seat} is a new seat: nothing else mounts on it yet.")
    else:
        messages.info(request, "Nothing was changed.")
    return redirect("series_whole", series.code)


@require_http_methods(["POST"])
@keepers_only
def series_retire(request: PersonsRequest, code: str) -> HttpResponse:
    """Retired, or taken back."""
    series = get_object_or_404(Series, code__iexact=code)
    if not series.is_own:
        return _refuse_series_of_tables(request, code)
    is_back = "back" in request.POST
    if is_back != (series.retired_at is None):
        series.retired_at, series.changed_by = (None if is_back else timezone.now()), request.user
        series.save()
        done = "is in use again" if is_back else "is retired: what is here of it still holds, and no more is entered"
        messages.success(request, f"{series} {done}.{'' if is_back else _dependents_in_words(series)}")
    return redirect("series_whole", series.code)


def _refuse_series_of_tables(request: PersonsRequest, code: str) -> HttpResponse:
    messages.info(request, f"{code} is of the tables: its figures change shape by shape, and it can get other names.")
    return redirect("series_whole", code)


def _dependents_in_words(series: Series) -> str:
    there = dependents(series)
    return f" Of it there are {', '.join(there)}." if there else ""


def _like(request: PersonsRequest) -> SeriesShape | None:
    code, _, shape = request.GET.get("like", "")[:60].partition("/")
    series = series_named(code) if code else None
    return series.shapes.select_related("series__seat").filter(shape=shape or "round").first() if series else None


def _by_any_name(code: str) -> Series:
    series = series_named(code)
    return series if series is not None else get_object_or_404(Series, code__iexact=code)


def _tell_doubts(request: PersonsRequest, form: OwnSeriesForm, series: Series) -> None:
    if form.is_new_seat:
        messages.info(
            request,
            f"{series.seat} is a new seat: enter a closer, chuck or sleeve that takes it, or say so at a lathe.",
        )
    for figures in series.shapes.all()[:1]:
        _tell_gap(request, figures)


def _tell_gap(request: PersonsRequest, figures: SeriesShape) -> None:
    if gap := gap_in(figures):
        messages.info(request, f"Between its sizes there are gaps that none of them holds: {gap}.")


def _edit_page(request: PersonsRequest, series: Series, form: BodyForm) -> HttpResponse:
    back = reverse("series_whole", args=[series.code])
    hint = f"Depends on it: {', '.join(there)}." if (there := dependents(series)) else "Nothing depends on it yet."
    return _form_page(
        request, form, heading=f"Edit {series}", hint=hint, back=back, words=str(series), drawn=drawn_from(series)
    )


def _form_page(
    request: PersonsRequest, form: object, *, heading: str, hint: str, back: str, words: str, drawn: object = ""
) -> HttpResponse:
    context = {
        "place": "desk",
        "form": form,
        "heading": heading,
        "hint": hint,
        "back": back,
        "back_words": words,
        "drawn_from": drawn,
        "offers": {"seats": Seat.objects.values_list("code", flat=True)},
    }
    return render(request, "inventory/row_form.html", context)


def _page(request: PersonsRequest, series: Series, form: OtherNameForm) -> HttpResponse:
    shapes = list(series.shapes.select_related("series").order_by("shape"))
    context = {
        "place": "desk",
        "series": series,
        "shapes": shapes,
        "facts": _facts(series),
        "names": series.other_names.select_related("added_by"),
        "form": form if request.user.may_keep else None,
        "depends": dependents(series),
        "few": Tool.objects.in_book().filter(size__series=series).order_by("tag")[:FEW],
        "edits": edits(series),
    }
    return render(request, "inventory/series_whole.html", context)


def _facts(series: Series) -> list[tuple[str, str]]:
    """What is known of it beside the figures of its shapes; of a series of the tables they have the outside."""
    facts = [
        ("Seat", str(series.seat)),
        ("Closed by", series.get_closing_display()),
        ("Body diameter", "" if series.body is None else shown(series.body)),
        ("Largest diameter", "" if series.head is None else shown(series.head)),
        ("Length over all", "" if series.length is None else shown(series.length)),
        ("Thread that closes it", series.thread),
        ("Closing angle", "" if series.half_angle is None else f"{series.half_angle.normalize():f}° a side"),
        ("Figures from", series.standard),
    ]
    return [(words, text) for words, text in facts if text]
