"""What a sheet would do to the book, row by row, and doing it."""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone
from msgspec import Struct

from inventory.measures.days import AmbiguousDay
from inventory.measures.lengths import Unit, shorten
from inventory.models import Kind, SheetImport, Tool, User
from inventory.models.kinds import COLLETS
from inventory.pieces import words
from inventory.pieces.book import Book
from inventory.pieces.fields import SHEET_FIELDS, as_fields
from inventory.pieces.form import PieceForm
from inventory.transfer import cells, dates, errors, headings, saving
from inventory.transfer.asked import SheetAsk, asks_of
from inventory.transfer.book_rows import BookRows
from inventory.transfer.books import KnowingBook, PaperBook
from inventory.transfer.errors import Advice, SheetError
from inventory.transfer.headings import SheetColumn
from inventory.transfer.outcomes import CellTrouble, RowOutcome, RowVerdict, digest_of
from inventory.transfer.rows import NOTHING, RowCells
from inventory.transfer.saving import compared
from inventory.transfer.sheets import Sheet


@dataclass(frozen=True, kw_only=True)
class SheetQuestion:
    """A sheet and how it is to be read.

    `choices` say for each column what it is, where somebody said so of all; else `chosen` texts like those of --map
    and then `remembered` choices go before the guess. `mended` are cells written anew by the row number, as `Row`
    takes them; the rows of `left_out` are not read. `answers` are what was answered to the questions of the sheet, by
    their key.
    """

    sheet: Sheet
    choices: tuple[str, ...] | None = None
    chosen: tuple[str, ...] = ()
    remembered: Mapping[str, str] = field(default_factory=dict)
    unit: Unit = Unit.INCH
    dates: str | None = None
    mended: Mapping[int, Mapping[str, str]] = field(default_factory=dict)
    left_out: frozenset[int] = frozenset()
    advice: Advice = errors.COMMAND
    answers: Mapping[str, str] = field(default_factory=dict)

    def columns(self) -> list[SheetColumn]:
        """Raises SheetError where the headings cannot be used."""
        if self.choices is not None:
            return headings.matched(self.sheet.headings, list(self.choices), advice=self.advice)
        return headings.columns(self.sheet.headings, self.chosen, remembered=self.remembered, advice=self.advice)


class SheetPlan(Struct, frozen=True, kw_only=True):
    """What a sheet would do. `dates` is the order of day and month that was used, None where none was known."""

    question: SheetQuestion
    columns: tuple[SheetColumn, ...]
    dates: str | None
    outcomes: tuple[RowOutcome, ...]

    @property
    def digest(self) -> str:
        """The same for two plans that would do the same with every row."""
        return digest_of(outcome.kept() for outcome in self.outcomes)

    @property
    def refused(self) -> tuple[RowOutcome, ...]:
        return tuple(outcome for outcome in self.outcomes if outcome.verdict is RowVerdict.REFUSED)

    @property
    def asked(self) -> list[SheetAsk]:
        """The questions of the sheet, each once."""
        return asks_of(((outcome.line, outcome.doubts) for outcome in self.outcomes), self.question.answers)

    @property
    def good(self) -> tuple[RowOutcome, ...]:
        return tuple(outcome for outcome in self.outcomes if outcome.is_good)

    def report(self) -> dict:
        """The figures of the whole sheet and its refused rows, as `import_sheet --json` prints them."""
        count = Counter(outcome.verdict for outcome in self.outcomes)
        left_out = {"left_out": count[RowVerdict.LEFT_OUT]} if count[RowVerdict.LEFT_OUT] else {}
        return {
            "rows": len(self.outcomes),
            "added": count[RowVerdict.NEW],
            "updated": count[RowVerdict.CHANGED],
            "unchanged": count[RowVerdict.SAME],
            "details_missing": sum(outcome.details_missing for outcome in self.outcomes),
            "empty": count[RowVerdict.EMPTY],
            **left_out,
            "refused": [outcome.as_json() for outcome in self.refused],
            "asked": [ask.as_json() for ask in self.asked if not ask.answer],
        }


def plan(sheet: Sheet, *, unit: Unit = Unit.INCH, chosen: Iterable[str] = (), **how) -> SheetPlan:
    """What the sheet would do; nothing is written. `how` are further words of the Question. Raises SheetError."""
    return planned(SheetQuestion(sheet=sheet, chosen=tuple(chosen), unit=Unit(unit), **how))


def planned(question: SheetQuestion) -> SheetPlan:
    """What the sheet of this question would do."""
    return SheetReading(question, PaperBook()).plan()


