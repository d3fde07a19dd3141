"""What people asked for and the shop has not."""

from urllib.parse import urlsplit

from django import forms
from django.contrib import messages
from django.db import IntegrityError, transaction
from django.db.models import Max, Sum
from django.http import QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_POST

from inventory.inputs import say_plainly
from inventory.lengths import Length, exact, nominal
from inventory.models import Ask, CountedItem, SeriesShape, Shape, Size, Want
from inventory.views.access import buyers_only
from inventory.views.onward import onward

ASKS_SHOWN = 50
LOW_SHOWN = 50
STANDING = (Want.State.WANTED, Want.State.ORDERED)
_LONGEST_NM = 100 * 10**9


class WantForm(forms.Form):
    """A size of a series, as a page that found it missing names it."""

    series = forms.CharField(max_length=20)
    shape = forms.ChoiceField(choices=Shape.choices)
    nm = forms.IntegerField(label="Size", min_value=1, max_value=_LONGEST_NM)
    why = forms.CharField(required=False, max_length=200)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"series": "5C or ER32", "shape": "round", "nm": "19050000, in nanometres"})

    def clean(self):
        cleaned = super().clean()
        if self.errors:
            return cleaned
        figures = SeriesShape.objects.select_related("series").filter(
            series__code__iexact=cleaned["series"], shape=cleaned["shape"]
        )
        self.figures, self.length = figures.first(), Length(cleaned["nm"])
        if self.figures is None:
            self.add_error("series", f"“{cleaned['series']}” has no {cleaned['shape']} collets here.")
        elif not self.figures.takes_nominal(self.length):
            limits = " to ".join(nominal(limit) for limit in (self.figures.smallest, self.figures.largest) if limit)
            self.add_error("nm", f"{exact(self.length)} was read; {self.figures} collets go from {limits}.")
        return cleaned


class DroppedForm(forms.Form):
    """The want that was dropped a moment ago, as the page after it names it."""

    dropped = forms.IntegerField(min_value=1, max_value=2**63 - 1)


class DropForm(forms.Form):
    """Drop a want, or take that back."""

    undo = forms.BooleanField(required=False)


@require_GET
def missing(request):
    asks = (
        Ask.objects.values("question", "read_as")
        .annotate(all_times=Sum("times"), last_on=Max("asked_on"))
        .order_by("-all_times", "-last_on", "question")
    )
    low = CountedItem.objects.low().with_places()
    wants = Want.objects.filter(state__in=STANDING).select_related("size__series", "asked_by")
    return render(
        request,
        "inventory/missing.html",
        {
            "place": "missing",
            "wants": [(want, _question_of(want.size)) for want in wants],
            "asks": [{**ask, "lathe": _lathe_in(ask["question"])} for ask in asks[:ASKS_SHOWN]],
            "low": {"rows": low[:LOW_SHOWN], "count": low.count(), "shown": LOW_SHOWN},
            "dropped": _just_dropped(request),
        },
    )


def _question_of(size) -> str:
    return urlencode({"size": exact(size.nominal), "shape": size.shape})


def _lathe_in(question: str) -> str:
    """The lathe that a question names in its address; empty where it asked for any."""
    return QueryDict(question).get("lathe", "").strip()[:40]


def _just_dropped(request) -> Want | None:
    form = DroppedForm(request.GET)
    if not request.user.may_buy or not form.is_valid():
        return None
    dropped = Want.objects.select_related("size__series").filter(state=Want.State.DROPPED)
    return dropped.filter(pk=form.cleaned_data["dropped"]).first()


@require_POST
def want_add(request):
    form = WantForm(request.POST)
    if not form.is_valid():
        for field, errors in form.errors.items():
            messages.error(request, f"Nothing was asked for. {form.fields[field].label or field}: {errors[0]}")
        return onward(request, "missing")
    size = Size.objects.of(form.figures, form.length)
    why = form.cleaned_data["why"]
    if lathe := _lathe_in(urlsplit(request.POST.get("next", "")[:2000]).query):
        # The answer that it is asked from was for one lathe.
        why = f"{why}, on {lathe}".removeprefix(", ")[:200]
    if _stands(size, why=why, by=request.user):
        messages.success(request, f"{size} is asked for. Purchasing sees it under Missing.")
    else:
        messages.info(request, f"{size} is asked for already.")
    return onward(request, "missing")


def _stands(size, *, why, by) -> bool:
    """Let the want stand; whether it is a new one."""
    try:
        with transaction.atomic():
            Want.objects.create(size=size, why=why, asked_by=by)
    except IntegrityError:
        if Want.objects.filter(size=size, state__in=STANDING).exists():
            return False
        raise
    return True


@require_POST
@buyers_only
def want_drop(request, pk):
    want = get_object_or_404(Want.objects.select_related("size__series"), pk=pk)
    form = DropForm(request.POST)
    if form.is_valid() and form.cleaned_data["undo"]:
        return _taken_back(request, want)
    if Want.objects.filter(pk=pk, state__in=STANDING).update(state=Want.State.DROPPED):
        messages.success(request, f"{want.size} is no longer asked for.")
        return redirect(f"{reverse('missing')}?{urlencode({'dropped': want.pk})}")
    return redirect("missing")


def _taken_back(request, want):
    try:
        with transaction.atomic():
            is_back = Want.objects.filter(pk=want.pk, state=Want.State.DROPPED).update(state=Want.State.WANTED)
    except IntegrityError:
        # Somebody asked for the size again since it was dropped.
        is_back = False
    if is_back:
        messages.success(request, f"{want.size} is asked for again.")
    else:
        messages.info(request, f"{want.size} is not dropped any more; nothing was changed.")
    return redirect("missing")
