"""A workbook that Gripbook wrote, put into the book table by table, some hundred rows at a time; looked at beforehand.

What was entered so far stands in the book with the import: one that was cut off can go on, or be taken back whole.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

import msgspec
from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory.models import SheetImport, User
from inventory.transfer import errors, imports
from inventory.transfer.book_rows import BookRows
from inventory.transfer.books import PaperBook
from inventory.transfer.copy_of_book import on_a_copy
from inventory.transfer.entry import SheetEntry, TakenElsewhere
from inventory.transfer.errors import Advice, SheetError
from inventory.transfer.giving_way import let_others_write
from inventory.transfer.imports import BookChanged, SheetQuestion, SheetReading
from inventory.transfer.outcomes import RowOutcome, RowVerdict
from inventory.transfer.sheets import Grid
from inventory.transfer.tabs.entering import Entering, OwnTab, TabReport
from inventory.transfer.tabs.own import OwnWorkbook
from inventory.transfer.tabs.tables import BY_NAME, TabTable

ROWS_AT_ONCE = 100
"""Of one table, that a transaction enters."""
_BEFORE_THE_PIECES = ("lathes", "counted")
"""Pieces belong to lathes, and wants are of what is counted."""
_AFTER_THE_PIECES = ("inspections", "wants", "loans", "setup-sheets", "operations", "runs", "holders")
_NO_PIECES: dict[str, Any] = {
    "rows": 0,
    "added": 0,
    "updated": 0,
    "unchanged": 0,
    "details_missing": 0,
    "empty": 0,
    "refused": [],
}


class _OnlyLooked(Exception):
    """Ends a transaction in which nothing is to stay."""


def planned_report(workbook: OwnWorkbook, *, by: User | None, advice: Advice = errors.COMMAND) -> dict[str, Any]:
    """The report of what would be done. It is done and given up again: each table is read against those before it."""
    report: dict[str, Any] = {}
    with on_a_copy():
        try:
            with transaction.atomic():
                report = _done_at_once(workbook, by=by, advice=advice)
                raise _OnlyLooked
        except _OnlyLooked:
            return report
        except IntegrityError:
            raise _changed_meanwhile() from None


def take(
    workbook: OwnWorkbook, *, by: User | None, sheet: SheetImport, shown: str = "", advice: Advice = errors.COMMAND
) -> dict[str, Any]:
    """Put it into the book, and return the report; what was done is written down with the `sheet`.

    `shown` is the digest of the report that somebody agreed to; BookChanged where that is not what would be done.
    Raises TakenElsewhere where somebody else enters it, has entered it, or takes it back.
    """
    if shown and shown != digest_of(planned_report(workbook, by=by, advice=advice)):
        raise BookChanged("The book changed since this preview: look again.")
    if workbook.pieces is not None:  # where its headings cannot be used, nothing is entered
        SheetReading(_question_of(workbook.pieces, advice), PaperBook())
    waiting = SheetImport.objects.waiting().filter(pk=sheet.pk)
    if not waiting.update(entry_began_at=timezone.now(), done=_report(workbook, _NO_PIECES, [])):
        raise TakenElsewhere
    return gone_on(workbook, by=by, sheet=sheet, advice=advice)


def gone_on(
    workbook: OwnWorkbook, *, by: User | None, sheet: SheetImport, advice: Advice = errors.COMMAND
) -> dict[str, Any]:
    """Enter what is not in the book yet of a workbook that is begun, and return the report of all of it."""
    sheet.refresh_from_db(fields=["entry_began_at", "entered_upto", "done", "undone", "taken_at"])
    try:
        return _WorkbookEntry(workbook, sheet, by=by, advice=advice).put_in()
    except IntegrityError:
        raise SheetError("Somebody changed something at the same moment; go on entering.") from None


class _WorkbookEntry:
    """One run of entering, a part after the other; how far it is, is counted in rows."""

    def __init__(self, workbook: OwnWorkbook, sheet: SheetImport, *, by: User | None, advice: Advice) -> None:
        self.workbook, self.sheet, self.by, self.advice = workbook, sheet, by, advice
        self.entering = Entering(by=by, now=timezone.now(), book_rows=BookRows())
        self.upto = sheet.entered_upto
        done = sheet.done or {}
        self.pieces: dict[str, Any] = {name: value for name, value in done.items() if name not in ("tabs", "unread")}
        self.pieces["refused"] = [row for row in done["refused"] if "tab" not in row]
        self.tabs = [msgspec.convert(tab, TabReport) for tab in done["tabs"]]

    def put_in(self) -> dict[str, Any]:
        after = self._put_in_tables(_BEFORE_THE_PIECES, first=0, after=0)
        number = len(list(_tabs(self.workbook, _BEFORE_THE_PIECES)))
        if self.workbook.pieces is not None:
            after = self._put_in_pieces(first=after)
        self._put_in_tables(_AFTER_THE_PIECES, first=after, after=number)
        with self._part(upto=self.upto):
            SheetImport.objects.filter(pk=self.sheet.pk).update(
                taken_at=timezone.now(), done=self.report(), content=b""
            )
        return self.report()

    def report(self) -> dict[str, Any]:
        return _report(self.workbook, self.pieces, self.tabs)

    def _put_in_tables(self, names: tuple[str, ...], *, first: int, after: int) -> int:
        """Enter these tables, before which there are so many rows and tables; return how many rows there are then."""
        for number, (table, tab) in enumerate(_tabs(self.workbook, names), start=after):
            for part in _parts(table, tab):
                first += max(len(part.rows), 1)
                if first > self.upto:
                    with self._part(upto=first):
                        if number == len(self.tabs):
                            self.tabs.append(TabReport(tab=tab.title))
                        _enter(table, part, self.entering, self.tabs[number])
        return first

    def _put_in_pieces(self, *, first: int) -> int:
        assert self.workbook.pieces is not None
        question = _question_of(self.workbook.pieces, self.advice)
        last = first + len(self.workbook.pieces.rows) + 1
        if self.upto >= last:
            return last
        reading = SheetReading(question, PaperBook())
        plan = reading.plan()
        if self.upto <= first:
            self.pieces = plan.report()
        entry = _PieceEntry(self, reading, first=first)
        refused_before = {row["line"] for row in self.pieces["refused"]}
        for row in plan.refused:
            if row.line not in refused_before:  # it was good before the entering was cut off
                was = RowVerdict.CHANGED if row.tag in reading.tools else RowVerdict.NEW
                entry.refuse(row, instead_of=replace(row, verdict=was))
        self.pieces = entry.report
        to_enter = [row for row in plan.outcomes if row.is_good or row.verdict is RowVerdict.READING]
        if to_enter:
            entry.put_in(to_enter)
        with self._part(upto=last):
            pass
        return last

    @contextmanager
    def _part(self, *, upto: int) -> Iterator[None]:
        """What is done within it is in the book with all that is written down of it, or not at all."""
        with transaction.atomic():
            self.claim()
            self.entering.book_rows = BookRows(self.sheet)
            yield
            self.entering.book_rows.write_down(self.sheet)
            self.keep(upto)
        self.upto = upto
        let_others_write()

    def claim(self) -> None:
        """So that no two enter the same rows. Raises TakenElsewhere."""
        half = SheetImport.objects.half_entered().filter(pk=self.sheet.pk, entered_upto=self.upto, undone__isnull=True)
        if not list(half.select_for_update().values_list("pk")):
            raise TakenElsewhere

    def keep(self, upto: int) -> None:
        SheetImport.objects.filter(pk=self.sheet.pk).update(entered_upto=upto, done=self.report())


class _PieceEntry(SheetEntry):
    """The pieces of a workbook, of which `first` rows are before them."""

    def __init__(self, workbook: _WorkbookEntry, reading: SheetReading, *, first: int) -> None:
        super().__init__(workbook.sheet, report=workbook.pieces, tools=reading.tools, by=workbook.by)
        self.workbook, self.first = workbook, first

    @property
    def has_begun(self) -> bool:
        return True

    def _claim(self, part: list[RowOutcome]) -> None:
        self.workbook.claim()

    def _save_progress(self, part: list[RowOutcome], *, ends: bool) -> None:
        self.workbook.pieces = self.report
        self.workbook.keep(self._upto(part))

    def _upto(self, part: list[RowOutcome]) -> int:
        return max([self.workbook.upto, *(self.first + row.line for row in part)])

    def _put_in(self, part: list[RowOutcome], *, ends: bool) -> None:
        super()._put_in(part, ends=ends)
        self.workbook.upto = self._upto(part)


def digest_of(report: dict[str, Any]) -> str:
    return hashlib.sha256(json.dumps(report, sort_keys=True).encode()).hexdigest()


def is_anything_to_enter(report: dict[str, Any]) -> bool:
    return any(part["added"] or part["updated"] for part in (report, *report["tabs"]))


def _question_of(pieces: Grid, advice: Advice) -> SheetQuestion:
    return SheetQuestion(sheet=pieces.sheet(), advice=advice, is_our_own=True)


def _done_at_once(workbook: OwnWorkbook, *, by: User | None, advice: Advice) -> dict[str, Any]:
    entering = Entering(by=by, now=timezone.now(), book_rows=BookRows(), is_only_tried=True)
    tabs = _tables_at_once(workbook, _BEFORE_THE_PIECES, entering)
    pieces = dict(_NO_PIECES)
    if workbook.pieces is not None:
        question = _question_of(workbook.pieces, advice)
        pieces = imports.enter(question, by=by, book_rows=entering.book_rows).report()
    tabs += _tables_at_once(workbook, _AFTER_THE_PIECES, entering)
    return _report(workbook, pieces, tabs)


def _tables_at_once(workbook: OwnWorkbook, names: tuple[str, ...], entering: Entering) -> list[TabReport]:
    reports = []
    for table, tab in _tabs(workbook, names):
        report = TabReport(tab=tab.title)
        _enter(table, tab, entering, report)
        reports.append(report)
    return reports


def _report(workbook: OwnWorkbook, pieces: dict[str, Any], tabs: Iterable[TabReport]) -> dict[str, Any]:
    tab_reports = [tab.as_json() for tab in tabs]
    refused = [{"tab": tab["tab"], **row, "also": []} for tab in tab_reports for row in tab["refused"]]
    return {**pieces, "refused": pieces["refused"] + refused, "tabs": tab_reports, "unread": list(workbook.unread)}


def _tabs(workbook: OwnWorkbook, names: tuple[str, ...]) -> Iterator[tuple[TabTable, OwnTab]]:
    for table in (BY_NAME[name] for name in names):
        for tab in workbook.of(table):
            yield table, tab


def _enter(table: TabTable, tab: OwnTab, entering: Entering, report: TabReport) -> None:
    if table.enter is None:
        report.rows += len(tab.rows)
        report.not_read += len(tab.rows)
    else:
        table.enter(tab, entering, report)


def _parts(table: TabTable, tab: OwnTab) -> Iterator[OwnTab]:
    """The rows of a table, so many at a time; those that belong together, like the readings of a piece, in one part."""
    if table.enter is None:
        yield tab
        return
    groups: dict[str, list[tuple[int, dict[str, str]]]] = {}
    for line, cells in tab.rows:
        groups.setdefault(cells.get(table.together, "").strip().upper(), []).append((line, cells))
    part: list[tuple[int, dict[str, str]]] = []
    for group in groups.values():
        part += group
        if len(part) >= ROWS_AT_ONCE:
            yield OwnTab(tab.title, tuple(part))
            part = []
    if part or not groups:
        yield OwnTab(tab.title, tuple(part))


def _changed_meanwhile() -> SheetError:
    return SheetError("Somebody changed something at the same moment; nothing was entered, try again.")
