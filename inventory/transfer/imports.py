"""What a sheet would do to the book, row by row, and doing it."""

from __future__ import annotations

import copy
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from inventory import words
from inventory.book import Book
from inventory.forms import FIELDS, PieceForm, as_fields
from inventory.inputs import AmbiguousDay, read_day
from inventory.lengths import Unit, shorten
from inventory.models import Condition, Kind, Location, Seat, Size, Tool
from inventory.models.tools import COLLETS, NEEDED_DETAILS, USABLE_CONDITIONS
from inventory.transfer import cells, headings
from inventory.transfer.headings import Column
from inventory.transfer.outcomes import Change, Outcome, Trouble, Verdict
from inventory.transfer.sheets import Sheet, SheetError


@dataclass(frozen=True, kw_only=True)
class Question:
    """A sheet and how it is to be read."""

    sheet: Sheet
    chosen: tuple[str, ...] = ()
    unit: Unit = Unit.INCH
    dates: str | None = None


@dataclass(frozen=True)
class Plan:
    question: Question
    outcomes: tuple[Outcome, ...]

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


def plan(sheet: Sheet, *, chosen: Iterable[str] = (), unit: Unit = Unit.INCH, dates: str | None = None) -> Plan:
    """What the sheet would do; nothing is written. Raises SheetError where the headings cannot be used."""
    question = Question(sheet=sheet, chosen=tuple(chosen), unit=Unit(unit), dates=dates)
    return _planned(question, _PaperBook())


def take(planned: Plan, *, by) -> Plan:
    """Put the good rows into the book, all or none, and return what was done.

    The rows are looked at again: the book may have changed since the plan was made. Raises SheetError where
    somebody else entered the same piece at the same moment.
    """
    try:
        with transaction.atomic():
            taken = _planned(planned.question, Book())
            for outcome in taken.good:
                outcome.form.save(by=by, finding=outcome.finding)
    except IntegrityError:
        raise SheetError("Somebody changed the book at the same moment; nothing was taken, try again.") from None
    return taken


class _PaperBook(Book):
    """The book for a plan: what it lacks is made on paper only."""

    def seat(self, code):
        return self.seats.get(code.upper()) or Seat(code=code)

    def place(self, name):
        return self.places.get(name.upper()) or Location(name=name)

    def size(self, figures, length):
        return Size(series=figures.series, shape=figures.shape, nominal=length)


def _planned(question: Question, book: Book) -> Plan:
    columns = headings.columns(question.sheet.headings, question.chosen)
    rows = [_Row(line, texts, columns) for line, texts in question.sheet.rows()]
    reader = _Reader(
        book=book,
        unit=question.unit,
        dates=question.dates or _order_of([row.cells.get("inspected_on", "") for row in rows]),
        tools=_tools_of(rows),
    )
    return Plan(question, tuple(reader.outcome(row) for row in rows))


def _tools_of(rows: list[_Row]) -> dict[str, Tool]:
    tags = {row.tag for row in rows if row.tag}
    return {tool.tag.upper(): tool for tool in Tool.objects.filter(tag__in=tags).for_list()}


def _order_of(texts: list[str]) -> str | None:
    """The order of day and month in a column, where some of its dates can only be one and none the other."""
    orders = set()
    for text in texts:
        found = re.match(r"(\d{1,2})[/.](\d{1,2})[/.]\d{4}", text, re.ASCII)
        if found and _is_certain(text):
            orders.add("mdy" if int(found[2]) > 12 else "dmy")
    return orders.pop() if len(orders) == 1 else None


def _is_certain(text: str) -> bool:
    """Whether a text is a date of which only one order of day and month is possible."""
    by_month, by_day = (read_day(text, order) for order in ("mdy", "dmy"))
    numbers = [int(number) for number in re.findall(r"\d+", text)[:2]]
    return by_month is not None and by_month == by_day and numbers[0] != numbers[1]


class _Row:
    """The texts of one row, by field; what belongs to no field is kept as parts for the notes."""

    def __init__(self, line: int, texts: tuple[str, ...], columns: list[Column]) -> None:
        self.line, self.texts = line, texts
        self.cells: dict[str, str] = {}
        self.extra: list[str] = []
        self.troubles: list[Trouble] = []
        for column in columns:
            text = texts[column.place]
            if text.strip():
                self._add(column, text)
        self.tag = self.cells.get("tag", "").upper()
        self.is_empty = not any(text.strip() for text in texts)

    def _add(self, column: Column, text: str) -> None:
        why = cells.odd_cell(column.field, text)
        if why:
            self.troubles.append(Trouble(column.field or "notes", shorten(text), why))
        elif column.field is None:
            self.extra.append(f"{column.heading}: {text.strip()}")
        else:
            self.cells[column.field] = cells.with_unit(column.field, text.strip(), column.unit)