def take(
    question: SheetQuestion, *, by: User | None, shown: str | None = None, sheet: SheetImport | None = None
) -> SheetPlan:
    """Put the good rows into the book, all or none, and return what was done.

    What was done is written down with the `sheet`, where there is one, so that it can be taken back.

    The rows are looked at again: the book may have changed since a plan was made. `shown` is the digest of the plan
    that somebody agreed to. Raises SheetError where the headings cannot be used, BookChanged where that plan is no
    longer what would be done, and SheetError where somebody else entered the same piece at the same moment.
    """
    try:
        with transaction.atomic():
            book_rows = BookRows()
            taken = enter(question, by=by, book_rows=book_rows, shown=shown)
            if sheet is not None:
                book_rows.write_down(sheet)
    except IntegrityError:
        raise SheetError("Somebody changed the book at the same moment; nothing was taken, try again.") from None
    return taken


def enter(question: SheetQuestion, *, by: User | None, book_rows: BookRows, shown: str | None = None) -> SheetPlan:
    """The same within a transaction of who calls, whose `book_rows` hear of all that is made and changed."""
    book = KnowingBook()
    reading = SheetReading(question, book, is_taking=True)
    plan = reading.plan()
    if shown is not None and shown != plan.digest:
        raise BookChanged("The book changed since this preview: look again.")
    book_rows.is_about_to_change(reading.tools[row.tag] for row in plan.good if row.verdict is RowVerdict.CHANGED)
    book_rows.made([*book.new_places, *book.new_seats])
    saving.write(plan.good, by=by, book_rows=book_rows)
    return plan


class BookChanged(SheetError):
    """What would be done is not what was shown."""


class SheetReading:
    """The rows of a sheet, read against one book, all at once or some after the other.

    `is_taking` locks the pieces of the rows: they are written back whole, and nobody may change them in between.
    Raises SheetError where the headings cannot be used.
    """

    def __init__(self, question: SheetQuestion, book: Book, *, is_taking: bool = False) -> None:
        self.question, self.book, self.is_taking = question, book, is_taking
        self.columns = question.columns()
        self.dates = question.dates or dates.order_of(day_texts(question.sheet, self.columns))
        self.first_lines = _first_lines(question, self.columns)
        self.today = timezone.localdate()
        self.tools: dict[str, Tool] = {}
        self.form: PieceForm | None = None

    def plan(self) -> SheetPlan:
        return SheetPlan(
            question=self.question,
            columns=tuple(self.columns),
            dates=self.dates,
            outcomes=tuple(self.outcomes(self.rows())),
        )

    def rows(self, *, after: int = 0) -> Iterator[RowCells]:
        """The rows below the headings, or those below the row of this number."""
        for line, texts in self.question.sheet.rows():
            if line > after:
                mended, is_left_out = self.question.mended.get(line, NOTHING), line in self.question.left_out
                yield RowCells(line, texts, self.columns, mended=mended, is_left_out=is_left_out)

    def outcomes(self, rows: Iterable[RowCells]) -> list[RowOutcome]:
        """What becomes of these rows, each a row of this reading."""
        rows = list(rows)
        self.tools = _tools_of(rows, is_locked=self.is_taking)
        return [self._outcome(row) for row in rows]

    def _outcome(self, row: RowCells) -> RowOutcome:
        if row.is_left_out:
            return RowOutcome(line=row.line, texts=row.texts, verdict=RowVerdict.LEFT_OUT, tag=row.tag)
        if row.is_empty:
            return RowOutcome(line=row.line, texts=row.texts, verdict=RowVerdict.EMPTY)
        # The second of two is refused even where the first was: once the first is put right it would
        # overwrite the second.
        first_line = self.first_lines[row.tag] if row.tag else row.line
        if first_line != row.line:
            return _refused(row, [CellTrouble("tag", row.tag, f"{row.tag} stands in row {first_line} already.")])
        tool = self.tools.get(row.tag)
        if tool is not None and tool.retired_at is not None:
            message = f"{tool.tag} was retired. Give this piece another tag, or take the old one back first."
            return _refused(row, [CellTrouble("tag", row.tag, message)])
        if tool is not None and (trouble := _other_kind(row, tool)):
            return _refused(row, [trouble, *row.troubles])
        return self._read(row, tool)

    def _read(self, row: RowCells, tool: Tool | None) -> RowOutcome:
        filled = self._filled(row, tool)
        form = PieceForm(
            filled, tool=copy.copy(tool), book=self.book, unit=self.question.unit, dates=self.dates, like=self.form
        )
        self.form = form
        troubles = row.troubles + self._troubles(row, form, filled)
        if troubles:
            return _refused(row, troubles)
        return compared(row, tool, form, self._new_finding(row, tool, form))

    def _troubles(self, row: RowCells, form: PieceForm, filled: dict[str, str]) -> list[CellTrouble]:
        """What is wrong beside the odd cells, in the order of the fields."""
        found = []
        day = row.cells.get("inspected_on", "")
        why = dates.odd_day(day, order=self.dates, chosen=self.question.dates, today=self.today)
        if why:
            found.append(CellTrouble("inspected_on", shorten(day), why))
        told = {trouble.field for trouble in row.troubles + found}
        if not form.is_valid():
            found += [
                CellTrouble(name, shorten(filled.get(name, "")), _sentence(errors[0], name, self.question.advice))
                for name, errors in form.errors.as_data().items()
                if name not in told
            ]
        place = {name: number for number, name in enumerate(SHEET_FIELDS)}
        return sorted(found, key=lambda trouble: place.get(trouble.field, 0))

    def _filled(self, row: RowCells, tool: Tool | None) -> dict[str, str]:
        """The row as the form takes it: of a piece in the book, what it is need not be said again."""
        filled = dict(row.cells)
        known = as_fields(tool) if tool is not None else {}
        filled["kind"] = filled.get("kind") or known.get("kind", "")
        kind = words.kind_of(filled["kind"])
        if kind is None:
            return filled
        if kind in COLLETS and not known:
            filled = cells.spread_out(kind, filled, self.book.series)
        parts = list(row.extra)
        if kind != Kind.COLLET and (kind != Kind.MACHINABLE_COLLET or filled.get("shape")):
            found, kept = cells.shop_texts(kind, filled, self.book.seats, self.question.unit)
            filled = {**found, **cells.without_shop_texts(kind, filled, self.question.unit)}
            parts += kept
        if kind in COLLETS and known and known["kind"] == kind:
            for name in cells.SHOP_TEXTS:
                filled.setdefault(name, known[name])
        if filled.get("through", "").lower() == "solid":
            filled["through"], filled["solid"] = "", "on"
        filled["notes"] = _with_parts(filled.get("notes") or known.get("notes", ""), parts)
        return filled

    def _new_finding(self, row: RowCells, tool: Tool | None, form: PieceForm) -> str:
        """What the remarks report; remarks that stand in the book already report nothing new."""
        if tool is not None and form.cleaned_data["notes"] in {"", tool.notes}:
            return ""
        return cells.finding_in(row.cells.get("notes", "")) or ""


