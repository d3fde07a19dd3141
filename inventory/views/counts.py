"""Counting a drawer: begin, say what is there and what is not, close or drop it."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.keeping import counting
from inventory.keeping.counting import CannotCount, ExtraForm
from inventory.models import Count, CountAnswer, Location, Tool
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.tables import Column, heads_of, in_order

SHOWN = 50
ALL_BUT = "all but"
_COLUMNS = (
    Column("Place", "name"),
    Column("Pieces", "pieces", is_figure=True),
    Column("Last counted", "counted"),
    Column(""),
)
_BY: dict[str, Callable[[Any], Any]] = {
    "name": lambda place: place.name.lower(),
    "pieces": lambda place: place.pieces,
    "counted": lambda place: place.counted_at,
}


@require_GET
@keepers_only
def count_list(request: PersonsRequest) -> HttpResponse:
    counts = Count.objects.select_related("place", "begun_by", "ended_by")
    context = {
        "open": counts.open(),
        "to_count": in_order(request, counting.places_to_count()[:SHOWN], _BY),
        "heads": heads_of(request, _COLUMNS),
        "ended": counts.exclude(ended_at=None)[:SHOWN],
    }
    return render(request, "inventory/count_list.html", {"place": "desk", **context})


@require_POST
@keepers_only
def count_begin(request: PersonsRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Location, pk=pk)
    try:
        return redirect("count", counting.begin(place, by=request.user, at=timezone.now()).pk)
    except CannotCount as reason:
        messages.error(request, str(reason))
        return redirect("place", place.pk)


@require_GET
@keepers_only
def count(request: PersonsRequest, pk: int) -> HttpResponse:
    return _count_page(request, pk, ExtraForm())


def _count_page(request: PersonsRequest, pk: int, extra_form: ExtraForm) -> HttpResponse:
    count = get_object_or_404(Count.objects.select_related("place__parent__parent__parent", "ended_by"), pk=pk)
    drawer = counting.drawer(count)
    context = {
        "count": count,
        "drawer": drawer,
        "put_right": [line for line in drawer.lines if line.outcome],
        "as_said": [line for line in drawer.lines if not line.outcome],
        "here": [line for line in drawer.lines if line.answer != CountAnswer.NOT_HERE],
        "not_here": [line for line in drawer.lines if line.answer == CountAnswer.NOT_HERE],
        "extra_form": extra_form,
        "stocks": count.place.stocks.select_related("item").filter(item__retired_at=None),
    }
    template = "inventory/count.html" if count.is_open else "inventory/count_ended.html"
    return render(request, template, {"place": "desk", **context})


@require_POST
@keepers_only
def count_say(request: PersonsRequest, pk: int) -> HttpResponse:
    """What is ticked is here, or is not; or all that the page showed is here but for what is ticked."""
    count = get_object_or_404(Count.objects.select_related("place"), pk=pk)
    answer, ticked = request.POST.get("answer"), _keys(request, "piece")
    if answer == ALL_BUT:
        return _carry_out(request, count, lambda: _mark_all(request, count, _keys(request, "shown") - ticked, ticked))
    if answer in (CountAnswer.HERE, CountAnswer.NOT_HERE):
        return _carry_out(request, count, lambda: _mark(request, count, ticked, CountAnswer(answer)))
    messages.error(request, "Nothing was saved: press “They are here” or “They are not here”.")
    return redirect("count", count.pk)


def _mark(request: PersonsRequest, count: Count, keys: set[int], answer: CountAnswer) -> str:
    marked = counting.mark(count, keys, answer, by=request.user, at=timezone.now())
    if not marked:
        return "Nothing was ticked, and nothing was saved."
    return f"{marked} {'is' if marked == 1 else 'are'} written down."


def _mark_all(request: PersonsRequest, count: Count, here: set[int], missing: set[int]) -> str:
    here_count, missed_count, lost = counting.mark_all(count, here, missing, by=request.user, at=timezone.now())
    sentence = (
        f"{here_count} here, {missed_count} not here: written down. Nothing is changed before the count is closed."
    )
    if not lost:
        return sentence
    return (
        f"{sentence} Missing before, and left so: {', '.join(lost)}. Tick what you see of it and press “They are here”."
    )


@require_POST
@keepers_only
def count_extra(request: PersonsRequest, pk: int) -> HttpResponse:
    count = get_object_or_404(Count.objects.select_related("place"), pk=pk)
    form = ExtraForm(request.POST)
    if not form.is_valid():
        return _count_page(request, pk, form)
    tag, answer = form.cleaned_data["tag"], CountAnswer(form.cleaned_data["answer"])
    try:
        tool = counting.mark_extra(count, tag, answer, by=request.user, at=timezone.now())
    except CannotCount as reason:
        form.add_error("tag", str(reason))
        return _count_page(request, pk, form)
    messages.success(request, _extra_in_words(count, tool))
    return redirect("count", count.pk)


def _extra_in_words(count: Count, tool: Tool) -> str:
    if tool.location_id == count.place_id:
        return f"{tool} belongs here, and is here."
    place = f"in {tool.location.path}" if tool.location else "nowhere yet"
    return f"{tool} is written down as here. It belongs {place}."


@require_POST
@keepers_only
def count_close(request: PersonsRequest, pk: int) -> HttpResponse:
    count = get_object_or_404(Count.objects.select_related("place"), pk=pk)
    return _carry_out(request, count, lambda: _close(request, count))


def _close(request: PersonsRequest, count: Count) -> str:
    ended = counting.close(count, unseen=_keys(request, "unsaid"), by=request.user, at=timezone.now())
    changed = ended.lines.exclude(outcome="").select_related("tool")
    outcomes = "; ".join(f"{line.tool}: {line.outcome}" for line in changed[:20])
    return f"The count of {count.place.called} is closed. {outcomes or 'Everything is as Gripbook says'}."


@require_POST
@keepers_only
def count_drop(request: PersonsRequest, pk: int) -> HttpResponse:
    count = get_object_or_404(Count.objects.select_related("place"), pk=pk)
    return _carry_out(request, count, lambda: _drop(request, count))


def _drop(request: PersonsRequest, count: Count) -> str:
    counting.drop(count, by=request.user, at=timezone.now())
    return f"The count of {count.place.called} is dropped, and nothing was changed."


def _carry_out(request: PersonsRequest, count: Count, act: Callable[[], str]) -> HttpResponse:
    """What `act` says that it did, or why it could not."""
    try:
        messages.success(request, act())
    except CannotCount as reason:
        messages.error(request, str(reason))
    return redirect("count", count.pk)


def _keys(request: PersonsRequest, name: str) -> set[int]:
    """The keys that were sent; what is none is left out."""
    texts = request.POST.getlist(name)[: counting.MOST_LINES]
    return {int(text) for text in texts if text.isascii() and text.isdigit() and len(text) < 19}
