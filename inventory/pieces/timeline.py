"""All that happened to one piece, in one order of time: edits, looks, loans, moves, counts, mountings."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from msgspec import Struct

from inventory.measures.lengths import shown
from inventory.models import Count, Inspection, Lathe, Tool
from inventory.models.kinds import Place
from inventory.web.changes import what_changed

HEADINGS = ("when", "who", "what", "in words")
_TOLD_OTHERWISE = {
    "reading", "tir", "inspected_on", "finding", "location", "mounted_on", "mounted_at", "mounted_in",
}  # fmt: skip
"""Columns whose changes are told by a look, a move or a mounting."""


class Event(Struct, frozen=True):
    """One thing that happened: when, by whom (empty where nobody knows), of what sort, and in words."""

    at: datetime
    by: str
    sort: str
    words: str

    @property
    def as_row(self) -> tuple[str, ...]:
        return self.at.isoformat(timespec="seconds"), self.by, self.sort, self.words


def timeline_of(tool: Tool) -> list[Event]:
    """The newest first."""
    found = [*_edits(tool), *_looks(tool), *_loans(tool), *_moves(tool), *_counts(tool)]
    return sorted(found, key=lambda event: event.at, reverse=True)


def _edits(tool: Tool) -> Iterator[Event]:
    """What the entries of the history say beyond looks and moves, and what they say of lathes."""
    entries = list(tool.history.select_related("history_user"))
    lathes, tags = dict(Lathe.objects.values_list("pk", "name")), _tags_of_holders(entries)
    for entry, before in pairwise([*entries, None]):
        by = str(entry.history_user) if entry.history_user else "Gripbook"
        if before is None:
            yield Event(entry.history_date, by, "entered", "entered in the book")
            continue
        if words := what_changed(entry, before, also_excluded=_TOLD_OTHERWISE):
            yield Event(entry.history_date, by, "edit", words)
        if words := _mounted(entry, before, lathes, tags):
            yield Event(entry.history_date, by, "mounting", words)


def _tags_of_holders(entries) -> dict[int, str]:
    keys = {entry.mounted_in_id for entry in entries} - {None}
    return dict(Tool.objects.filter(pk__in=keys).values_list("pk", "tag")) if keys else {}


def _mounted(entry, before, lathes: dict[int, str], tags: dict[int, str]) -> str:
    now = (entry.mounted_on_id, entry.mounted_at, entry.mounted_in_id)
    if now == (before.mounted_on_id, before.mounted_at, before.mounted_in_id):
        return ""
    if entry.mounted_on_id is None:
        return f"taken off {lathes.get(before.mounted_on_id, 'a lathe')}"
    where = f", {Place(entry.mounted_at).label}" if entry.mounted_at else ""
    where = f", in {tags.get(entry.mounted_in_id, 'a holder')}" if entry.mounted_in_id else where
    return f"put on {lathes.get(entry.mounted_on_id, 'a lathe')}{where}"


def _looks(tool: Tool) -> Iterator[Event]:
    looks = tool.inspections.select_related("recorded_by", "in_holder", "on_lathe", "corrected_by", "corrects")
    for look in looks:
        yield Event(look.recorded_at, str(look.recorded_by or ""), "inspection", _seen(look))


def _seen(look: Inspection) -> str:
    parts = [
        f"{shown(look.tir)} TIR" if look.tir is not None else "no reading",
        f"{shown(look.tir_far)} TIR at {shown(look.far_at)} from the nose" if look.tir_far is not None else "",
        "bare" if look.is_bare else f"in {look.in_holder}" if look.in_holder else "",
        f"on {look.on_lathe}" if look.on_lathe else "",
        look.finding,
        f"called {look.verdict}" if look.verdict else "",
        " ".join(look.note.split()),
        f"corrects the look of {look.corrects.day.isoformat()}" if look.corrects else "",
        "corrected since" if look.is_corrected else "",
    ]
    day = look.taken_on.isoformat() if look.taken_on else "undated"
    return f"{day}: {', '.join(part for part in parts if part)}"


def _loans(tool: Tool) -> Iterator[Event]:
    for loan in tool.loans.select_related("borrower", "issued_by", "returned_by", "lathe"):
        back = f", expected back {loan.due_on.isoformat()}" if loan.due_on else ""
        lathe = f" for {loan.lathe}" if loan.lathe else ""
        yield Event(
            loan.issued_at, str(loan.issued_by or loan.borrower), "issued", f"issued to {loan.borrower}{lathe}{back}"
        )
        if loan.returned_at is not None:
            # Who brought it was not kept in older books.
            yield Event(loan.returned_at, str(loan.returned_by or ""), "returned", f"returned for {loan.borrower}")


def _moves(tool: Tool) -> Iterator[Event]:
    for move in tool.moves.select_related("from_place", "to_place", "by"):
        words = f"moved from {move.from_place or 'no place'} to {move.to_place or 'no place'}"
        yield Event(move.at, str(move.by or "Gripbook"), "moved", words)


def _counts(tool: Tool) -> Iterator[Event]:
    ended = Count.objects.exclude(ended_at=None)
    lines = tool.count_lines.filter(count__in=ended).select_related("count__place", "count__ended_by", "by")
    for line in lines:
        came_of_it = "count dropped" if line.count.is_dropped else line.outcome
        words = f"counted in {line.count.place}: {line.get_answer_display()}"
        yield Event(line.count.ended_at, str(line.by), "counted", f"{words}; {came_of_it}" if came_of_it else words)
