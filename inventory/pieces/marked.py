"""A range that is marked on one collet, which beats the figures of its series."""

from inventory.measures.lengths import Length, exact
from inventory.models import SeriesShape, Size


def a_marked_size(figures: SeriesShape, nominal: Length, *, smallest: Length, largest: Length) -> Size:
    """This nominal with this range of its own, not saved."""
    fresh = Size(
        series=figures.series,
        shape=figures.shape,
        nominal=nominal,
        clamps_from=smallest,
        clamps_to=largest,
        is_marked=True,
    )
    fresh.follow(figures)
    return fresh


def marked_size(figures: SeriesShape, nominal: Length, *, smallest: Length, largest: Length) -> Size:
    """The row of this nominal with this range of its own, made where there is none yet."""
    fresh = a_marked_size(figures, nominal, smallest=smallest, largest=largest)
    found, _ = Size.objects.get_or_create(
        series=figures.series,
        shape=figures.shape,
        nominal=nominal,
        clamps_from=smallest,
        clamps_to=largest,
        is_marked=True,
        defaults={
            name: getattr(fresh, name) for name in ("true_from", "true_to", "edge_bottom", "edge_top", "typical_tir")
        },
    )
    return found


def what_is_wrong(nominal: Length, smallest: Length | None, largest: Length | None) -> str:
    """Why these cannot be the marked limits of a collet of this size; empty where they can, or where both are empty."""
    if smallest is None and largest is None:
        return ""
    if smallest is None or largest is None:
        return "A marked range has two ends. Write both, or leave both empty."
    if smallest <= nominal <= largest:
        return ""
    return f"{exact(smallest)} to {exact(largest)} does not reach the size that is marked, {exact(nominal)}."
