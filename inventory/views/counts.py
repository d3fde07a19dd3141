"""Counting a drawer: begin, say what is there and what is not, close or drop it."""

from django import forms
from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from inventory.keeping import counting
from inventory.keeping.counting import CannotCount
from inventory.measures.inputs import say_plainly
from inventory.models import Answer, Count, Location
from inventory.web.access import keepers_only

SHOWN = 50
ALL_BUT = "all but"
_KEY = {"min_value": 1, "max_value": 2**63 - 1}


class ExtraForm(forms.Form):
    """A piece that lies here and does not belong here."""

    tag = forms.CharField(max_length=20, label="Tag", widget=forms.TextInput(attrs={"autocomplete": "off"}))
    answer = forms.ChoiceField(
        choices=[(Answer.MOVE_IN, "move it here"), (Answer.GOES_BACK, "it goes back")], widget=forms.HiddenInput
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"tag": "C-0011"})
        self.fields["answer"].error_messages["required"] = "Press “Move it here” or “It goes back to its place”."


@require_GET
@keepers_only
def count_list(request):
    counts = Count.objects.select_related("place", "begun_by", "ended_by")
    context = {
        "place": "desk",
        "open": counts.open(),
        "to_count": counting.to_count()[:SHOWN],
        "ended": counts.exclude(ended_at=None)[:SHOWN],
        "paths": Location.objects.paths(),
    }
    return render(request, "inventory/count_list.html", context)


@require_POST
@keepers_only
def count_begin(request, pk):
    place = get_object_or_404(Location, pk=pk)
    try:
        return redirect("count", counting.begin(place, by=request.user).pk)
    except CannotCount as reason:
        messages.error(request, str(reason))
        return redirect("place", place.pk)


@require_GET
@keepers_only
def count(request, pk):
    return _count_page(request, pk, ExtraForm())


def _count_page(request, pk, extra_form):
    count = get_object_or_404(Count.objects.select_related("place__parent__parent__parent", "ended_by"), pk=pk)
    sheet = counting.sheet(count)
    context = {
        "place": "desk",
        "count": count,
        "sheet": sheet,
        "put_right": [line for line in sheet.said if line.outcome],
        "as_said": [line for line in sheet.said if not line.outcome],
        "here": [line for line in sheet.said if line.answer != Answer.NOT_HERE],
        "not_here": [line for line in sheet.said if line.answer == Answer.NOT_HERE],
        "extra_form": extra_form,
        "stocks": count.place.stocks.select_related("item").filter(item__retired_at=None),
    }
    return render(request, "inventory/count.html" if count.is_open else "inventory/count_ended.html", context)


@require_POST
@keepers_only
def count_say(request, pk):
    """What is ticked is here, or is not; or all that the page showed is here but for what is ticked."""
    count = get_object_or_404(Count.objects.select_related("place"), pk=pk)
    answer = request.POST.get("answer")
    if answer == ALL_BUT:
        missing = _keys(request)
        here = _keys(request, "shown") - missing
        return _done(request, count, lambda: counting.say_all(count, here, missing, by=request.user), _said_all)
    if answer not in (Answer.HERE, Answer.NOT_HERE):
        messages.error(request, "Nothing was kept: press “They are here” or “They are not here”.")
        return redirect("count", count.pk)
    return _done(request, count, lambda: counting.say(count, _keys(request), Answer(answer), by=request.user), _said)


def _said(count, how_many) -> str:
    if not how_many:
        return "Nothing was ticked, and nothing was kept."
    return f"{how_many} {'is' if how_many == 1 else 'are'} written down."


def _said_all(count, said) -> str:
    here, missing = said
    return f"{here} here, {missing} not here: written down. Nothing is changed before the count is closed."


@require_POST
@keepers_only
def count_extra(request, pk):
    count = get_object_or_404(Count.objects.select_related("place"), pk=pk)
    form = ExtraForm(request.POST)
    if not form.is_valid():
        return _count_page(request, pk, form)
    tag, answer = form.cleaned_data["tag"], Answer(form.cleaned_data["answer"])
    try:
        messages.success(request, _extra_said(count, counting.say_extra(count, tag, answer, by=request.user)))
    except CannotCount as reason:
        form.add_error("tag", str(reason))
        return _count_page(request, pk, form)
    return redirect("count", count.pk)


def _extra_said(count, tool) -> str:
    if tool.location_id == count.place_id:
        return f"{tool} belongs here, and is here."
    return (
        f"{tool} is written down as here. It belongs {f'in {tool.location.path}' if tool.location else 'nowhere yet'}."
    )


@require_POST
@keepers_only
def count_close(request, pk):
    count = get_object_or_404(Count.objects.select_related("place"), pk=pk)
    unsaid = _keys(request, "unsaid")
    return _done(request, count, lambda: counting.close(count, unsaid=unsaid, by=request.user), _closed)


def _closed(count, ended) -> str:
    changed = ended.lines.exclude(outcome="").select_related("tool")
    told = "; ".join(f"{line.tool}: {line.outcome}" for line in changed[:20])
    return f"The count of {count.place} is closed. {told or 'Everything is as the book says'}."


@require_POST
@keepers_only
def count_drop(request, pk):
    count = get_object_or_404(Count.objects.select_related("place"), pk=pk)
    return _done(request, count, lambda: counting.drop(count, by=request.user), _dropped)


def _dropped(count, _ended) -> str:
    return f"The count of {count.place} is dropped, and nothing was changed."


def _done(request, count, act, words):
    try:
        messages.success(request, words(count, act()))
    except CannotCount as reason:
        messages.error(request, str(reason))
    return redirect("count", count.pk)


def _keys(request, name="piece") -> set[int]:
    """The keys that were sent; what is none is left out."""
    texts = request.POST.getlist(name)[: counting.MOST_LINES]
    return {int(text) for text in texts if text.isascii() and text.isdigit() and len(text) < 19}
