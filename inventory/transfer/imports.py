"""What a sheet would do to the book, row by row, and doing it."""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from django.core.exceptions import ValidationError
from django.utils import timezone
from msgspec import Struct

from inventory.measures.days import AmbiguousDay
from inventory.measures.lengths import Unit, shorten
from inventory.models import Kind, Tool, User
from inventory.models.kinds import COLLETS
from inventory.pieces import words
from inventory.pieces.book import Book
from inventory.pieces.fields import SHEET_FIELDS, as_fields
from inventory.pieces.form import PieceForm
from inventory.transfer import cells, dates, errors, headings, saving
from inventory.transfer.asked import RowDoubt, SheetAsk, asks_of
from inventory.transfer.book_rows import BookRows
from inventory.transfer.books import KnowingBook, PaperBook
from inventory.transfer.contents import content
from inventory.transfer.errors import Advice, SheetError
from inventory.transfer.giving_way import give_way
from inventory.transfer.headings import SheetColumn
from inventory.transfer.numbering import Numbering
from inventory.transfer.outcomes import CellTrouble, RowOutcome, RowVerdict, digest_of
from inventory.transfer.reading.rows import LEAVE_OUT, RowRead, read_row
from inventory.transfer.reading.tables import RowRole
from inventory.transfer.rows import NOTHING, RowCells
from inventory.transfer.saving import piece_outcome, reading_outcome
from inventory.transfer.sheets import Sheet
from inventory.transfer.surveys import NUMBER_THEM, SheetSurvey, day_texts


