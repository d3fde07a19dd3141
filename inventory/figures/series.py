"""A shop's own figures for a series in one shape: what they would change, and keeping them in one step."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from msgspec import Struct

from inventory.figures.builtin import FIGURES
from inventory.figures.steps import Steps
from inventory.measures.length_words import shown
from inventory.measures.lengths import Length, exact
from inventory.models import SeriesShape, Size, User
from inventory.models.sizes import FOLLOWING
from inventory.reference.collets import builtin_series


class OwnFigure(Struct, frozen=True, kw_only=True):
    """A figure that a shop may have of its own: the column of SeriesShape, and how its form asks for it.

    A `size` is above zero; anything else is a distance from nominal and may be 0.
    """

    name: str
    label: str
    meaning: str
    is_size: bool = False
    is_needed: bool = False


OWN_FIGURES = (
    OwnFigure(
        name="closes_by",
        label="Closes, under nominal, by",
        meaning="How far below its marked size such a collet may still grip.",
        is_needed=True,
    ),
    OwnFigure(
        name="opens_by",
        label="Opens, over nominal, by",
        meaning="How far above its marked size it may still grip.",
        is_needed=True,
    ),
    OwnFigure(
        name="small_closes_by",
        label="Small sizes close by",
        meaning="For the small sizes of the series, where they close by less than the others.",
    ),
    OwnFigure(
        name="small_upto",
        label="Small sizes reach up to",
        meaning="The largest marked size that counts as a small one.",
        is_size=True,
    ),
    OwnFigure(
        name="true_under",
        label="Runs as marked to, under nominal",
        meaning="The true zone: how far below its marked size a collet still runs as true as it is marked.",
    ),
    OwnFigure(
        name="true_over", label="Runs as marked to, over nominal", meaning="The true zone above the marked size."
    ),
    OwnFigure(
        name="edge_bottom",
        label="Edge allowance at the bottom",
        meaning="Nearer than this to its smallest grip an answer says: at the limit.",
        is_needed=True,
    ),
    OwnFigure(
        name="edge_top",
        label="Edge allowance at the top",
        meaning="Nearer than this to its largest grip an answer says: at the limit.",
        is_needed=True,
    ),
    OwnFigure(
        name="smallest",
        label="Smallest nominal",
        meaning="The smallest size that the series is made in.",
        is_size=True,
    ),
    OwnFigure(
        name="largest", label="Largest nominal", meaning="The largest size that the series is made in.", is_size=True
    ),
    OwnFigure(
        name="passes",
        label="Round bar passes up to",
        meaning="What goes through the back of such a collet, whatever its size.",
        is_size=True,
    ),
    OwnFigure(
        name="passes_with_stop_thread",
        label="Passes a stop thread up to",
        meaning="The same, where a thread for a stop is cut inside.",
        is_size=True,
    ),
    OwnFigure(
        name="typical_tir",
        label="Typical TIR",
        meaning="The full swing that counts for a good one of which nothing was measured.",
    ),
)
"""The ladder of usual sizes and the source are the tables' alone."""
FigureValues = Mapping[str, Length | None]


class SizeChange(Struct, frozen=True):
    """One size and what it would become."""

    before: Size
    after: Size


def values_of(figures: SeriesShape) -> dict[str, Length | None]:
    """What counts now."""
    return {own.name: getattr(figures, own.name) for own in OWN_FIGURES}


def built_in(figures: SeriesShape) -> dict[str, Length | None]:
    """What the tables say for it; empty where no table has the series."""
    row = builtin_series(figures.series.code, figures.shape)
    return {own.name: getattr(row, own.name) for own in OWN_FIGURES} if row is not None else {}


def own_figures(figures: SeriesShape) -> list[str]:
    """The names of the figures in which the shop differs from the tables."""
    return [name for name, value in built_in(figures).items() if getattr(figures, name) != value]


def steps_of(figures: SeriesShape) -> Steps:
    """The sizes that it is made in, as they were said."""
    return Steps(step=figures.ladder_step, sizes=figures.listed_sizes)


def ladder_of(steps: Steps, smallest: Length | None, largest: Length | None) -> dict[str, Any]:
    """The columns of a series and shape that say which sizes there are."""
    is_stepped = steps.step is not None
    return {
        "ladder_step": steps.step,
        "ladder_from": smallest if is_stepped else None,
        "ladder_to": largest if is_stepped else None,
        "ladder_sizes": "; ".join(exact(size) for size in steps.sizes),
    }


def in_words(value: Length | None) -> str:
    """A figure as a page shows it; a distance can be 0."""
    if value is None:
        return "not known"
    return shown(value) if value.nm else "0"


def what_changes(figures: SeriesShape, values: FigureValues) -> list[SizeChange]:
    """The sizes that would change with these figures; nothing is kept, and `figures` has them afterwards."""
    _put(figures, values)
    changes = []
    for size in Size.objects.filter(series=figures.series, shape=figures.shape).select_related("series"):
        after = Size(**{field.attname: getattr(size, field.attname) for field in Size._meta.concrete_fields})
        after.series = size.series
        after.follow(figures)
        if any(getattr(size, name) != getattr(after, name) for name in FOLLOWING):
            changes.append(SizeChange(size, after))
    return changes


@transaction.atomic
def keep(figures: SeriesShape, values: FigureValues, *, by: User, ladder: Mapping[str, Any] | None = None) -> int:
    """Keep the figures and bring every size to them, or nothing at all; returns how many sizes changed.

    Figures that are those of the tables again are no longer the shop's, and follow the tables. The `ladder` is asked of
    the shop's own series alone.
    """
    changes = what_changes(figures, values)
    figures.changed_by = by
    for name, value in (ladder or {}).items():
        setattr(figures, name, value)
    if not figures.is_own and not own_figures(figures):
        figures.changed_by = None
        row = builtin_series(figures.series.code, figures.shape)
        _put(figures, {name: getattr(row, name) for name in FIGURES})
    figures.save()
    figures.recompute_sizes()
    return len(changes)


def _put(figures: SeriesShape, values: FigureValues) -> None:
    for name, value in values.items():
        setattr(figures, name, value)
