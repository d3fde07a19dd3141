"""Inspections, out and in: each one that stands, as it was written down."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date, datetime

from django.db import models
from msgspec import Struct, structs

from inventory.measures.lengths import Length, exact, shorten
from inventory.models import Condition, Finding, Inspection, Lathe, Tool
from inventory.transfer.tabs.cells import RunOut
from inventory.transfer.tabs.entering import Entering, OwnTab, TabReport, refuse, rows_in

_LARGEST_TIR = Length.inches("1/4")
"""As the form of an inspection has it."""


class InspectionRow(Struct, frozen=True, kw_only=True):
    """One inspection of the piece of this tag. `holder` is the tag of what held it, `bare` where nothing did."""

    tag: str
    inspected_on: date | None
    tir: RunOut | None
    tir_far: RunOut | None
    far_at: Length | None
    bare: bool | None
    holder: str
    lathe: str
    pin: Length | None
    reseated: bool | None
    finding: str
    verdict: str
    note: str
    written_down: datetime
    by: str


def rows() -> Iterator[InspectionRow]:
    """Of all pieces but retired ones; one that was corrected is left out, its correction says how it was."""
    standing = Inspection.objects.standing().filter(tool__retired_at=None)
    named = standing.select_related("tool", "in_holder", "on_lathe", "recorded_by").order_by("tool__tag", "pk")
    return map(row_of, named.iterator(chunk_size=2000))


def row_of(inspection: Inspection) -> InspectionRow:
    return InspectionRow(
        tag=inspection.tool.tag,
        inspected_on=inspection.taken_on,
        tir=inspection.tir,
        tir_far=inspection.tir_far,
        far_at=inspection.far_at,
        bare=inspection.is_bare,
        holder=inspection.in_holder.tag if inspection.in_holder else "",
        lathe=inspection.on_lathe.name if inspection.on_lathe else "",
        pin=inspection.pin,
        reseated=inspection.was_reseated,
        finding=inspection.finding,
        verdict=inspection.verdict,
        note=inspection.note,
        written_down=inspection.recorded_at.replace(microsecond=0),
        by=inspection.recorded_by.username if inspection.recorded_by else "",
    )


def enter(tab: OwnTab, entering: Entering, report: TabReport) -> None:
    """Enter inspections that the book does not have, each on its day; none is ever changed.

    A piece that comes with the same workbook has its last reading from there already: that one is told here in full.
    """
    lines = list(rows_in(tab, InspectionRow, report))
    _forget_short_ones((row for _, row in lines if _trouble(row) is None), entering)
    seen = _Pieces({row.tag for _, row in lines}, {row.holder for _, row in lines}, entering)
    added: dict[Tool, list[Inspection]] = {}
    for line, row in lines:
        tool = seen.tools.get(row.tag.upper())
        if tool is None:
            refuse(report, line, "tag", row.tag, f"No piece here has the tag “{shorten(row.tag)}”.")
            continue
        if why := _trouble(row):
            refuse(report, line, *why)
            continue
        row = seen.as_known_here(row)
        if seen.has(tool, row):
            report.unchanged += 1
            continue
        entering.book_rows.note_before_change([tool])
        added.setdefault(tool, []).append(seen.keep(tool, row))
        report.added += 1
    for tool, inspections in added.items():
        if tool.pk in seen.new:
            _settle_new(tool)
        else:
            tool.take_up(inspections[-1])


class _Pieces:
    """The pieces of a sheet of inspections, what the book has of them, and what came with the same workbook."""

    def __init__(self, tags: set[str], holders: set[str], entering: Entering) -> None:
        self.entering = entering
        self.tools = _by_tag(entering.to_change(Tool.objects.in_book()), tags)
        self.holders = _by_tag(Tool.objects.all(), holders)
        self.lathes = {lathe.name.upper(): lathe for lathe in Lathe.objects.all()}
        keys = [tool.pk for tool in self.tools.values()]
        self.new = entering.book_rows.made_among("tool", keys)
        self._standing: dict[int, Counter[InspectionRow]] = {}
        for start in range(0, len(keys), 2_000):
            standing = Inspection.objects.standing().filter(tool__in=keys[start : start + 2_000])
            rows = list(standing.select_related("tool", "in_holder", "on_lathe", "recorded_by"))
            came_with_it = entering.book_rows.made_among("inspection", [inspection.pk for inspection in rows])
            for inspection in rows:
                if inspection.pk not in came_with_it:
                    self._standing.setdefault(inspection.tool_id, Counter())[row_of(inspection)] += 1

    def as_known_here(self, row: InspectionRow) -> InspectionRow:
        """The row as this book can say it: who or what is not here goes into the note."""
        holder, lathe = self.holders.get(row.holder.upper()), self.lathes.get(row.lathe.upper())
        noted = [row.note] if row.note else []
        noted += [f"in {row.holder}"] if row.holder and holder is None else []
        noted += [f"on {row.lathe}"] if row.lathe and lathe is None else []
        return structs.replace(
            row,
            tag=self.tools[row.tag.upper()].tag,
            holder=holder.tag if holder else "",
            lathe=lathe.name if lathe else "",
            note="; ".join(noted),
            by=self.entering.known_name(row.by),
        )

    def has(self, tool: Tool, row: InspectionRow) -> bool:
        """Whether the book has this inspection; each row finds one of its own."""
        standing = self._standing.get(tool.pk, Counter())
        if standing[row] == 0:
            return False
        standing[row] -= 1
        return True

    def keep(self, tool: Tool, row: InspectionRow) -> Inspection:
        inspection = Inspection(tool=tool)
        inspection.taken_on, inspection.tir, inspection.tir_far = row.inspected_on, row.tir, row.tir_far
        inspection.far_at, inspection.is_bare, inspection.pin = row.far_at, row.bare, row.pin
        inspection.in_holder, inspection.on_lathe = self.holders.get(row.holder), self.lathes.get(row.lathe.upper())
        inspection.was_reseated, inspection.finding, inspection.verdict = row.reseated, row.finding, row.verdict
        inspection.note, inspection.recorded_by = row.note, self.entering.people.get(row.by)
        inspection.save()
        Inspection.objects.filter(pk=inspection.pk).update(recorded_at=row.written_down)
        self.entering.book_rows.note_made([inspection])
        return inspection


def _forget_short_ones(rows: Iterable[InspectionRow], entering: Entering) -> None:
    """The reading that a piece brought along in its own row of the same workbook gives way to its own row here.

    In the row of the piece stands the day of its newest inspection, and that may have read nothing.
    """
    days, readings = set(), set()
    for row in rows:
        days.add((row.tag.upper(), row.inspected_on))
        readings.add((row.tag.upper(), row.tir))
    tags = sorted({tag for tag, _ in days})
    for start in range(0, len(tags), 2_000):
        seen = Inspection.objects.filter(tool__tag__in=tags[start : start + 2_000]).values_list("pk", flat=True)
        keys = entering.book_rows.made_among("inspection", list(seen))
        came = Inspection.objects.filter(pk__in=keys).select_related("tool")
        short = [
            one.pk
            for one in came
            if (one.tool.tag.upper(), one.taken_on) in days and (one.tool.tag.upper(), one.tir) in readings
        ]
        entering.book_rows.forget("inspection", short)
        Inspection.objects.filter(pk__in=short).delete()


def _by_tag(tools: models.QuerySet[Tool], tags: set[str]) -> dict[str, Tool]:
    wanted = sorted({tag.upper() for tag in tags} - {""})
    by_tag: dict[str, Tool] = {}
    for start in range(0, len(wanted), 2_000):
        by_tag |= {tool.tag.upper(): tool for tool in tools.filter(tag__in=wanted[start : start + 2_000])}
    return by_tag


def _settle_new(tool: Tool) -> None:
    """A piece that came with the workbook is as its own row says; its inspections say by which reading, and what was
    found. Only where one of them is later than its row, it follows that one."""
    tool.refresh_from_db()
    standing = tool.standing_inspections()
    newest = standing[-1]
    if newest.taken_on and (tool.inspected_on is None or newest.taken_on > tool.inspected_on):
        tool.take_up(newest)
        return
    tool.reading = next((one for one in reversed(standing) if tool.tir is not None and one.tir == tool.tir), None)
    tool.finding = newest.finding
    tool.save()


def _trouble(row: InspectionRow) -> tuple[str, str, str] | None:
    """What is wrong with a row: the field, what was read, and why."""
    for name, text, accepted in (("finding", row.finding, Finding.values), ("verdict", row.verdict, Condition.values)):
        if text and text not in accepted:
            return name, text, f"“{shorten(text)}” is no {name}. Write {', '.join(accepted)}."
    for name, length in (("tir", row.tir), ("tir_far", row.tir_far)):
        if length is not None and length > _LARGEST_TIR:
            return name, exact(length), f"A run-out is at most {exact(_LARGEST_TIR)}."
    if (row.tir_far is None) != (row.far_at is None):
        return "far_at", "", "A reading farther out says both the run-out and how far from the nose."
    if row.bare and row.holder:
        return "holder", row.holder, "What was taken bare was in no holder."
    if row.tir is None and row.tir_far is None and not (row.finding or row.note or row.inspected_on):
        return "tir", "", "The row says nothing that was seen."
    return None