@dataclass(frozen=True, kw_only=True)
class SheetQuestion:
    """A sheet and how it is to be read.

    `choices` say for each column what it is, where somebody said so of all; else `chosen` texts like those of --map
    and then `remembered` choices go before the guess. `mended` are cells written anew by the row number, as `Row`
    takes them; the rows of `left_out` are not read. `answers` are what was answered to the questions of the sheet, by
    their key. `sections` says whether section rows are `places` or `headings`, `numbers_pieces` whether those without
    a tag get the next free one, `keeps_repeats` whether a tag that stands again is a dated reading, `is_our_own`
    whether Gripbook wrote it.
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
    sections: str = ""
    numbers_pieces: bool = False
    keeps_repeats: bool = False
    is_our_own: bool = False

    def columns(self, series: Iterable[str] = ()) -> list[SheetColumn]:
        """Raises SheetError where the headings cannot be used. `series` are the families of the book."""
        if self.choices is not None:
            return headings.chosen_columns(self.sheet.headings, list(self.choices), advice=self.advice, needs_tag=False)
        codes = [code.upper() for code in series]
        cells = zip(*self.sheet.lines, strict=True) if self.sheet.lines else [()] * len(self.sheet.headings)
        named = {" ".join(text.rpartition("=")[0].split()).casefold() for text in self.chosen}
        read = headings.columns(
            self.sheet.headings,
            self.chosen,
            remembered=self.remembered,
            contents=[content(texts, series=codes) for texts in cells],
            advice=self.advice,
            needs_tag=False,
        )
        # A column that is hidden is read only where somebody named it.
        return [
            column for column in read if column.place not in self.sheet.hidden or column.heading.casefold() in named
        ]


class SheetPlan(Struct, frozen=True, kw_only=True):
    """What a sheet would do. `dates` is the order of day and month that was used, None where none was known."""

    question: SheetQuestion
    columns: tuple[SheetColumn, ...]
    dates: str | None
    outcomes: tuple[RowOutcome, ...]
    places: tuple[dict[str, str | list[str]], ...] = ()

    @property
    def digest(self) -> str:
        """The same for two plans that would do the same with every row."""
        return digest_of(outcome.as_stored() for outcome in self.outcomes)

    @property
    def new_count(self) -> int:
        """How many pieces would be added: a row can be several."""
        return sum(1 + len(row.others) for row in self.outcomes if row.verdict is RowVerdict.NEW) + sum(
            len(row.others) for row in self.outcomes if row.verdict in {RowVerdict.SAME, RowVerdict.CHANGED}
        )

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
        others = [row for row in self.outcomes if row.verdict is RowVerdict.NOT_OURS]
        not_ours = {"not_for_this_book": [{"line": row.line, "read": row.what_it_says} for row in others]}
        readings = {"readings": count[RowVerdict.READING]} if count[RowVerdict.READING] else {}
        places = {"places": list(self.places)} if self.places else {}
        return {
            "rows": len(self.outcomes),
            "added": self.new_count,
            "updated": count[RowVerdict.CHANGED],
            "unchanged": count[RowVerdict.SAME],
            "details_missing": sum(outcome.details_missing for outcome in self.outcomes),
            "empty": count[RowVerdict.EMPTY],
            **left_out,
            **readings,
            **places,
            **(not_ours if others else {}),
            "refused": [outcome.as_json() for outcome in self.refused],
            "asked": [ask.as_json() for ask in self.asked if not ask.answer],
        }


def plan(sheet: Sheet, *, unit: Unit = Unit.INCH, chosen: Iterable[str] = (), **how) -> SheetPlan:
    """What the sheet would do; nothing is written. `how` are further words of the Question. Raises SheetError."""
    return plan_of(SheetQuestion(sheet=sheet, chosen=tuple(chosen), unit=Unit(unit), **how))


def plan_of(question: SheetQuestion) -> SheetPlan:
    """What the sheet of this question would do."""
    return SheetReading(question, PaperBook()).plan()


def enter(question: SheetQuestion, *, by: User | None, book_rows: BookRows) -> SheetPlan:
    """Put the good rows into the book at once, to see what comes of it, within a transaction of who calls; `book_rows`
    hear of all that is made and changed. Raises SheetError where the headings cannot be used."""
    book = KnowingBook()
    reading = SheetReading(question, book)
    plan = reading.plan()
    book_rows.note_before_change(reading.tools[row.tag] for row in plan.good if row.verdict is RowVerdict.CHANGED)
    book_rows.note_made([*book.new_places, *book.new_seats])
    saving.write(plan.good, by=by, book_rows=book_rows)
    saving.write_readings(plan.outcomes, by=by, book_rows=book_rows)
    return plan


HIDDEN_ROWS = RowDoubt(
    key="hidden rows",
    about="The spreadsheet hides rows that have pieces in them. Do they count?",
    choices=("they count", LEAVE_OUT),
)


class BookChanged(SheetError):
    """What would be done is not what was shown."""


class SheetReading:
    """The rows of a sheet, read against one book, all at once or some after the other.

    `entered` are the tags that earlier rows of the same sheet have got: no other row means those pieces.
    Raises SheetError where the headings cannot be used.
    """

    def __init__(self, question: SheetQuestion, book: Book, *, entered: frozenset[str] = frozenset()) -> None:
        self.question, self.book = question, book
        self.columns = question.columns(book.series)
        self.survey = SheetSurvey(
            question.sheet,
            self.columns,
            book,
            unit=question.unit,
            answers=question.answers,
            sections=question.sections,
            numbers_pieces=question.numbers_pieces or question.answers.get("tags") == NUMBER_THEM,
            order=question.dates or dates.order_of(day_texts(question.sheet, self.columns)),
            is_our_own=question.is_our_own,
        )
        self.dates = self.survey.order
        self.has_spaced_tags = _has_spaced_tags(question, self.columns)
        self.first_lines = _first_lines(question, self.columns, has_spaced_tags=self.has_spaced_tags)
        self.numbering = Numbering(book, self.first_lines.keys() | entered)
        self.today = timezone.localdate()
        self.tools: dict[str, Tool] = {}
        self.form: PieceForm | None = None

    def plan(self) -> SheetPlan:
        return SheetPlan(
            question=self.question,
            columns=tuple(self.columns),
            dates=self.dates,
            outcomes=tuple(self.outcomes(self.rows())),
            places=tuple(self.survey.places_in_several_spellings),
        )

    def rows(self, *, after: int = 0) -> Iterator[RowCells]:
        """The rows below the headings, or those below the row of this number."""
        for line, texts in self.question.sheet.rows():
            if line > after:
                mended, is_left_out = self.question.mended.get(line, NOTHING), line in self.question.left_out
                yield RowCells(
                    line,
                    texts,
                    self.columns,
                    mended=mended,
                    is_left_out=is_left_out,
                    has_spaced_tags=self.has_spaced_tags,
                )

    def outcomes(self, rows: Iterable[RowCells]) -> list[RowOutcome]:
        """What becomes of these rows, each a row of this reading."""
        rows = list(rows)
        self.tools = _tools_of(rows)
        outcomes = []
        for row in rows:
            give_way()
            outcomes.append(self._outcome(row))
        return outcomes

    def _outcome(self, row: RowCells) -> RowOutcome:
        if row.is_left_out:
            return RowOutcome(line=row.line, texts=row.texts, verdict=RowVerdict.LEFT_OUT, tag=row.tag)
        if row.is_empty:
            return RowOutcome(line=row.line, texts=row.texts, verdict=RowVerdict.EMPTY)
        if row.line in self.survey.roles:
            is_section = self.survey.roles[row.line] is RowRole.SECTION
            verdict = RowVerdict.SECTION if is_section else RowVerdict.NO_PIECE
            return RowOutcome(line=row.line, texts=row.texts, verdict=verdict)
        # The second of two is refused even where the first was: once the first is put right it would
        # overwrite the second.
        first_line = self.first_lines[row.tag] if row.tag else row.line
        if first_line != row.line and self.question.keeps_repeats:
            return self._repeated_reading(row, first_line)
        if first_line != row.line:
            return _refusal(row, [CellTrouble("tag", row.tag, f"{row.tag} stands in row {first_line} already.")])
        tool = self.tools.get(row.tag)
        if tool is not None and tool.retired_at is not None:
            message = f"{tool.tag} was retired. Give this piece another tag, or take the old one back first."
            return _refusal(row, [CellTrouble("tag", row.tag, message)])
        return self._outcome_as_read(row, tool)

    def _outcome_as_read(self, row: RowCells, tool: Tool | None) -> RowOutcome:
        """The row as its shop means it, or what is to be asked about it."""
        read = self._read_row(row, tool)
        if not read.is_ours:
            return RowOutcome(line=row.line, texts=row.texts, verdict=RowVerdict.NOT_OURS, tag=row.tag)
        doubts = tuple(read.doubts)
        if read.is_left_out or any(self.question.answers.get(doubt.key) == LEAVE_OUT for doubt in doubts):
            return RowOutcome(line=row.line, texts=row.texts, verdict=RowVerdict.LEFT_OUT, tag=row.tag, doubts=doubts)
        if any(not self.question.answers.get(doubt.key) for doubt in doubts):
            return RowOutcome(
                line=row.line,
                texts=row.texts,
                verdict=RowVerdict.ASKED,
                tag=row.tag,
                doubts=doubts,
                read=tuple(read.fields.items()),
            )
        if tool is not None and (trouble := _other_kind(row, read.fields.get("kind", ""), tool)):
            return _refusal(row, [trouble, *row.troubles])
        outcome = self._with_others(row, read, tool)
        return replace(outcome, doubts=doubts, read=tuple(read.fields.items()))

    def _read_row(self, row: RowCells, tool: Tool | None) -> RowRead:
        row_cells = dict(row.cells)
        if tool is not None and not row_cells.get("kind"):
            row_cells["kind"] = str(tool.kind)
        doubts: list[RowDoubt | None] = []
        for name, (date_read, fraction) in row.fractions.items():
            row_cells[name] = fraction
            doubts.append(self.survey.fraction(date_read, fraction))
        read = read_row(row_cells, row.extra, self.survey.context)
        if tool is not None and "jaws" not in row_cells:
            # Another word for what a piece is changes nothing of one that is in the book.
            read.fields.pop("jaws", None)
        if row.line in self.question.sheet.hidden_lines:
            doubts.append(HIDDEN_ROWS)
        is_set = any(doubt.key.startswith("set:") for doubt in read.doubts)
        if not row.tag and not is_set and not any(trouble.field == "tag" for trouble in row.troubles):
            doubts.append(self.survey.without_tag())
        if read.fields.get("location") or tool is None:
            read.fields["location"], doubt = self.survey.place(row.line, read.fields.get("location", ""))
            doubts.append(doubt)
        if day := read.fields.get("inspected_on"):
            read.fields["inspected_on"], doubt = self.survey.day(day)
            doubts.append(doubt)
        if tool is not None:
            # What the piece is, the book knows.
            read.doubts = [doubt for doubt in read.doubts if not doubt.key.startswith("word:")]
        read.doubts += [doubt for doubt in doubts if doubt is not None]
        return read

    def _with_others(self, row: RowCells, read: RowRead, tool: Tool | None) -> RowOutcome:
        """What becomes of the row, and of the further pieces that it stands for."""
        sizes = read.sizes[1:] or ("",) * (read.quantity - 1)
        first = self._with_free_tag(row, read.fields, read, tool, behind="")
        if not first.is_good and first.verdict is not RowVerdict.SAME:
            return first
        others = []
        for size in sizes:
            fields = {**read.fields, "size": size} if size else dict(read.fields)
            other = self._with_free_tag(row, fields, read, None, behind=first.tag)
            if other.verdict is RowVerdict.REFUSED:
                return replace(other, tag=first.tag)
            others += [other] if other.verdict is RowVerdict.NEW else []
        return replace(first, others=tuple(others))

    def _with_free_tag(
        self, row: RowCells, fields: dict[str, str], read: RowRead, tool: Tool | None, *, behind: str
    ) -> RowOutcome:
        """The outcome of a piece, with the next free tag where it has none of its own.

        One that is in the book just so, with a tag that no row names, is that piece: the same sheet again adds nothing.
        """
        if row.tag and not behind:
            return self._outcome_of_piece(row, dict(fields), read, tool)
        tag = self.numbering.next_tag(fields.get("kind", ""), behind)
        outcome = self._outcome_of_piece(row, {**fields, "tag": tag}, read, None)
        if outcome.verdict is not RowVerdict.NEW or outcome.after is None:
            return outcome
        if in_book := self.numbering.in_book(outcome.after):
            return replace(outcome, verdict=RowVerdict.SAME, tag=in_book, after=None, inspection=None)
        self.numbering.take(tag)
        return outcome

    def _outcome_of_piece(self, row: RowCells, fields: dict[str, str], read: RowRead, tool: Tool | None) -> RowOutcome:
        filled = self._form_texts(fields, read, tool)
        form = PieceForm(
            filled, tool=copy.copy(tool), book=self.book, unit=self.question.unit, dates=self.dates, like=self.form
        )
        self.form = form
        troubles = row.troubles + self._troubles(row, form, filled)
        if troubles:
            return _refusal(row, troubles)
        finding = self._new_finding(row, read, tool, form)
        return piece_outcome(row, tool, form, finding, missing_since=self.today if read.is_missing else None)

    def _repeated_reading(self, row: RowCells, first_line: int) -> RowOutcome:
        """A reading of a piece that stands in a row above."""
        read = self._read_row(row, self.tools.get(row.tag))
        doubts = tuple(doubt for doubt in read.doubts if doubt.key in {"dates", "tir:unit"})
        if any(not self.question.answers.get(doubt.key) for doubt in doubts):
            return RowOutcome(line=row.line, texts=row.texts, verdict=RowVerdict.ASKED, tag=row.tag, doubts=doubts)
        fields = {name: read.fields[name] for name in ("kind", "tir", "inspected_on") if read.fields.get(name)}
        form = PieceForm(
            {"tag": row.tag, **read.fields, **fields},
            book=self.book,
            unit=self.question.unit,
            dates=self.dates,
            like=self.form,
        )
        self.form = form
        troubles = row.troubles + self._troubles(row, form, fields)
        troubles = [trouble for trouble in troubles if trouble.field in {"tir", "inspected_on"}]
        day = None if troubles else form.cleaned_data.get("inspected_on")
        if troubles:
            return _refusal(row, troubles)
        if day is None:
            message = f"{row.tag} stands in row {first_line} already; a further reading needs its date."
            return _refusal(row, [CellTrouble("tag", row.tag, message)])
        return reading_outcome(row, tir=form.cleaned_data.get("tir"), day=day, finding=read.finding)

    def _troubles(self, row: RowCells, form: PieceForm, filled: dict[str, str]) -> list[CellTrouble]:
        """What is wrong beside the odd cells, in the order of the fields."""
        troubles = []
        day = filled.get("inspected_on", "")
        why = dates.odd_day(day, order=self.dates, chosen=self.question.dates, today=self.today)
        if why:
            troubles.append(CellTrouble("inspected_on", shorten(day), why))
        fields_named = {trouble.field for trouble in row.troubles + troubles}
        if not form.is_valid():
            troubles += [
                CellTrouble(name, shorten(filled.get(name, "")), _sentence(errors[0], name, self.question.advice))
                for name, errors in form.errors.as_data().items()
                if name not in fields_named
            ]
        place = {name: number for number, name in enumerate(SHEET_FIELDS)}
        return sorted(troubles, key=lambda trouble: place.get(trouble.field, 0))

    def _form_texts(self, fields: dict[str, str], read: RowRead, tool: Tool | None) -> dict[str, str]:
        """The row as the form takes it: of a piece in the book, what it is need not be said again."""
        filled = dict(fields)
        known = as_fields(tool) if tool is not None else {}
        filled["kind"] = filled.get("kind") or known.get("kind", "")
        kind = words.kind_of(filled["kind"])
        if kind is None:
            return filled
        if kind in COLLETS and not known:
            filled = cells.spread_out(kind, filled, self.book.series)
        parts = [part for part in (*read.notes, *(read.described if tool is None else ())) if part]
        if kind != Kind.COLLET and (kind != Kind.MACHINABLE_COLLET or filled.get("shape")):
            fields_read, texts = cells.shop_texts(kind, filled, self.book.seats, self.question.unit)
            filled = {**fields_read, **cells.without_shop_texts(kind, filled, self.question.unit)}
            parts += texts
        if kind in COLLETS and known and known["kind"] == kind:
            for name in cells.SHOP_TEXTS:
                filled.setdefault(name, known[name])
        if filled.get("through", "").lower() == "solid":
            filled["through"], filled["solid"] = "", "on"
        filled["notes"] = _with_parts(filled.get("notes") or known.get("notes", ""), parts)
        return filled

    def _new_finding(self, row: RowCells, read: RowRead, tool: Tool | None, form: PieceForm) -> str:
        """What the remarks report; remarks that stand in the book already report nothing new, and a workbook of our own
        has its findings in their own table."""
        if self.question.is_our_own:
            return ""
        if tool is not None and form.cleaned_data["notes"] in {"", tool.notes}:
            return ""
        return read.finding or cells.finding_in(row.cells.get("notes", "")) or ""


def _place_of_tags(columns: Iterable[SheetColumn]) -> int | None:
    return next((column.place for column in columns if column.field == "tag"), None)


def _has_spaced_tags(question: SheetQuestion, columns: Iterable[SheetColumn]) -> bool:
    """Whether most tags of the sheet are written like `E 101`: where few are, a blank is a slip."""
    place = _place_of_tags(columns)
    tags = [] if place is None else [text for _, texts in question.sheet.rows() if (text := texts[place].strip())]
    return 2 * sum(cells.is_spaced_tag(tag) for tag in tags) > len(tags)


def _first_lines(question: SheetQuestion, columns: Iterable[SheetColumn], *, has_spaced_tags: bool) -> dict[str, int]:
    """The first row of each tag."""
    place = _place_of_tags(columns)
    first: dict[str, int] = {}
    if place is None:
        return first
    for line, texts in question.sheet.rows():
        tag = question.mended.get(line, NOTHING).get(str(place), texts[place])
        if line not in question.left_out and cells.odd_cell("tag", tag) is None:
            plain = cells.plain_tag(tag) if has_spaced_tags else tag.strip()
            first.setdefault(plain.upper(), line)
    return first


def _tools_of(rows: Iterable[RowCells]) -> dict[str, Tool]:
    tools = Tool.objects.filter(tag__in={row.tag for row in rows if row.tag}).for_list()
    return {tool.tag.upper(): tool for tool in tools}


def _with_parts(notes: str, parts: list[str]) -> str:
    """The notes with each part behind them that is not there yet."""
    for part in parts:
        if f"; {part}; " not in f"; {notes}; ":
            notes = f"{notes}; {part}" if notes else part
    return notes


def _other_kind(row: RowCells, read_as: str, tool: Tool) -> CellTrouble | None:
    kind_text, kind = row.cells.get("kind", ""), words.kind_of(read_as)
    if kind is None or kind == tool.kind:
        return None
    article = "an" if tool.kind[0] in "aeio" else "a"
    message = (
        f"{tool.tag} is {article} {tool.kind} in the book; a sheet does not change what a piece is. "
        "Use another tag or retire it first."
    )
    return CellTrouble("kind", shorten(kind_text), message)


def _sentence(error: ValidationError, name: str, advice: Advice) -> str:
    if isinstance(error, AmbiguousDay):
        return f"{error.messages[0]} {advice.day_order}"
    if error.code == "required":
        return f"The {name} is missing."
    return error.messages[0]


def _refusal(row: RowCells, troubles: list[CellTrouble]) -> RowOutcome:
    return RowOutcome(line=row.line, texts=row.texts, verdict=RowVerdict.REFUSED, tag=row.tag, troubles=tuple(troubles))
