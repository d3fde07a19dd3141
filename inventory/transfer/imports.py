"""What a sheet would do to the book, row by row, and doing it."""

from __future__ import annotations

import copy
import hashlib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory import words
from inventory.book import Book
from inventory.forms import FIELDS, PieceForm, as_fields
from inventory.inputs import AmbiguousDay
from inventory.lengths import Unit, shorten
from inventory.models import Kind, Location, Seat, Size, Tool
from inventory.models.kinds import COLLETS
from inventory.transfer import advice, cells, dates, headings
from inventory.transfer.advice import Advice
from inventory.transfer.compared import compared
from inventory.transfer.headings import Column
from inventory.transfer.outcomes import Outcome, Trouble, Verdict
from inventory.transfer.rows import Row
from inventory.transfer.sheets import Sheet, SheetError


@dataclass(frozen=True, kw_only=True)
class Question:
    """A sheet and how it is to be read."""

    sheet: Sheet
    chosen: tuple[str, ...] = ()
    unit: Unit = Unit.INCH
    dates: str | None = None
    advice: Advice = advice.COMMAND


@dataclass(frozen=True, kw_only=True)
class Plan:
    """What a sheet would do. `dates` is the order of day and month that was used, None where none was known."""

    question: Question
    columns: tuple[Column, ...]
    dates: str | None
    outcomes: tuple[Outcome, ...]

    @property
    def read_columns(self) -> tuple[Column, ...]:
        return tuple(column for column in self.columns if column.field is not None)

    @property
    def noted_columns(self) -> tuple[Column, ...]:
        """Columns that belong to no field and say something: they go into the notes."""
        said = {place for outcome in self.outcomes for place, text in enumerate(outcome.texts) if text.strip()}
        return tuple(column for column in self.columns if column.field is None and column.place in said)

    @property
    def has_dates(self) -> bool:
        return any(column.field == "inspected_on" for column in self.columns)

    @property
    def to_look_at(self) -> list[Outcome]:
        """The rows in the order in which somebody has to look at them."""
        return sorted(self.outcomes, key=lambda outcome: outcome.group)

    @property
    def digest(self) -> str:
        """The same for two plans that would do the same with every row."""
        return hashlib.sha256(repr(self.outcomes).encode()).hexdigest()

    @property
    def refused(self) -> tuple[Outcome, ...]:
        return tuple(outcome for outcome in self.outcomes if outcome.verdict is Verdict.REFUSED)

    @property
    def good(self) -> tuple[Outcome, ...]:
        return tuple(outcome for outcome in self.outcomes if outcome.is_good)

    def report(self) -> dict:
        """The figures of the whole sheet and its refused rows, as `import_sheet --json` prints them."""
        count = Counter(outcome.verdict for outcome in self.outcomes)
        return {
            "rows": len(self.outcomes),
            "added": count[Verdict.NEW],
            "updated": count[Verdict.CHANGED],
            "unchanged": count[Verdict.SAME],
            "details_missing": sum(outcome.details_missing for outcome in self.outcomes),
            "empty": count[Verdict.EMPTY],
            "refused": [outcome.as_json() for outcome in self.refused],
        }


def plan(
    sheet: Sheet,
    *,
    chosen: Iterable[str] = (),
    unit: Unit = Unit.INCH,
    dates: str | None = None,
    advice: Advice = advice.COMMAND,
) -> Plan:
    """What the sheet would do; nothing is written. Raises SheetError where the headings cannot be used."""
    question = Question(sheet=sheet, chosen=tuple(chosen), unit=Unit(unit), dates=dates, advice=advice)
    return _planned(question, _PaperBook())


def take(planned: Plan, *, by, shown: str | None = None) -> Plan:
    """Put the good rows into the book, all or none, and return what was done.

    The rows are looked at again: the book may have changed since the plan was made. `shown` is the digest of the
    plan that somebody agreed to. Raises SheetError where that is no longer what would be done, or where somebody
    else entered the same piece at the same moment.
    """
    try:
        with transaction.atomic():
            taken = _planned(planned.question, Book())
            if shown is not None and shown != taken.digest:
                raise SheetError("The book changed since this preview: look again.")
            for outcome in taken.good:
                outcome.form.save(by=by, finding=outcome.finding)
    except IntegrityError:
        raise SheetError("Somebody changed the book at the same moment; nothing was taken, try again.") from None
    return taken


class _PaperBook(Book):
    """The book for a plan: what it lacks is made on paper only."""

    def seat(self, code):
        return self.seats.setdefault(code.upper(), Seat(code=code))

    def place(self, name):
        return self.places.setdefault(name.upper(), Location(name=name))

    def size(self, figures, length):
        return Size(series=figures.series, shape=figures.shape, nominal=length)

    def bored(self, figures, bore):
        return self.size(figures, bore)


def _planned(question: Question, book: Book) -> Plan:
    columns = headings.columns(question.sheet.headings, question.chosen, advice=question.advice)
    rows = [Row(line, texts, columns) for line, texts in question.sheet.rows()]
    order = question.dates or dates.order_of(row.cells.get("inspected_on", "") for row in rows)
    reader = _Reader(question, book=book, dates=order, tools=_tools_of(rows), today=timezone.localdate())
    outcomes = tuple(reader.outcome(row) for row in rows)
    return Plan(question=question, columns=tuple(columns), dates=order, outcomes=outcomes)