class _Reader:
    """Reads rows one after the other against one book."""

    def __init__(self, *, book: Book, unit: Unit, dates: str | None, tools: dict[str, Tool]) -> None:
        self.book, self.unit, self.dates, self.tools = book, unit, dates, tools
        self.first_lines: dict[str, int] = {}
        self.form: PieceForm | None = None

    def outcome(self, row: _Row) -> Outcome:
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
        return self._read(row, tool)

    def _read(self, row: _Row, tool: Tool | None) -> Outcome:
        filled = self._filled(row, tool)
        form = PieceForm(filled, tool=copy.copy(tool), book=self.book, unit=self.unit, dates=self.dates, like=self.form)
        self.form = form
        troubles = row.troubles + _troubles(form, filled, {trouble.field for trouble in row.troubles})
        if troubles:
            return _refused(row, troubles)
        finding = self._new_finding(row, tool, form)
        return _compared(row, tool, form, finding)

    def _filled(self, row: _Row, tool: Tool | None) -> dict[str, str]:
        """The row as the form takes it: of a piece in the book, what it is need not be said again."""
        filled = dict(row.cells)
        known = as_fields(tool) if tool is not None else {}
        filled["kind"] = filled.get("kind") or known.get("kind", "")
        kind = words.kind_of(filled["kind"])
        if kind is None:
            return filled
        parts = list(row.extra)
        if kind not in COLLETS or (kind == Kind.MACHINABLE_COLLET and filled.get("shape")):
            found, kept = cells.shop_texts(kind, filled, self.book.seats, self.unit)
            filled = {**found, **filled}
            parts += kept
        if kind not in COLLETS:
            filled = {name: text for name, text in filled.items() if name not in cells.SHOP_TEXTS}
        elif known and known["kind"] == kind:
            for name in cells.SHOP_TEXTS:
                filled.setdefault(name, known[name])
        if filled.get("through", "").lower() == "solid":
            filled["through"], filled["solid"] = "", "on"
        filled["notes"] = _with_parts(filled.get("notes") or known.get("notes", ""), parts)
        return filled

    def _new_finding(self, row: _Row, tool: Tool | None, form: PieceForm) -> str:
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


def _troubles(form: PieceForm, filled: dict[str, str], told: set[str]) -> list[Trouble]:
    if form.is_valid():
        return []
    found = [
        Trouble(name, shorten(filled.get(name, "")), _sentence(errors[0], name))
        for name, errors in form.errors.as_data().items()
        if name not in told
    ]
    return sorted(found, key=lambda trouble: FIELDS.index(trouble.field) if trouble.field in FIELDS else 0)


def _sentence(error: ValidationError, name: str) -> str:
    if isinstance(error, AmbiguousDay):
        return f"{error.messages[0]} For the whole sheet, say --dates mdy or --dates dmy."
    if error.code == "required":
        return f"The {name} is missing."
    return error.messages[0]


def _refused(row: _Row, troubles: list[Trouble]) -> Outcome:
    return Outcome(line=row.line, texts=row.texts, verdict=Verdict.REFUSED, tag=row.tag, troubles=tuple(troubles))


def _compared(row: _Row, tool: Tool | None, form: PieceForm, finding: str) -> Outcome:
    """The row against the piece as it stands in the book."""
    before = as_fields(tool) if tool is not None else {}
    after = _as_it_would_be(form, finding)
    changes = tuple(
        Change(name, before[name], text)
        for name, text in as_fields(after).items()
        if tool is not None and before[name] != text
    )
    verdict = Verdict.NEW if tool is None else Verdict.CHANGED if changes or finding else Verdict.SAME
    return Outcome(
        line=row.line,
        texts=row.texts,
        verdict=verdict,
        tag=after.tag,
        changes=changes,
        details_missing=_lacks_details(after),
        form=form,
        finding=finding,
    )


def _as_it_would_be(form: PieceForm, finding: str) -> Tool:
    """The piece as `Tool.record` will leave it."""
    after = copy.copy(form.applied())
    is_read = form.says_new_reading(after)
    if is_read:
        tir, day = form.cleaned_data["tir"], form.cleaned_data["inspected_on"]
        after.tir, after.inspected_on = (after.tir if tir is None else tir), day
    is_unfit = finding or (is_read and after.is_found_unfit)
    if is_unfit and after.condition in USABLE_CONDITIONS:
        after.condition = Condition.DAMAGED
    return after


def _lacks_details(tool: Tool) -> bool:
    return any(getattr(tool, name) is None for name in NEEDED_DETAILS.get(tool.kind, ()))
