"""A shop's own figures for a series in one shape: what they would change, and keeping them in one step."""

from __future__ import annotations

from django.db import transaction
from msgspec import Struct

from inventory.figures.builtin import FIGURES
from inventory.measures.lengths import Length, shown
from inventory.models import SeriesShape, Size
from inventory.reference.collets import builtin_series

OWN = (
    "closes_by", "opens_by", "small_closes_by", "small_upto", "true_under", "true_over", "edge_bottom", "edge_top",
    "smallest", "largest", "passes", "passes_with_stop_thread", "typical_tir",
)  # fmt: skip
"""The figures that a shop may have of its own; the ladder of usual sizes and the source stay."""
_FOLLOWS = ("clamps_from", "clamps_to", "true_from", "true_to", "edge_bottom", "edge_top", "typical_tir")


class SizeChange(Struct, frozen=True):
    """One size and what it would become."""

    before: Size
    after: Size


def built_in(figures: SeriesShape) -> dict[str, Length | None]:
    """What the tables say for it; empty where no table has the series."""
    row = builtin_series(figures.series.code, figures.shape)
    return {name: getattr(row, name) for name in OWN} if row is not None else {}


def own_figures(figures: SeriesShape) -> list[str]:
    """The names of the figures in which the shop differs from the tables."""
    return [name for name, value in built_in(figures).items() if getattr(figures, name) != value]


def in_words(value: Length | None) -> str:
    """A figure as a page shows it; a deviation can be 0."""
    if value is None:
        return "not known"
    return shown(value) if value.nm else "0"


def what_changes(figures: SeriesShape, values: dict[str, Length | None]) -> list[SizeChange]:
    """The sizes that would change with these figures; nothing is kept, and `figures` has them afterwards."""
    _put(figures, values)
    changes = []
    for size in Size.objects.filter(series=figures.series, shape=figures.shape).select_related("series"):
        after = Size(**{field.attname: getattr(size, field.attname) for field in Size._meta.concrete_fields})
        after.series = size.series
        after.follow(figures)
        if any(getattr(size, name) != getattr(after, name) for name in _FOLLOWS):
            changes.append(SizeChange(size, after))
    return changes


@transaction.atomic
def keep(figures: SeriesShape, values: dict[str, Length | None], *, by) -> int:
    """Keep the figures and bring every size to them, or nothing at all; returns how many sizes changed.

    Figures that are those of the tables again are no longer the shop's, and follow the tables.
    """
    changes = what_changes(figures, values)
    figures.changed_by = by
    if not own_figures(figures):
        figures.changed_by = None
        row = builtin_series(figures.series.code, figures.shape)
        _put(figures, {name: getattr(row, name) for name in FIGURES})
    figures.save()
    figures.recompute_sizes()
    return len(changes)


def _put(figures: SeriesShape, values: dict) -> None:
    for name, value in values.items():
        setattr(figures, name, value)
