"""The places as a tree, and what may be done to one."""

from __future__ import annotations

from dataclasses import dataclass, field

from django.db.models import Count

from inventory.models import CountedStock, JawSet, Location, Tool


@dataclass
class Branch:
    """One place, the places inside it, and how many pieces belong in it and in all that is inside it."""

    place: Location
    own: int = 0
    inside: list[Branch] = field(default_factory=list)

    @property
    def pieces(self) -> int:
        return self.own + sum(branch.pieces for branch in self.inside)


def tree() -> list[Branch]:
    """All places in use, the outermost first, each level by name; in two queries."""
    counted = Tool.objects.in_book().order_by().values_list("location").annotate(pieces=Count("pk"))
    own = dict(counted)
    branches = {place.pk: Branch(place, own.get(place.pk, 0)) for place in Location.objects.in_use().order_by("name")}
    outermost = []
    for branch in branches.values():
        around = branches.get(branch.place.parent_id)
        (around.inside if around else outermost).append(branch)
    return outermost


def inside_of(place: Location) -> set[int]:
    """The keys of all places inside this one, to any depth, and its own."""
    below: dict[int | None, list[int]] = {}
    for pk, parent in Location.objects.values_list("pk", "parent"):
        below.setdefault(parent, []).append(pk)
    found, to_look_at = set(), [place.pk]
    while to_look_at:
        key = to_look_at.pop()
        if key not in found:
            found.add(key)
            to_look_at += below.get(key, ())
    return found


def why_not_inside(place: Location, parent: Location | None) -> str:
    """Why this place cannot stand in that one; empty where it can."""
    if parent is None or place.pk is None or parent.pk not in inside_of(place):
        return ""
    if parent.pk == place.pk:
        return f"{place} cannot stand in itself."
    return f"{parent} stands in {place}, so {place} cannot stand in {parent}."


def why_not_retired(place: Location) -> str:
    """What is still there, so that the place cannot be retired; empty where it can."""
    left = [
        (place.inside.in_use().count(), "place"),
        (Tool.objects.in_book().filter(location=place).count(), "piece"),
        (JawSet.objects.filter(location=place, retired_at=None).count(), "set of jaws"),
        (CountedStock.objects.filter(location=place, count__gt=0).count(), "counted thing"),
    ]
    there = [f"{count} {words if count == 1 else _several(words)}" for count, words in left if count]
    return f"{place} is not empty: {', '.join(there)}. Move what is there first." if there else ""


def _several(words: str) -> str:
    return "sets of jaws" if words == "set of jaws" else f"{words}s"
