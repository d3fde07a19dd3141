"""What stands on a label: of a place what belongs there, of a piece its tag and size."""

from __future__ import annotations

from collections import defaultdict

from django.db.models import Prefetch
from django.urls import reverse
from msgspec import Struct

from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length
from inventory.models import Location, Tool
from inventory.reference.place_words import drawer_code

WITH_BELONGINGS = (
    Prefetch("tools", Tool.objects.in_book().for_line().order_by("tag")),
    Prefetch("inside", Location.objects.order_by("name")),
)
"""What places are fetched with, so that many cost no more queries than one."""
LINES = 6
"""Of what belongs in a place, before `and 12 more`."""


class Belonging(Struct, frozen=True):
    """One line of what belongs in a place, and how many pieces, or places inside it, that line stands for."""

    words: str
    count: int = 1


class Label(Struct, frozen=True):
    """The words of one label; `path` is the page that its code opens, `stands_in` what its place is inside."""

    name: str
    belongings: tuple[Belonging, ...]
    stands_in: str
    path: str
    tag: str = ""
    """Of a piece whose label has its size as its name."""
    drawer: str = ""
    """Where a piece lies, without what that stands in: it is on every label."""

    @property
    def words(self) -> str:
        return f"{self.name} {self.tag}".strip()


def of_place(place: Location, *, most: int = LINES) -> Label:
    """Name what belongs in the place, or which places are inside it."""
    lines = shortened(belongings(place), most=most)
    word = "drawer " if drawer_code(place.name) else ""
    stands_in = f"{word}in {place.path_outside}" if place.parent_id else word.strip()
    return Label(drawer_code(place.name) or place.name, lines, stands_in, reverse("place", args=[place.pk]))


def of_piece(tool: Tool) -> Label:
    """For the slot that the piece lies in: what is looked for stands first, the size where it has one, else the tag."""
    drawer, stands_in = (tool.location.called, f"in {tool.location.path}") if tool.location else ("", "")
    if tool.size:
        sort = f"{tool.size.series.code} {tool.size.shape}"
        lines = (Belonging(sort), Belonging(tool.tag))
        return Label(nominal(tool.size.nominal), lines, stands_in, tool.get_absolute_url(), tag=tool.tag, drawer=drawer)
    return Label(tool.tag, (Belonging(tool.what),), stands_in, tool.get_absolute_url(), drawer=drawer)


def belongings(place: Location) -> tuple[Belonging, ...]:
    """Collets by their series and range, each other piece by its tag; of a place without pieces what is inside it.

    The place comes with WITH_BELONGINGS.
    """
    pieces = list(place.tools.all())
    lines = _runs([piece for piece in pieces if piece.size_id])
    lines += [Belonging(f"{piece.tag} {piece.what}") for piece in pieces if not piece.size_id]
    return tuple(lines or map(Belonging, (inside.name for inside in place.inside.all())))


def shortened(lines: tuple[Belonging, ...], *, most: int) -> tuple[Belonging, ...]:
    """At most `most` lines, and one that counts what the others would have said."""
    if len(lines) <= most:
        return lines
    left_out = sum(belonging.count for belonging in lines[most:])
    return (*lines[:most], Belonging(f"and {left_out} more", left_out))


def _runs(collets: list[Tool]) -> list[Belonging]:
    """`5C round 1/16 to 1-1/16, 18 pcs` for each series and shape."""
    runs: defaultdict[tuple[str, str], list[Length]] = defaultdict(list)
    for size in filter(None, (collet.size for collet in collets)):
        runs[size.series.code, size.shape].append(size.nominal)
    return [Belonging(_run(*key, sizes), len(sizes)) for key, sizes in sorted(runs.items())]


def _run(series: str, shape: str, sizes: list[Length]) -> str:
    smallest, largest = nominal(min(sizes)), nominal(max(sizes))
    if len(sizes) == 1:
        return f"{series} {shape} {smallest}"
    reach = smallest if smallest == largest else f"{smallest} to {largest}"
    return f"{series} {shape} {reach}, {len(sizes)} pcs"
