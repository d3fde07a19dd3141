"""The places: all of them as a tree, and the page of one, to which its label leads."""

import uuid

from django import forms
from django.contrib import messages
from django.db import IntegrityError, transaction
from django.db.models import Prefetch
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.keeping.lending import issue_together
from inventory.keeping.lending_forms import IssueForm
from inventory.keeping.places import tree, why_not_inside, why_not_retired
from inventory.labels.wording import WITH_BELONGINGS, belongings
from inventory.measures.inputs import say_plainly
from inventory.models import Count, Loan, Location
from inventory.pieces.telling import states
from inventory.web.access import keepers_only, takers_only
from inventory.web.changes import changed_meanwhile, drawn_from, edits

SHOWN = 200
"""Pieces; a place with more is a room, and the list of tooling has the rest."""
COUNTS_SHOWN = 5
_OPEN_LOANS = Prefetch("loans", Loan.objects.open().select_related("borrower"), to_attr="open_loans")


@require_GET
def place_list(request):
    retired = Location.objects.exclude(retired_at=None).order_by("name") if request.user.may_keep else ()
    return render(request, "inventory/place_list.html", {"place": "tooling", "tree": tree(), "retired": retired})


@require_GET
def place(request, pk):
    places = Location.objects.select_related("parent__parent__parent").prefetch_related(*WITH_BELONGINGS)
    place = get_object_or_404(places, pk=pk)
    pieces = _pieces_of(place)
    shown = list(pieces[:SHOWN])
    for tool in shown:
        tool.loan = tool.open_loans[0] if tool.open_loans else None
        tool.states = [state for state in states(tool, None) if state.word != "missing"]
    here = [tool for tool in shown if _is_here(tool)]
    counts = place.counts.select_related("ended_by")
    context = {
        "place": "tooling",
        "here_is": place,
        "belongings": belongings(place) if shown else (),
        "inside": place.inside.in_use().order_by("name"),
        "here": here,
        "away": [tool for tool in shown if not _is_here(tool)],
        "loans": [tool.loan for tool in shown if tool.loan],
        "count": pieces.count(),
        "shown": SHOWN,
        "can_issue": any(tool.is_in_service for tool in here),
        "stocks": place.stocks.select_related("item").filter(item__retired_at=None),
        "open_count": counts.filter(ended_at=None).first(),
        "counts": counts.exclude(ended_at=None)[:COUNTS_SHOWN],
        "edits": edits(place) if request.user.may_keep else (),
    }
    return render(request, "inventory/place.html", context)


def _pieces_of(place):
    return place.tools.in_book().for_list().prefetch_related(_OPEN_LOANS).order_by("tag")


def _is_here(tool) -> bool:
    return tool.loan is None and tool.mounted_on_id is None and tool.missing_since is None


# All that is in it, taken together ------------------------------------------------------------------------------------


@require_http_methods(["GET", "POST"])
@takers_only
def place_issue(request, pk):
    """A rack or a drawer as a kit: all that is here is ticked."""
    place = get_object_or_404(Location, pk=pk)
    pieces = list(_pieces_of(place)[:SHOWN])
    for tool in pieces:
        tool.loan = tool.open_loans[0] if tool.open_loans else None
    to_take = [tool for tool in pieces if _is_here(tool) and tool.is_in_service]
    form = IssueForm(request.POST or None, by=request.user, initial={"token": uuid.uuid4()})
    del form.fields["lathe"]
    ticked = {str(tool.pk) for tool in to_take}
    if request.method == "POST":
        ticked = set(request.POST.getlist("piece"))
        if form.is_valid():
            _issue_ticked(request, form, [tool for tool in pieces if str(tool.pk) in ticked])
            return redirect("place", place.pk)
    for tool in to_take:
        tool.is_ticked = str(tool.pk) in ticked
    context = {"place": "tooling", "here_is": place, "pieces": to_take, "form": form}
    return render(request, "inventory/place_issue.html", context)


def _issue_ticked(request, form, tools) -> None:
    to = form.borrower
    whom = "you" if to == request.user else str(to)
    done = issue_together(
        tools,
        to=to,
        by=request.user,
        at=timezone.now(),
        token=form.cleaned_data["token"],
        due_on=form.due_on(timezone.localdate()),
    )
    if done.issued:
        messages.success(request, f"Issued to {whom}: {', '.join(map(str, done.issued))}.")
    for sentence in done.refused:
        messages.error(request, sentence)
    if done.had:
        messages.info(request, f"Out to {whom} already: {', '.join(map(str, done.had))}.")
    if not tools:
        messages.error(request, "Nothing was ticked, and nothing was issued.")


