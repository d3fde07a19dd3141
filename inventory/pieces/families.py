"""What a crib has, as one looks for it: families of pieces with how many of each, and cabinets with their drawers."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable

from django.db.models import Count, Max, Min
from msgspec import Struct

from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length
from inventory.models import Kind, Location, Tool
from inventory.models.kinds import COLLETS, GROUPS


class AlikePieces(Struct, frozen=True):
    """The pieces of one kind, series and shape that belong in one place; the smallest and largest size of them."""

    place_id: int | None
    kind: str
    series: str
    shape: str
    count: int
    smallest: Length | None
    largest: Length | None


class Family(Struct, frozen=True):
    """`5C round`, or `chucks`: its words, how many there are, and how the list is narrowed to it."""

    words: str
    count: int
    narrowed: dict[str, str]


class Drawer(Struct, frozen=True):
    """A place as it is drawn: what belongs in it in a word or two, how many, and what stands inside it."""

    place: Location
    words: str
    count: int
    inside: list[Drawer]

    @property
    def count_of_all(self) -> int:
        return self.count + sum(drawer.count_of_all for drawer in self.inside)

    @property
    def count_of_places(self) -> int:
        return 1 + sum(drawer.count_of_places for drawer in self.inside)

    def opened_to(self, depth: int) -> Drawer:
        """The same, with what stands deeper inside than this closed, where there is too much to draw all of it."""
        if depth and self.inside:
            return Drawer(self.place, self.words, self.count, [one.opened_to(depth - 1) for one in self.inside])
        words = f"{len(self.inside)} places in it" if self.inside else self.words
        return Drawer(self.place, words, self.count_of_all, [])


def all_alike_pieces() -> list[AlikePieces]:
    """The whole book in one query."""
    rows = Tool.objects.in_book().order_by().values_list("location", "kind", "size__series__code", "size__shape")
    counted = rows.annotate(
        number=Count("pk"), smallest=Min("size__nominal"), largest=Max("size__nominal")
    )  # fmt: skip
    return [
        AlikePieces(place, kind, series or "", shape or "", number, smallest, largest)
        for place, kind, series, shape, number, smallest, largest in counted
    ]


def families(likes: Iterable[AlikePieces]) -> list[Family]:
    """Collets by series and shape, the most first; then what has no size by its group."""
    runs: defaultdict[tuple[str, str], int] = defaultdict(int)
    kinds: defaultdict[str, int] = defaultdict(int)
    groups: defaultdict[str, int] = defaultdict(int)
    for one in likes:
        if one.series:
            runs[one.series, one.shape] += one.count
        elif one.kind in COLLETS:
            kinds[one.kind] += one.count
        else:
            groups[_group_of(one.kind)] += one.count
    ranked = [
        Family(f"{series} {shape}", count, {"series": series, "shape": shape})
        for (series, shape), count in sorted(runs.items(), key=lambda run: (-run[1], run[0]))
    ]
    if blanks := kinds.pop(Kind.MACHINABLE_COLLET, 0):
        ranked.append(Family("blanks to bore", blanks, {"text": "blank"}))
    ranked += [Family(f"{kind}s", count, {"kind": kind}) for kind, count in kinds.items()]
    return ranked + [Family(group, groups[group], {"group": group}) for group in GROUPS if groups[group]]


def _group_of(kind: str) -> str:
    return next(group for group, kinds in GROUPS.items() if kind in kinds)


def cabinets(likes: Iterable[AlikePieces]) -> list[Drawer]:
    """The places in use as they stand in one another, the outermost first, each level by name, A9 before A10."""
    own: defaultdict[int | None, list[AlikePieces]] = defaultdict(list)
    for one in likes:
        own[one.place_id].append(one)
    places = sorted(Location.objects.in_use(), key=_by_name)
    keys = {place.pk for place in places}
    inside: defaultdict[int | None, list[Location]] = defaultdict(list)
    for place in places:
        inside[place.parent_id if place.parent_id in keys else None].append(place)

    def drawn(place: Location) -> Drawer:
        mine = own[place.pk]
        return Drawer(place, in_short(mine), sum(one.count for one in mine), [drawn(one) for one in inside[place.pk]])

    return [drawn(place) for place in inside[None]]


def _by_name(place: Location) -> list[tuple[int, str]]:
    return [(int(part), "") if part.isdecimal() else (-1, part) for part in re.split(r"([0-9]+)", place.name.lower())]


def in_short(likes: Iterable[AlikePieces], most: int = 2) -> str:
    """`5C round 1/16 to 13/32, live centers`: of what is there the most first."""
    by_family: defaultdict[str, list[AlikePieces]] = defaultdict(list)
    for one in likes:
        by_family[f"{one.series} {one.shape}" if one.series else one.kind].append(one)
    ranked = sorted(by_family.items(), key=lambda family: (-sum(one.count for one in family[1]), family[0]))
    runs = [_run(words, ones) for words, ones in ranked[:most]]
    return ", ".join(runs) + (" …" if len(ranked) > most else "")


def _run(words: str, likes: list[AlikePieces]) -> str:
    sizes = [size for one in likes for size in (one.smallest, one.largest) if size is not None]
    if not sizes:
        return words if sum(one.count for one in likes) == 1 else f"{words}s"
    smallest, largest = nominal(min(sizes)), nominal(max(sizes))
    return f"{words} {smallest}" if smallest == largest else f"{words} {smallest} to {largest}"
