"""The good rows of a sheet into the book, many at a time.

What `PieceForm.save` does for one piece, in a few statements for thousands: the pieces, the looks that their rows
report, and an entry in the history of each.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import OuterRef, Subquery

from inventory.models import Inspection, Move, Tool
from inventory.transfer.outcomes import Outcome, Verdict


def write(outcomes: Iterable[Outcome], *, by) -> None:
    """Save the pieces of these outcomes as they would be; to be called within a transaction."""
    good = list(outcomes)
    new = [outcome.after for outcome in good if outcome.verdict is Verdict.NEW]
    changed = [outcome.after for outcome in good if outcome.verdict is Verdict.CHANGED]
    Tool.objects.bulk_create(new)
    _keep_looks([outcome for outcome in good if outcome.look is not None], by)
    _point_to_readings([tool for tool in new if tool.reading_id is not None])
    moves = Tool.moves_of(changed)
    _save_changed(changed)
    Move.objects.keep(moves, by=by)
    for tool in (*new, *changed):
        tool.keep_heights()
    Tool.history.bulk_history_create(new, default_user=by)
    Tool.history.bulk_history_create(changed, default_user=by, update=True)


def _keep_looks(outcomes: list[Outcome], by) -> None:
    for outcome in outcomes:
        outcome.look.tool, outcome.look.recorded_by = outcome.after, by
    Inspection.objects.bulk_create([outcome.look for outcome in outcomes])
    for outcome in outcomes:
        if outcome.look.tir is not None:
            outcome.after.reading = outcome.look


def _point_to_readings(tools: list[Tool]) -> None:
    """A new piece has one look at most, and that is its reading: one statement for all of them."""
    its_look = Inspection.objects.filter(tool=OuterRef("pk")).order_by().values("pk")
    keys = [tool.pk for tool in tools]
    for start in range(0, len(keys), 5_000):  # a statement takes so many values only
        Tool.objects.filter(pk__in=keys[start : start + 5_000]).update(reading=Subquery(its_look))


def _save_changed(tools: list[Tool]) -> None:
    """All columns of each, as saving one by one does; an insert that meets the piece's own key becomes an update."""
    columns = [field.name for field in Tool._meta.concrete_fields if not field.primary_key]
    Tool.objects.bulk_create(tools, update_conflicts=True, unique_fields=["id"], update_fields=columns)
