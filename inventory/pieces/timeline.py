"""All that happened to one piece, in one order of time: edits, inspections, loans, reservations, moves, counts,
mountings."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from django.db.models import Q
from django.utils import timezone
from msgspec import Struct

from inventory.keeping.holders import holds, is_held
from inventory.measures.day_words import shown as day_shown
from inventory.measures.length_words import shown
from inventory.models import HeldTool, Inspection, Lathe, Tool
from inventory.models.kinds import Place
from inventory.web.changes import what_changed

HEADINGS = ("when", "who", "what", "in words")
_TOLD_OTHERWISE = {
    "reading", "tir", "inspected_on", "finding", "location", "mounted_on", "mounted_at", "mounted_in",
}  # fmt: skip
"""Columns whose changes are told by an inspection, a move or a mounting."""


class TimelineEvent(Struct, frozen=True):
    """One thing that happened: when, by whom (empty where nobody knows), of what sort, and in words."""

    at: datetime
    by: str
    sort: str
    words: str

    @property
    def as_row(self) -> tuple[str, ...]:
        return self.at.isoformat(timespec="seconds"), self.by, self.sort, self.words


def timeline_of(tool: Tool) -> list[TimelineEvent]:
    """The newest first."""
    events = [
        *_edits(tool),
        *_inspections(tool),
        *_loans(tool),
        *_reservations(tool),
        *_moves(tool),
        *_counts(tool),
        *_holder_events(tool),
    ]
    return sorted(events, key=lambda event: event.at, reverse=True)


def _edits(tool: Tool) -> Iterator[TimelineEvent]:
    """What the entries of the history say beyond inspections and moves, and what they say of lathes."""
    entries = list(tool.history.select_related("history_user").order_by("-history_id"))
    lathes, tags = dict(Lathe.objects.values_list("pk", "name")), _tags_of_holders(entries)
    for entry, before in pairwise([*entries, None]):
        by = str(entry.history_user) if entry.history_user else "Gripbook"
        if before is None:
            yield TimelineEvent(entry.history_date, by, "entered", "entered in Gripbook")
            continue
        if words := what_changed(entry, before, also_excluded=_TOLD_OTHERWISE):
            yield TimelineEvent(entry.history_date, by, "edit", words)
        if words := _mount_in_words(entry, before, lathes, tags):
            yield TimelineEvent(entry.history_date, by, "mounting", words)


def _tags_of_holders(entries) -> dict[int, str]:
    keys = {entry.mounted_in_id for entry in entries} - {None}
    return dict(Tool.objects.filter(pk__in=keys).values_list("pk", "tag")) if keys else {}


def _mount_in_words(entry, before, lathes: dict[int, str], tags: dict[int, str]) -> str:
    now = (entry.mounted_on_id, entry.mounted_at, entry.mounted_in_id)
    if now == (before.mounted_on_id, before.mounted_at, before.mounted_in_id):
        return ""
    if entry.mounted_on_id is None:
        return f"taken off {lathes.get(before.mounted_on_id, 'a lathe')}"
    where = f", {Place(entry.mounted_at).label}" if entry.mounted_at else ""
    where = f", in {tags.get(entry.mounted_in_id, 'a holder')}" if entry.mounted_in_id else where
    return f"put on {lathes.get(entry.mounted_on_id, 'a lathe')}{where}"


def _inspections(tool: Tool) -> Iterator[TimelineEvent]:
    rows = tool.inspections.select_related("recorded_by", "in_holder", "on_lathe", "corrected_by", "corrects")
    for row in rows:
        yield TimelineEvent(row.recorded_at, str(row.recorded_by or ""), "inspection", _inspection_in_words(row))


def _inspection_in_words(row: Inspection) -> str:
    parts = [
        f"{shown(row.tir)} TIR" if row.tir is not None else "no reading",
        f"{shown(row.tir_far)} TIR at {shown(row.far_at)} from the nose"
        if row.tir_far is not None and row.far_at is not None
        else "",
        "bare" if row.is_bare else f"in {row.in_holder}" if row.in_holder else "",
        f"on {row.on_lathe}" if row.on_lathe else "",
        row.finding,
        f"called {row.verdict}" if row.verdict else "",
        " ".join(row.note.split()),
        f"corrects the look of {day_shown(row.corrects.day)}" if row.corrects else "",
        "corrected since" if row.is_corrected else "",
    ]
    day = day_shown(row.taken_on) if row.taken_on else "undated"
    return f"{day}: {', '.join(part for part in parts if part)}"


def _loans(tool: Tool) -> Iterator[TimelineEvent]:
    for loan in tool.loans.select_related("borrower", "issued_by", "returned_by", "lathe", "sheet"):
        back = f", expected back {day_shown(loan.due_on)}" if loan.due_on else ""
        lathe = f" on {loan.lathe}" if loan.lathe and loan.sheet else f" for {loan.lathe}" if loan.lathe else ""
        job = f" for {loan.sheet}" if loan.sheet else ""
        issued_by = str(loan.issued_by or loan.borrower)
        yield TimelineEvent(loan.issued_at, issued_by, "issued", f"issued to {loan.borrower}{job}{lathe}{back}")
        if loan.returned_at is not None:
            # Who brought it was not kept in older books.
            returned_by = str(loan.returned_by or "")
            yield TimelineEvent(loan.returned_at, returned_by, "returned", f"returned for {loan.borrower}")


def _reservations(tool: Tool) -> Iterator[TimelineEvent]:
    for row in tool.reservations.select_related("sheet", "reserved_by", "lifted_by"):
        from_when = timezone.localtime(row.starts_at)
        words = f"reserved for {row.sheet} from {day_shown(from_when)} {from_when:%H:%M}"
        yield TimelineEvent(row.made_at, str(row.reserved_by), "reserved", words)
        if row.lifted_at is not None:
            words = f"not reserved for {row.sheet} any more"
            yield TimelineEvent(row.lifted_at, str(row.lifted_by), "reservation lifted", words)


def _holder_events(tool: Tool) -> Iterator[TimelineEvent]:
    """Into a holder and out of it; of a holder what was put into it."""
    if not (is_held(tool) or holds(tool)):
        return
    entries = HeldTool.history.filter(Q(tool=tool) | Q(holder=tool)).select_related("tool", "holder", "history_user")
    for entry in entries:
        act = "put into" if entry.history_type == "+" else "taken out of"
        by = str(entry.history_user or "Gripbook")
        yield TimelineEvent(entry.history_date, by, "holder", f"{entry.tool} {act} {entry.holder}")


def _moves(tool: Tool) -> Iterator[TimelineEvent]:
    for move in tool.moves.select_related("from_place", "to_place", "by"):
        before, after = (place.called if place else "no place" for place in (move.from_place, move.to_place))
        words = f"moved from {before} to {after}"
        yield TimelineEvent(move.at, str(move.by or "Gripbook"), "moved", words)


def _counts(tool: Tool) -> Iterator[TimelineEvent]:
    lines = tool.count_lines.select_related("count__place", "by")
    for line in lines:
        count = line.count
        if count.ended_at is None:
            continue
        came_of_it = "count dropped" if count.is_dropped else line.outcome
        words = f"counted in {count.place.called}: {line.get_answer_display()}{f'; {came_of_it}' if came_of_it else ''}"
        yield TimelineEvent(count.ended_at, str(line.by), "counted", words)
