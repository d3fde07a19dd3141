"""What stands on a label: of a place what belongs there, of a piece its tag and size."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from django.urls import reverse

from inventory.lengths import nominal
from inventory.models import Location, Tool

LINES = 6
"""Of what belongs in a place, before `and 12 more`."""


@dataclass(frozen=True)
class Label:
    """The words of one label; `path` is the page that its code opens."""

    name: str
    lines: tuple[str, ...]
    path: str


def of_place(place: Location, *, most: int = LINES) -> Label:
    """Name what belongs in the place, or which places are inside it."""
    inside = [f"in {place.path_outside}"] if place.parent_id else []
    return Label(place.name, tuple(inside + belongings(place, most=most)), reverse("place", args=[place.pk]))


def of_piece(tool: Tool) -> Label:
    """For the slot that the piece lies in."""
    place = [f"in {tool.location.path}"] if tool.location else []
    return Label(tool.tag, (tool.what, *place), tool.get_absolute_url())


def belongings(place: Location, *, most: int) -> list[str]:
    """What belongs there, collets by their series and range, each other piece by its tag; then how many more."""
    pieces = list(place.tools.in_book().for_list().order_by("tag"))
    told = _runs([piece for piece in pieces if piece.size_id])
    told += [(f"{piece.tag} {piece.what}", 1) for piece in pieces if not piece.size_id]
    if not told:
        told = [(name, 1) for name in place.inside.order_by("name").values_list("name", flat=True)]
    shown = told[:most]
    more = sum(count for _, count in told[most:])
    return [words for words, _ in shown] + ([f"and {more} more"] if more else [])


def _runs(collets: list[Tool]) -> list[tuple[str, int]]:
    """`5C round 1/16 to 1-1/16, 18 pieces` for each series and shape, with how many pieces that are."""
    runs = defaultdict(list)
    for collet in collets:
        runs[collet.size.series.code, collet.size.shape].append(collet.size.nominal)
    return [(_run(*key, sizes), len(sizes)) for key, sizes in sorted(runs.items())]


def _run(series: str, shape: str, sizes: list) -> str:
    smallest, largest = nominal(min(sizes)), nominal(max(sizes))
    if len(sizes) == 1:
        return f"{series} {shape} {smallest}"
    reach = smallest if smallest == largest else f"{smallest} to {largest}"
    return f"{series} {shape} {reach}, {len(sizes)} pieces"
