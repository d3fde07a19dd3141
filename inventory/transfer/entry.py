"""The good rows of a sheet put into the book, some hundred at a time, so that nobody waits long for a turn to write.

All that takes long, reading and checking the rows, is done beforehand and outside of any transaction. What was entered
so far stands in the book with the import: one that was cut off can go on, or be taken back whole.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

import msgspec
from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory.measures.lengths import shorten
from inventory.models import Kind, Location, Seat, SheetImport, SheetRow, Size, Tool, User
from inventory.transfer import saving
from inventory.transfer.book_rows import BookRows, columns_of
from inventory.transfer.books import KnowingBook, PaperBook
from inventory.transfer.errors import SheetError
from inventory.transfer.giving_way import let_others_write
from inventory.transfer.imports import BookChanged, SheetPlan, SheetQuestion, SheetReading
from inventory.transfer.outcomes import CellTrouble, RowOutcome, RowVerdict, tags_in

PIECES_AT_ONCE = 100
"""A transaction with so many takes a tenth of a second where nothing else is going on."""
_SEATS = ("mounts_in", "offers")

Report = dict[str, Any]


class TakenElsewhere(Exception):
    """Somebody else enters this sheet, has entered it, or takes it back."""


def take(
    question: SheetQuestion, *, by: User | None, shown: str | None = None, sheet: SheetImport | None = None
) -> SheetPlan:
    """Put the good rows into the book, and return what was done.

    What was done is written down with the `sheet`, where there is one, so that it can be taken back; one that is not
    saved yet is kept with the first rows. `shown` is the digest of the plan that somebody agreed to.

    Raises SheetError where the headings cannot be used, BookChanged where that plan is no longer what would be done,
    SheetError where somebody changed the same pieces before the first rows were in, TakenElsewhere; nothing is in the
    book then. A piece that somebody changes later meanwhile stays as it is, and its row is refused.
    """
    reading = SheetReading(question, PaperBook())
    plan = reading.plan()
    if shown is not None and shown != plan.digest:
        raise BookChanged("The book changed since this preview: look again.")
    entry = SheetEntry(sheet, report=plan.report(), tools=reading.tools, by=by)
    entry.put_in(plan.outcomes)
    return msgspec.structs.replace(plan, outcomes=tuple(entry.refused.get(row.line, row) for row in plan.outcomes))


def go_on(question: SheetQuestion, sheet: SheetImport, *, by: User | None) -> Report:
    """Enter the rows of a sheet that were agreed to and are not in the book yet, and return the report of all.

    Raises TakenElsewhere.
    """
    agreed = dict(sheet.rows.exclude(outcome="").values_list("line", "outcome"))
    entered = {tag for line, outcome in agreed.items() if line <= sheet.entered_upto for tag in tags_in(outcome)}
    reading = SheetReading(question, PaperBook(), entered=frozenset(entered))
    outcomes = reading.outcomes(reading.rows(after=sheet.entered_upto))
    entry = SheetEntry(sheet, report=sheet.done or {}, tools=reading.tools, by=by)
    for row in outcomes:
        was = RowOutcome.from_stored(row.line, row.texts, agreed[row.line])
        if (was.is_good or row.is_good) and row.as_stored() != agreed[row.line]:
            entry.refuse(row, instead_of=was)
    entry.put_in(row for row in outcomes if row.line not in entry.refused)
    return entry.report


class SheetEntry:
    """One run of entering: a part after the other, each all or not at all.

    `tools` are the pieces of the book as they were read, by their tags.
    """

    def __init__(
        self, sheet: SheetImport | None, *, report: Report, tools: Mapping[str, Tool], by: User | None
    ) -> None:
        self.sheet, self.report, self.tools, self.by = sheet, report, tools, by
        self.refused: dict[int, RowOutcome] = {}
        self.upto = sheet.entered_upto if sheet is not None else 0
        self._book: KnowingBook | None = None

    @property
    def has_begun(self) -> bool:
        return self.upto > 0

    def put_in(self, outcomes: Iterable[RowOutcome]) -> None:
        parts = list(_parts(outcomes))
        if not parts and self.sheet is not None and self.sheet.pk is None:
            # A sheet that is brought in every night leaves a line where it did something.
            return
        parts = parts or [[]]
        for part in parts:
            is_last = part is parts[-1]
            try:
                self._put_in(part, ends=is_last)
            except IntegrityError:
                self._put_in_each(part, ends=is_last)
            if not is_last:
                let_others_write()

    def _put_in_each(self, part: list[RowOutcome], *, ends: bool) -> None:
        """One row after the other, as the database refused one of them that was free when it was looked at."""
        if not self.has_begun:
            raise _changed_meanwhile()
        for row in part:
            try:
                self._put_in([row], ends=ends and row is part[-1])
            except IntegrityError:
                self.refuse(row, instead_of=row)
                self._put_in([], ends=ends and row is part[-1])

    def _put_in(self, part: list[RowOutcome], *, ends: bool) -> None:
        # Looked up while others may write. What they make meanwhile the database refuses to have twice; where it did,
        # nothing of the part is in the book, and it is looked up anew.
        book, self._book = self._book or KnowingBook(), None
        with transaction.atomic():
            self._claim(part)
            in_book = _locked_tools(part)
            for row in [row for row in part if row.verdict is not RowVerdict.READING and self._is_other(row, in_book)]:
                if not self.has_begun:
                    raise _changed_meanwhile()
                self.refuse(row, instead_of=row)
            self._write([row for row in part if row.line not in self.refused], book, in_book)
            if self.sheet is not None:
                self._save_progress(part, ends=ends)
        self.upto = max([self.upto, *(row.line for row in part)])
        self._book = book

    def _claim(self, part: list[RowOutcome]) -> None:
        """So that no two enter the same rows. Raises TakenElsewhere."""
        if self.sheet is None:
            return
        if self.sheet.pk is None:
            self.sheet.entry_began_at = timezone.now()
            self.sheet.save()
        elif not self.has_begun:
            waiting = SheetImport.objects.waiting().filter(pk=self.sheet.pk)
            if not waiting.update(entry_began_at=timezone.now()):
                raise TakenElsewhere
        else:
            half = SheetImport.objects.half_entered().filter(
                pk=self.sheet.pk, entered_upto=self.upto, undone__isnull=True
            )
            if not list(half.select_for_update().values_list("pk")):
                raise TakenElsewhere

    def _is_other(self, row: RowOutcome, in_book: Mapping[str, Tool]) -> bool:
        """Whether a piece of this row is not what it was when it was read."""
        if any(other.tag.upper() in in_book for other in row.others):
            return True
        was, now = self.tools.get(row.tag.upper()), in_book.get(row.tag.upper())
        if row.verdict is RowVerdict.NEW:
            return now is not None
        if row.verdict is RowVerdict.CHANGED and was is not None:
            return now is None or columns_of(now) != columns_of(was)
        return False

    def _write(self, rows: list[RowOutcome], book: KnowingBook, in_book: Mapping[str, Tool]) -> None:
        book_rows = BookRows()
        # Copies: where the database refuses this part, the next try begins with what was read.
        good = [_copy_of(row) for row in rows if row.is_good]
        book_rows.note_before_change(in_book[row.tag.upper()] for row in good if row.verdict is RowVerdict.CHANGED)
        for row in good:
            for one in (row, *row.others):
                if one.after is not None:
                    _put_into(book, one.after)
        book_rows.note_made([*book.new_places, *book.new_seats])
        book.new_places.clear()
        book.new_seats.clear()
        saving.write(good, by=self.by, book_rows=book_rows)
        saving.write_readings(rows, by=self.by, book_rows=book_rows)
        if self.sheet is not None:
            book_rows.write_down(self.sheet)

    def _save_progress(self, part: list[RowOutcome], *, ends: bool) -> None:
        """How far it is, and at the end that it is taken; to be called within the transaction of the part."""
        assert self.sheet is not None
        sheet = self.sheet
        sheet.entered_upto, sheet.done = max([self.upto, *(row.line for row in part)]), self.report
        sheet.taken_at = timezone.now() if ends else None
        sheet.save(update_fields=["entered_upto", "done", "taken_at"])
        for row in part:
            if refused := self.refused.get(row.line):
                columns = {"outcome": refused.as_stored(), "verdict": refused.verdict, "group": refused.group}
                sheet.rows.filter(line=row.line).update(**columns)
        if ends:
            # What is in the book needs no second copy; the refused rows can still be had as a sheet.
            below = SheetRow.objects.filter(sheet=sheet, line__gt=sheet.headings_line or 0)
            below.exclude(verdict=RowVerdict.REFUSED).delete()

    def refuse(self, row: RowOutcome, *, instead_of: RowOutcome) -> None:
        """Somebody changed the piece of this row after its sheet was agreed to: it stays as it is, and this is told."""
        if row.line in self.refused:
            return
        message = "Somebody changed this piece while the sheet was being entered; look at it, and enter the row again."
        trouble = CellTrouble("tag", shorten(row.tag), message)
        refused = RowOutcome(
            line=row.line, texts=row.texts, verdict=RowVerdict.REFUSED, tag=row.tag, troubles=(trouble,)
        )
        self.refused[row.line] = refused
        others = len(instead_of.others)
        report = dict(self.report)
        report["added"] -= others + (instead_of.verdict is RowVerdict.NEW)
        report["updated"] -= instead_of.verdict is RowVerdict.CHANGED
        report["unchanged"] -= instead_of.verdict is RowVerdict.SAME
        report["details_missing"] -= instead_of.details_missing
        report["refused"] = sorted([*report["refused"], refused.as_json()], key=lambda refusal: refusal["line"])
        self.report = report


def _parts(rows: Iterable[RowOutcome]) -> Iterator[list[RowOutcome]]:
    """The good rows, so many pieces at a time, and then the further readings of pieces, the oldest first."""
    rows = list(rows)
    part: list[RowOutcome] = []
    pieces = 0
    for row in [*(row for row in rows if row.is_good), *saving.readings_of(rows)]:
        part.append(row)
        pieces += 1 + len(row.others)
        if pieces >= PIECES_AT_ONCE:
            yield part
            part, pieces = [], 0
    if part:
        yield part


def _copy_of(row: RowOutcome) -> RowOutcome:
    return replace(
        row, after=copy.copy(row.after), inspection=copy.copy(row.inspection), others=tuple(map(_copy_of, row.others))
    )


def _locked_tools(part: Iterable[RowOutcome]) -> dict[str, Tool]:
    tags = {one.tag for row in part if row.is_good for one in (row, *row.others)}
    tools = Tool.objects.filter(tag__in=tags).for_list().select_for_update(of=("self",)).order_by("pk")
    return {tool.tag.upper(): tool for tool in tools}


def _put_into(book: KnowingBook, tool: Tool) -> None:
    """Give a piece that was read on paper the place, seats and size of the book, which are made where they are new."""
    place: Location | None = tool.location
    if place is not None and (place.pk is None or place.retired_at is not None):
        tool.location = book.place(place.name)
    for name in _SEATS:
        seat: Seat | None = getattr(tool, name)
        if seat is not None and seat.pk is None:
            setattr(tool, name, book.seat(seat.code))
    if tool.size is not None and tool.size.pk is None:
        tool.size = _size_in(book, tool.size, is_bored=tool.kind == Kind.MACHINABLE_COLLET)


def _size_in(book: KnowingBook, size: Size, *, is_bored: bool) -> Size:
    figures = book.figures[size.series.code.upper(), size.shape]
    if size.is_marked:
        return book.marked(figures, size.nominal, smallest=size.clamps_from, largest=size.clamps_to)
    return book.bored(figures, size.nominal) if is_bored else book.size(figures, size.nominal)


def _changed_meanwhile() -> SheetError:
    return SheetError("Somebody changed the book at the same moment; nothing was taken, try again.")
