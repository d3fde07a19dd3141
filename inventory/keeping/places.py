"""The places as a tree, the form of one, and what may be done to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, cast

from django import forms
from django.db import IntegrityError, transaction
from django.db.models import Count as Number
from django.utils.text import capfirst

from inventory.measures.inputs import say_plainly
from inventory.models import Count, CountedStock, JawSet, Location, Tool
from inventory.web.editing import RowForm


@dataclass
class Branch:
    """One place, the places inside it, and how many pieces belong in it and in all that is inside it."""

    place: Location
    own: int = 0
    inside: list[Branch] = field(default_factory=list)

    @property
    def pieces(self) -> int:
        return self.own + sum(branch.pieces for branch in self.inside)


def in_depth(branches: list[Branch], around: str = "") -> Iterator[tuple[Branch, str]]:
    """Each place after what it stands in, with the way to it."""
    for branch in branches:
        yield branch, around
        yield from in_depth(branch.inside, f"{around}, {branch.place.called}" if around else branch.place.called)


def tree() -> list[Branch]:
    """All places in use, the outermost first, each level by name; in two queries."""
    own = dict(Tool.objects.in_book().order_by().values_list("location").annotate(pieces=Number("pk")))
    branches: dict[int | None, Branch] = {
        place.pk: Branch(place, own.get(place.pk, 0)) for place in Location.objects.in_use().order_by("name")
    }
    outermost: list[Branch] = []
    for branch in branches.values():
        around = branches.get(branch.place.parent_id)
        (around.inside if around else outermost).append(branch)
    return outermost


def inside_of(place: Location) -> set[int]:
    """The keys of all places inside this one, to any depth, and its own."""
    below: dict[int | None, list[int]] = {}
    for pk, parent in Location.objects.values_list("pk", "parent"):
        below.setdefault(parent, []).append(pk)
    inside: set[int] = set()
    to_look_at = [place.pk]
    while to_look_at:
        key = to_look_at.pop()
        if key not in inside:
            inside.add(key)
            to_look_at += below.get(key, ())
    return inside


def place_named(name: str) -> Location:
    """The place of this name in whatever case, in use again where it was retired; a new one is made."""
    called_so = Location.objects.filter(name__iexact=name)
    if place := called_so.first():
        place.take_back()
        return place
    try:
        with transaction.atomic():
            return Location.objects.create(name=name)
    except IntegrityError:
        # Somebody wrote the same new name a moment ago.
        return called_so.get()


def why_not_inside(place: Location, parent: Location | None) -> str:
    """Why this place cannot stand in that one; empty where it can."""
    if parent is None or place.pk is None or parent.pk not in inside_of(place):
        return ""
    if parent.pk == place.pk:
        return f"{place} cannot stand in itself."
    return f"{parent} stands in {place}, so {place} cannot stand in {parent}."


def why_not_retired(place: Location) -> str:
    """Why the place cannot be retired: what is still there, or a count of it; empty where it can."""
    left = [
        (place.inside.in_use().count(), "place", "places"),
        (Tool.objects.in_book().filter(location=place).count(), "piece", "pieces"),
        (JawSet.objects.filter(location=place, retired_at=None).count(), "set of jaws", "sets of jaws"),
        (CountedStock.objects.filter(location=place, count__gt=0).count(), "counted thing", "counted things"),
    ]
    there = [f"{count} {one if count == 1 else several}" for count, one, several in left if count]
    if there:
        return f"{capfirst(place.called)} is not empty: {', '.join(there)}. Move what is there first."
    if Count.objects.open().filter(place=place).exists():
        return f"{capfirst(place.called)} is being counted. Close or drop the count first."
    return ""


class PlaceForm(RowForm):
    """A place: its name, and in which other one it stands."""

    class Meta:
        model = Location
        fields = ("name", "parent")

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, instance: Location | None = None, stands_in: str | None = None
    ) -> None:
        initial: dict[str, Any] = {} if stands_in is None else {"parent": stands_in}
        super().__init__(data, instance=instance, initial=initial)
        parent = cast("forms.ModelChoiceField[Location]", self.fields["parent"])
        known = Location.objects.in_use() | Location.objects.filter(pk=self.instance.parent_id)
        parent.queryset = known.exclude(pk=self.instance.pk)
        paths = Location.objects.paths()
        in_order = sorted((paths.get(pk, ""), pk) for pk in parent.queryset.values_list("pk", flat=True))
        nothing = ("", "nothing: it stands by itself")
        parent.choices = [nothing, *((pk, path) for path, pk in in_order)]
        parent.help_text = "A drawer in a cabinet, a cabinet in the crib. What is in it moves with it."
        self.fields["name"].help_text = "As it stands on the drawer, at most 60 characters."
        say_plainly(self.fields, {"name": "E2"})

    def clean_name(self) -> str:
        name = " ".join(self.cleaned_data["name"].split())
        same = Location.objects.filter(name__iexact=name).exclude(pk=self.instance.pk).first()
        if same is not None and same.retired_at is not None:
            raise forms.ValidationError(f"{same} is the name of a retired place. Take that one back, or write another.")
        if same is not None:
            where = f" in {same.path_outside}" if same.parent_id else ""
            raise forms.ValidationError(f"There is a place {same}{where} already. Write another name.")
        return name

    def clean_parent(self) -> Location | None:
        parent: Location | None = self.cleaned_data["parent"]
        if reason := why_not_inside(self.instance, parent):
            raise forms.ValidationError(reason)
        return parent

    def tell_taken(self) -> bool:
        self.add_error("name", "There is a place with this name already, perhaps among the retired.")
        return True