# The place itself -----------------------------------------------------------------------------------------------------


class PlaceForm(forms.ModelForm):
    """A place: its name, and in which other one it stands."""

    class Meta:
        model = Location
        fields = ("name", "parent")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        own = self.instance.parent_id
        known = Location.objects.in_use() | Location.objects.filter(pk=own)
        self.fields["parent"].queryset = known.exclude(pk=self.instance.pk)
        paths = Location.objects.paths()
        in_order = sorted((paths.get(pk, ""), pk) for pk in self.fields["parent"].queryset.values_list("pk", flat=True))
        nothing = ("", "nothing: it stands by itself")
        self.fields["parent"].choices = [nothing, *((pk, path) for path, pk in in_order)]
        self.fields["parent"].help_text = "A drawer in a cabinet, a cabinet in the crib. What is in it moves with it."
        self.fields["name"].help_text = "As it stands on the drawer, at most 60 characters."
        say_plainly(self.fields, {"name": "A2"})

    def clean_name(self):
        name = " ".join(self.cleaned_data["name"].split())
        same = Location.objects.filter(name__iexact=name).exclude(pk=self.instance.pk).first()
        if same is not None and same.retired_at is not None:
            raise forms.ValidationError(f"{same} is the name of a retired place. Take that one back, or write another.")
        if same is not None:
            where = f" in {same.path_outside}" if same.parent_id else ""
            raise forms.ValidationError(f"There is a place {same}{where} already. Write another name.")
        return name

    def clean_parent(self):
        parent = self.cleaned_data["parent"]
        if reason := why_not_inside(self.instance, parent):
            raise forms.ValidationError(reason)
        return parent


@require_http_methods(["GET", "POST"])
@keepers_only
def place_add(request):
    form = PlaceForm(request.POST or None, initial={"parent": request.GET.get("in")})
    if request.method == "POST" and form.is_valid() and (kept := _kept(form)):
        messages.success(request, f"{kept.path} is kept.")
        return redirect("place", kept.pk)
    return _form_page(request, form, heading="Add a place")


@require_http_methods(["GET", "POST"])
@keepers_only
def place_edit(request, pk):
    if request.method == "POST":
        return _edited(request, pk)
    place = get_object_or_404(Location, pk=pk)
    return _form_page(
        request, PlaceForm(instance=place), heading=f"Rename or move {place}", drawn_from=drawn_from(place)
    )


@transaction.atomic
def _edited(request, pk):
    """All places are locked: whether one would stand in itself hangs on those around it."""
    list(Location.objects.order_by("pk").select_for_update().values_list("pk"))
    place = get_object_or_404(Location, pk=pk)
    heading, form = f"Rename or move {place}", PlaceForm(request.POST, instance=place)
    meanwhile = changed_meanwhile(place, request.POST)
    if form.is_valid() and meanwhile and form.has_changed():
        form.add_error(None, meanwhile)
    if form.is_valid() and not form.has_changed():
        messages.info(request, "Nothing was changed.")
        return redirect("place", place.pk)
    if form.is_valid() and (kept := _kept(form)):
        messages.success(request, f"It is {kept.path} now. What is in it came with it.")
        return redirect("place", kept.pk)
    fresh = Location.objects.get(pk=pk)
    return _form_page(request, form, heading=heading, drawn_from=drawn_from(fresh))


def _kept(form):
    """The place, or None where somebody else took the name a moment ago; the form then says it."""
    try:
        with transaction.atomic():
            return form.save()
    except IntegrityError:
        form.add_error("name", "There is a place with this name already, perhaps among the retired.")
    return None


def _form_page(request, form, **context):
    return render(request, "inventory/place_form.html", {"place": "tooling", "form": form, **context})


@require_POST
@keepers_only
@transaction.atomic
def place_retire(request, pk):
    place = get_object_or_404(Location.objects.select_for_update(), pk=pk)
    if reason := why_not_retired(place):
        messages.error(request, reason)
    elif Count.objects.open().filter(place=place).exists():
        messages.error(request, f"{place} is being counted. Close or drop the count first.")
    elif place.retired_at is None:
        place.retired_at = timezone.now()
        place.save()
        messages.success(request, f"{place} is retired. Whoever writes its name on a piece takes it back.")
    return redirect("place", place.pk)


@require_POST
@keepers_only
@transaction.atomic
def place_unretire(request, pk):
    place = get_object_or_404(Location.objects.select_for_update(), pk=pk)
    place.take_back()
    messages.success(request, f"{place} is in use.")
    return redirect("place", place.pk)
