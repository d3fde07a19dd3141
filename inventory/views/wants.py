"""What people asked for and the shop has not."""

from urllib.parse import urlsplit

from django import forms
from django.contrib import messages
from django.db import IntegrityError, transaction
from django.db.models import Exists, OuterRef
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_POST

from inventory.inputs import say_plainly
from inventory.lengths import Length, exact, nominal
from inventory.models import Ask, CountedItem, SeriesShape, Shape, Size, Tool, Want
from inventory.models.asks import lathe_in
from inventory.views.access import buyers_and_keepers, buyers_only
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


class DismissForm(forms.Form):
    """What people looked for, as the page groups it."""

    read_as = forms.CharField(max_length=200)
    lathe = forms.CharField(required=False, max_length=40)


class DropForm(forms.Form):
    """Drop a want, or take that back."""

    undo = forms.BooleanField(required=False)


@require_GET
def missing(request):
    low = CountedItem.objects.low().with_places()
    wants = Want.objects.filter(state__in=STANDING).select_related("size__series", "asked_by")
    return render(
        request,
        "inventory/missing.html",
        {
            "place": "missing",
            "wants": [(want, _question_of(want.size)) for want in wants],
            "asks": Ask.objects.standing().grouped(most=ASKS_SHOWN),
            "boards": [(label, rows) for label, rows in _boards() if rows],
            "low": {"rows": low[:LOW_SHOWN], "count": low.count(), "shown": LOW_SHOWN},
            "dropped": _just_dropped(request),
        },
    )


def _boards():
    """Every series and shape: first those of which anything is in the book, then the rest."""
    here = Tool.objects.in_book().filter(size__series=OuterRef("series"), size__shape=OuterRef("shape"))
    rows = SeriesShape.objects.select_related("series").annotate(is_here=Exists(here)).order_by("series__code", "shape")
    yield "in the book", [row for row in rows if row.is_here]
    yield "not here", [row for row in rows if not row.is_here]


def _question_of(size) -> str:
    return urlencode({"size": exact(size.nominal), "shape": size.shape})


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
    if lathe := lathe_in(urlsplit(request.POST.get("next", "")[:2000]).query):
        # The answer that it is asked from was for one lathe.
        why = f"{why}, on {lathe}".removeprefix(", ")[:200]
    if ask_for(size, why=why, by=request.user):
        messages.success(request, f"{size} is asked for. Purchasing sees it under Missing.")
    else:
        messages.info(request, f"{size} is asked for already.")
    return onward(request, "missing")


def ask_for(size, *, why, by) -> bool:
    """Let a want for this size stand; whether it is a new one."""
    try:
        with transaction.atomic():
            Want.objects.create(size=size, why=why, asked_by=by)
    except IntegrityError:
        if Want.objects.filter(size=size, state__in=STANDING).exists():
            return False
        raise
    return True


@require_POST
@buyers_and_keepers
def ask_dismiss(request):
    form = DismissForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Nothing was dismissed: the page did not say what. Press Dismiss again.")
    elif Ask.objects.dismiss(**form.cleaned_data, at=timezone.now()):
        messages.success(request, f"{form.cleaned_data['read_as']} is dismissed. Asked for again, it comes back.")
    else:
        messages.info(request, f"{form.cleaned_data['read_as']} was dismissed already.")
    return redirect("missing")


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