def _tools_of(rows: list[Row]) -> dict[str, Tool]:
    tags = {row.tag for row in rows if row.tag}
    return {tool.tag.upper(): tool for tool in Tool.objects.filter(tag__in=tags).for_list()}


class _Reader:
    """Reads rows one after the other against one book."""

    def __init__(
        self, question: Question, *, book: Book, dates: str | None, tools: dict[str, Tool], today: date
    ) -> None:
        self.book, self.dates, self.tools, self.today = book, dates, tools, today
        self.unit, self.chosen_dates, self.advice = question.unit, question.dates, question.advice
        self.first_lines: dict[str, int] = {}
        self.form: PieceForm | None = None

    def outcome(self, row: Row) -> Outcome:
        if row.is_empty:
            return Outcome(line=row.line, texts=row.texts, verdict=Verdict.EMPTY)
        # The second of two is refused even where the first was: once the first is put right it would
        # overwrite the second.
        first_line = self.first_lines.setdefault(row.tag, row.line) if row.tag else row.line
        if first_line != row.line:
            return _refused(row, [Trouble("tag", row.tag, f"{row.tag} stands in row {first_line} already.")])
        tool = self.tools.get(row.tag)
        if tool is not None and tool.retired_at is not None:
            message = f"{tool.tag} was retired. Give this piece another tag, or take the old one back first."
            return _refused(row, [Trouble("tag", row.tag, message)])
        if tool is not None and (trouble := _other_kind(row, tool)):
            return _refused(row, [trouble, *row.troubles])
        return self._read(row, tool)

    def _read(self, row: Row, tool: Tool | None) -> Outcome:
        filled = self._filled(row, tool)
        form = PieceForm(filled, tool=copy.copy(tool), book=self.book, unit=self.unit, dates=self.dates, like=self.form)
        self.form = form
        troubles = row.troubles + self._troubles(row, form, filled)
        if troubles:
            return _refused(row, troubles)
        return compared(row, tool, form, self._new_finding(row, tool, form))

    def _troubles(self, row: Row, form: PieceForm, filled: dict[str, str]) -> list[Trouble]:
        """What is wrong beside the odd cells, in the order of the fields."""
        found = []
        day = row.cells.get("inspected_on", "")
        why = dates.odd_day(day, order=self.dates, chosen=self.chosen_dates, today=self.today)
        if why:
            found.append(Trouble("inspected_on", shorten(day), why))
        told = {trouble.field for trouble in row.troubles + found}
        if not form.is_valid():
            found += [
                Trouble(name, shorten(filled.get(name, "")), _sentence(errors[0], name, self.advice))
                for name, errors in form.errors.as_data().items()
                if name not in told
            ]
        return sorted(found, key=lambda trouble: FIELDS.index(trouble.field) if trouble.field in FIELDS else 0)

    def _filled(self, row: Row, tool: Tool | None) -> dict[str, str]:
        """The row as the form takes it: of a piece in the book, what it is need not be said again."""
        filled = dict(row.cells)
        known = as_fields(tool) if tool is not None else {}
        filled["kind"] = filled.get("kind") or known.get("kind", "")
        kind = words.kind_of(filled["kind"])
        if kind is None:
            return filled
        parts = list(row.extra)
        if kind != Kind.COLLET and (kind != Kind.MACHINABLE_COLLET or filled.get("shape")):
            found, kept = cells.shop_texts(kind, filled, self.book.seats, self.unit)
            filled = {**found, **cells.without_shop_texts(kind, filled, self.unit)}
            parts += kept
        if kind in COLLETS and known and known["kind"] == kind:
            for name in cells.SHOP_TEXTS:
                filled.setdefault(name, known[name])
        if filled.get("through", "").lower() == "solid":
            filled["through"], filled["solid"] = "", "on"
        filled["notes"] = _with_parts(filled.get("notes") or known.get("notes", ""), parts)
        return filled

    def _new_finding(self, row: Row, tool: Tool | None, form: PieceForm) -> str:
        """What the remarks report; remarks that stand in the book already report nothing new."""
        if tool is not None and form.cleaned_data["notes"] in {"", tool.notes}:
            return ""
        return cells.finding_in(row.cells.get("notes", "")) or ""


def _with_parts(notes: str, parts: list[str]) -> str:
    """The notes with each part behind them that is not there yet."""
    for part in parts:
        if f"; {part}; " not in f"; {notes}; ":
            notes = f"{notes}; {part}" if notes else part
    return notes


def _other_kind(row: Row, tool: Tool) -> Trouble | None:
    said = row.cells.get("kind", "")
    kind = words.kind_of(said)
    if kind is None or kind == tool.kind:
        return None
    article = "an" if tool.kind[0] in "aeio" else "a"
    message = (
        f"{tool.tag} is {article} {tool.kind} in the book; a sheet does not change what a piece is. "
        "Use another tag or retire it first."
    )
    return Trouble("kind", shorten(said), message)


def _sentence(error: ValidationError, name: str, advice: Advice) -> str:
    if isinstance(error, AmbiguousDay):
        return f"{error.messages[0]} {advice.day_order}"
    if error.code == "required":
        return f"The {name} is missing."
    return error.messages[0]


def _refused(row: Row, troubles: list[Trouble]) -> Outcome:
    return Outcome(line=row.line, texts=row.texts, verdict=Verdict.REFUSED, tag=row.tag, troubles=tuple(troubles))