def _first_lines(question: SheetQuestion, columns: Iterable[SheetColumn]) -> dict[str, int]:
    """The first row of each tag."""
    place = next(column.place for column in columns if column.field == "tag")
    first: dict[str, int] = {}
    for line, texts in question.sheet.rows():
        tag = question.mended.get(line, NOTHING).get(str(place), texts[place])
        if line not in question.left_out and cells.odd_cell("tag", tag) is None:
            first.setdefault(tag.strip().upper(), line)
    return first


def day_texts(sheet: Sheet, columns: Iterable[SheetColumn]) -> list[str]:
    """The dates of inspection as they were sent."""
    place = next((column.place for column in columns if column.field == "inspected_on"), None)
    return [] if place is None else [texts[place].strip() for _, texts in sheet.rows()]


def _tools_of(rows: Iterable[RowCells], *, is_locked: bool) -> dict[str, Tool]:
    tools = Tool.objects.filter(tag__in={row.tag for row in rows if row.tag}).for_list()
    if is_locked:
        tools = tools.select_for_update(of=("self",)).order_by("pk")
    return {tool.tag.upper(): tool for tool in tools}


def _with_parts(notes: str, parts: list[str]) -> str:
    """The notes with each part behind them that is not there yet."""
    for part in parts:
        if f"; {part}; " not in f"; {notes}; ":
            notes = f"{notes}; {part}" if notes else part
    return notes


def _other_kind(row: RowCells, tool: Tool) -> CellTrouble | None:
    said = row.cells.get("kind", "")
    kind = words.kind_of(said)
    if kind is None or kind == tool.kind:
        return None
    article = "an" if tool.kind[0] in "aeio" else "a"
    message = (
        f"{tool.tag} is {article} {tool.kind} in the book; a sheet does not change what a piece is. "
        "Use another tag or retire it first."
    )
    return CellTrouble("kind", shorten(said), message)


def _sentence(error: ValidationError, name: str, advice: Advice) -> str:
    if isinstance(error, AmbiguousDay):
        return f"{error.messages[0]} {advice.day_order}"
    if error.code == "required":
        return f"The {name} is missing."
    return error.messages[0]


def _refused(row: RowCells, troubles: list[CellTrouble]) -> RowOutcome:
    return RowOutcome(line=row.line, texts=row.texts, verdict=RowVerdict.REFUSED, tag=row.tag, troubles=tuple(troubles))
