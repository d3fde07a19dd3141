"""A sheet that was sent to the page: kept with its rows, matched, asked about, read in steps and taken.

All of it lives in the database, so that a lost connection or another device changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import cached_property
from itertools import islice
from time import monotonic, thread_time

from django.db import IntegrityError, transaction
from django.db.models import Count, F, Max
from django.utils import timezone

from inventory.measures.lengths import Unit
from inventory.models import KnownHeading, Series, SeriesShape, SheetImport, SheetRow, User
from inventory.transfer import entry, errors, headings, imports, sheets
from inventory.transfer.asking import open_questions
from inventory.transfer.books import PaperBook
from inventory.transfer.contents import Content, content
from inventory.transfer.dates import order_of
from inventory.transfer.errors import SheetError
from inventory.transfer.giving_way import let_others_write
from inventory.transfer.headings import NOTED, SheetColumn
from inventory.transfer.outcomes import RowGroup, RowOutcome, RowVerdict, digest_of
from inventory.transfer.sheets import Grid, Sheet
from inventory.transfer.tabs import taking
from inventory.transfer.tabs.own import OwnWorkbook, own_workbook
from inventory.transfer.texts import packed, unpacked

STEP_SECONDS = 1.5
"""How long one request works on rows before it shows how far it is."""

_BATCH = 200
_ROWS_AT_ONCE = 500
"""That one transaction keeps; others may write before the next."""


def begin(grid: Grid, *, content: bytes, by) -> SheetImport:
    """Keep a sheet that was sent, and forget those that nobody took for a month. Raises SheetError."""
    SheetImport.objects.forgotten(now=timezone.now()).delete()
    sent = SheetImport.objects.create(name=grid.name[:200], content=content, made_by=by)
    try:
        _keep_rows(sent, grid)
    except (IntegrityError, SheetImport.DoesNotExist):
        raise SheetError(f"{grid.name} was discarded while it was being sent.") from None
    return sent


def _keep_rows(sent: SheetImport, grid: Grid) -> None:
    """Write down the rows, some at a time, and then where its headings are; until then it counts as not kept.

    Where that was cut off, or two do it at once, the rows that are there already stay.
    """
    rows = [
        SheetRow(sheet=sent, line=line, texts=[packed(text) for text in row])
        for line, row in enumerate(grid.rows, start=1)
    ]
    for start in range(0, len(rows), _ROWS_AT_ONCE):
        if start:
            let_others_write()
        SheetRow.objects.bulk_create(rows[start : start + _ROWS_AT_ONCE], ignore_conflicts=True)
    top = grid.headings_line()
    fresh = SheetImport.objects.filter(pk=sent.pk, headings_line=None)
    fresh.update(headings_line=top, unread=list(grid.unread), read_upto=top)
    sent.refresh_from_db(fields=["headings_line", "unread", "read_upto"])


class SheetInProgress:
    """One sheet that was sent, with what was said about it and its rows as far as they are read."""

    def __init__(self, sent: SheetImport) -> None:
        self.sent = sent

    @cached_property
    def rows(self) -> list[SheetRow]:
        rows = list(self.sent.rows.order_by("line").defer("outcome"))
        if self.sent.taken_at is not None or (rows and self.sent.headings_line is not None):
            return rows
        # Its sending was cut off, or it was sent before rows were kept.
        _keep_rows(self.sent, sheets.grid(bytes(self.sent.content), name=self.sent.name))
        return list(self.sent.rows.order_by("line").defer("outcome"))

    @cached_property
    def sheet(self) -> Sheet:
        """As it was sent, below its headings."""
        return self.grid.sheet(self.sent.headings_line)

    @property
    def grid(self) -> Grid:
        return Grid(self.sent.name, [texts_of(row) for row in self.rows], tuple(self.sent.unread))

    @property
    def contents(self) -> list[Content]:
        series = [code.upper() for code in Series.objects.values_list("code", flat=True)]
        columns = zip(*self.sheet.lines, strict=True) if self.sheet.lines else [()] * len(self.sheet.headings)
        return [content(texts, series=series) for texts in columns]

    @cached_property
    def columns(self) -> list[SheetColumn]:
        return headings.chosen_columns(
            self.sheet.headings, self.sent.choices or [], advice=errors.PAGE, needs_tag=False
        )

    @property
    def question(self) -> imports.SheetQuestion:
        return imports.SheetQuestion(
            sheet=self.sheet,
            choices=tuple(self.sent.choices or ()),
            unit=self.unit,
            dates=self.sent.dates or None,
            mended={row.line: row.mended for row in self.rows if row.mended},
            left_out=frozenset(row.line for row in self.rows if row.is_left_out),
            advice=errors.PAGE,
            answers=self.sent.answers,
        )

    @property
    def unit(self) -> Unit:
        return Unit(self.sent.unit or self.sent.settled_unit)

    @cached_property
    def row_count(self) -> int:
        last = self.sent.rows.aggregate(last=Max("line"))["last"] or 0
        return max(0, last - (self.sent.headings_line or 0))

    @property
    def read_count(self) -> int:
        return min(self.row_count, max(0, self.sent.read_upto - (self.sent.headings_line or 0)))

    @property
    def is_read(self) -> bool:
        return self.read_count >= self.row_count

    @property
    def open(self) -> list[str]:
        """The questions that were not answered yet: `unit`, `dates`."""
        return [name for name, examples in self.sent.questions.items() if examples and not getattr(self.sent, name)]

    @property
    def read_words(self) -> str:
        return f"{self.read_count:,} of {self.row_count:,} rows read"

    @cached_property
    def entered_count(self) -> int:
        """How many pieces of a sheet of which a part is in the book are in it."""
        return self.sent.book_rows.filter(model="tool").count()

    @property
    def entering_count(self) -> int:
        """How many pieces the whole sheet adds and changes."""
        done = self.sent.workbook_plan or self.sent.done or {}
        return done.get("added", 0) + done.get("updated", 0)

    @property
    def entered_words(self) -> str:
        return f"{self.entered_count:,} of {self.entering_count:,} pieces are entered"

    @property
    def left_words(self) -> str:
        """About how long the rest takes, told by how long the rows so far took."""
        if not self.read_count:
            return "How long it takes is shown after the first rows."
        left_ms = self.sent.read_ms * (self.row_count - self.read_count) // self.read_count
        return f"About {-(-left_ms // 1000)} s more."

    @property
    def dates(self) -> str | None:
        """The order of day and month that is used, None where none is known."""
        return self.sent.dates or order_of(imports.day_texts(self.sheet, self.columns))

    @property
    def has_dates(self) -> bool:
        return any(column.field == "inspected_on" for column in self.columns)

    @property
    def read_columns(self) -> list[SheetColumn]:
        return [column for column in self.columns if column.field is not None]

    @property
    def noted_columns(self) -> list[SheetColumn]:
        """Columns that belong to no field and say something: they go into the notes."""
        return [
            column
            for column in self.columns
            if column.field is None and any(texts[column.place].strip() for texts in self.sheet.lines)
        ]

    def how_far(self) -> str:
        """Where it stands, in words."""
        if self.sent.is_half_entered:
            return f"{self.entered_words}: go on, or take them back"
        if self.sent.workbook_plan is not None:
            return "a workbook that was exported here, to be entered"
        if self.sent.choices is None:
            return "headings to be matched"
        if self.open:
            return f"{len(self.open)} question{'s' if len(self.open) > 1 else ''} to be answered"
        if not self.is_read:
            return self.read_words
        count = self.counts()
        good = count[RowVerdict.NEW] + count[RowVerdict.CHANGED]
        return f"read: {good:,} to enter, {count[RowVerdict.REFUSED]:,} cannot be read"

    def counts(self) -> dict[RowVerdict, int]:
        return self._counts_by("verdict", RowVerdict)

    def groups(self) -> dict[RowGroup, int]:
        """How many rows of each group there are."""
        return self._counts_by("group", RowGroup)

    def tally(self) -> tuple[dict[RowVerdict, int], dict[RowGroup, int]]:
        """Both of these in one query."""
        verdicts, groups = dict.fromkeys(RowVerdict, 0), dict.fromkeys(RowGroup, 0)
        rows = self.sent.rows.exclude(outcome="").order_by().values_list("verdict", "group").annotate(Count("pk"))
        for verdict, group, number in rows:
            verdicts[RowVerdict(verdict)] += number
            groups[RowGroup(group)] += number
        return verdicts, groups

    def _counts_by(self, name, of):
        counts = self.sent.rows.exclude(outcome="").order_by().values_list(name).annotate(Count("pk"))
        return dict.fromkeys(of, 0) | {of(value): number for value, number in counts}

    def digest(self) -> str:
        """Of all rows as they were read, which is what somebody agrees to."""
        rows = self.sent.rows.filter(line__gt=self.sent.headings_line).order_by("line")
        return digest_of(rows.values_list("outcome", flat=True))

    def taking_seconds(self) -> int:
        """About how long the taking takes here, told by how long the reading took; it reads again and writes."""
        return -(-self.sent.read_ms * 2 // 1000)


def texts_of(row: SheetRow) -> list[str]:
    return [unpacked(text) for text in row.texts]


def outcome_of(row: SheetRow) -> RowOutcome:
    return RowOutcome.from_stored(row.line, tuple(texts_of(row)), row.outcome)


class SheetGone(SheetError):
    """Somebody else entered or discarded the sheet since its page was shown."""

    def __init__(self, outcome: str = "nothing was changed") -> None:
        super().__init__(f"This sheet was entered or discarded meanwhile; {outcome}.")


@contextmanager
def held(sent: SheetImport, *, outcome: str = "nothing was changed") -> Iterator[None]:
    """A transaction in which nobody else enters or discards the sheet. Raises SheetGone where somebody has."""
    with transaction.atomic():
        if not list(SheetImport.objects.waiting().select_for_update().filter(pk=sent.pk).values_list("pk")):
            raise SheetGone(outcome)
        yield


def put_headings(in_progress: SheetInProgress, line: int) -> None:
    """Say which row has the headings; what was said of its columns before is forgotten. Raises SheetError."""
    sent = in_progress.sent
    in_progress.grid.sheet(line)
    sent.headings_line, sent.choices, sent.questions = line, None, {}
    with held(sent):
        sent.save(update_fields=["headings_line", "choices", "questions"])
        start_over(sent)


def settle_columns(in_progress: SheetInProgress, choices: list[str], *, by) -> None:
    """Say what each column is, remember it for the next sheet, and see what is left open. Raises SheetGone."""
    sent = in_progress.sent
    columns = headings.chosen_columns(in_progress.sheet.headings, choices, advice=errors.PAGE, needs_tag=False)
    figures = {
        (figures.series.code.upper(), figures.shape): figures
        for figures in SeriesShape.objects.select_related("series")
    }
    questions = open_questions(in_progress.sheet, columns, figures)
    sent.choices, sent.settled_unit = choices, questions.settled_unit
    sent.questions = {"unit": questions.unit, "dates": questions.dates}
    with held(sent):
        sent.save(update_fields=["choices", "settled_unit", "questions"])
        _remember(in_progress.sheet.headings, choices, by=by)
        start_over(sent)


def answer(sent: SheetImport, *, unit: str, dates: str) -> None:
    """Say in which unit and order of dates it is written. Raises SheetGone."""
    sent.unit, sent.dates = unit, dates
    with held(sent):
        sent.save(update_fields=["unit", "dates"])
        start_over(sent)


def start_over(sent: SheetImport) -> None:
    """Let all rows be read anew; what was mended stays. Raises SheetGone."""
    with held(sent):
        SheetImport.objects.filter(pk=sent.pk).update(
            reading=F("reading") + 1, read_upto=sent.headings_line, made_on_paper={}, read_ms=0
        )
        sent.rows.update(outcome="", verdict="", group=None)
        sent.refresh_from_db(fields=["reading", "read_upto", "made_on_paper", "read_ms"])


def read_on(in_progress: SheetInProgress, *, seconds: float | None = None) -> None:
    """Read the next rows for about so long, STEP_SECONDS if not said, and keep what would become of them.

    Raises SheetGone where somebody discarded the sheet meanwhile.
    """
    seconds = STEP_SECONDS if seconds is None else seconds
    sent, started, worked = in_progress.sent, monotonic(), thread_time()
    paper = PaperBook(sent.made_on_paper)
    reading = imports.SheetReading(in_progress.question, paper)
    ahead = reading.rows(after=sent.read_upto)
    outcomes: list[RowOutcome] = []
    most_work, most_time = seconds, 3 * seconds  # on a busy machine time goes by without much work
    while batch := list(islice(ahead, _BATCH)):
        outcomes += reading.outcomes(batch)
        work, time = thread_time() - worked, monotonic() - started
        if seconds and len(outcomes) == len(batch):
            # What the first rows of a long sheet cost is mostly opening it again: so long at least is then read.
            most_work, most_time = max(most_work, 2 * work), max(most_time, 2 * time)
        if work >= most_work or time >= most_time:
            break
    if not outcomes:
        return
    progress = {"read_upto": outcomes[-1].line, "made_on_paper": paper.made}
    took_ms = int((monotonic() - started) * 1000)
    with transaction.atomic():
        # Another device may have read the same rows, or somebody said meanwhile how they are to be read.
        mine = SheetImport.objects.waiting().filter(pk=sent.pk, reading=sent.reading, read_upto=sent.read_upto)
        if mine.update(**progress, read_ms=F("read_ms") + took_ms):
            keep_outcomes(in_progress, outcomes)
    try:
        sent.refresh_from_db(fields=["reading", "read_upto", "made_on_paper", "read_ms"])
    except SheetImport.DoesNotExist:
        raise SheetGone from None


def keep_outcomes(in_progress: SheetInProgress, outcomes: Iterable[RowOutcome]) -> None:
    """Write down what would become of these rows."""
    by_line = {row.line: row for row in in_progress.rows}
    rows = []
    for outcome in outcomes:
        row = by_line[outcome.line]
        row.outcome, row.verdict, row.group = outcome.as_stored(), outcome.verdict, outcome.group
        rows.append(row)
    SheetRow.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["id"], update_fields=["outcome", "verdict", "group"]
    )


def take(in_progress: SheetInProgress, *, by, shown: str) -> dict | None:
    """Enter the good rows once and return the report; None where somebody else enters or has entered them.

    Raises SheetError as `entry.take` does; nothing is in the book then.
    """
    try:
        return entry.take(in_progress.question, by=by, shown=shown, sheet=in_progress.sent).report()
    except entry.TakenElsewhere:
        return None


def go_on(in_progress: SheetInProgress, *, by) -> dict | None:
    """Enter what is left of a sheet of which a part is in the book; None where somebody else does."""
    try:
        return entry.go_on(in_progress.question, in_progress.sent, by=by)
    except entry.TakenElsewhere:
        return None


def take_at_once(question: imports.SheetQuestion) -> dict:
    """Take the good rows of a sheet that nobody looks at first; the report has the number of the import, where
    anything was done.

    Raises SheetError as `entry.take` does; nothing is kept then.
    """
    sent = SheetImport(name=question.sheet.name[:200], content=b"")
    done = entry.take(question, by=None, sheet=sent).report()
    return {**done, "import": sent.pk} if sent.pk else done


def begin_workbook(workbook: OwnWorkbook, *, content: bytes, by: User) -> SheetImport:
    """Keep a workbook that Gripbook wrote, with what it would do."""
    plan = taking.planned_report(workbook, by=by, advice=errors.PAGE)
    return SheetImport.objects.create(name=workbook.name[:200], content=content, made_by=by, workbook_plan=plan)


def enter_workbook(sent: SheetImport, *, by: User, shown: str) -> dict | None:
    """Put it into the book once; None where somebody else did, or does.

    Raises SheetError; where the book changed since, the plan that was kept is the new one, to be looked at again.
    """
    if sent.taken_at is not None:
        return None
    workbook = own_workbook(bytes(sent.content), name=sent.name)
    if workbook is None:
        raise SheetError(f"{sent.name} cannot be read any more; send it again.")
    try:
        return taking.take(workbook, by=by, sheet=sent, shown=shown, advice=errors.PAGE)
    except entry.TakenElsewhere:
        return None
    except imports.BookChanged:
        sent.workbook_plan = taking.planned_report(workbook, by=by, advice=errors.PAGE)
        with held(sent):
            sent.save(update_fields=["workbook_plan"])
        raise


def go_on_with_workbook(sent: SheetImport, *, by: User) -> dict | None:
    """Enter what is left of a workbook of which a part is in the book; None where somebody else does."""
    workbook = own_workbook(bytes(sent.content), name=sent.name)
    if workbook is None:
        return None
    try:
        return taking.gone_on(workbook, by=by, sheet=sent, advice=errors.PAGE)
    except entry.TakenElsewhere:
        return None


def enter_at_once(workbook: OwnWorkbook) -> dict:
    """The same for the command, at which nobody looks first; the report has the number of the import."""
    sent = SheetImport.objects.create(name=workbook.name[:200], content=b"")
    try:
        done = taking.take(workbook, by=None, sheet=sent)
    except SheetError:
        SheetImport.objects.waiting().filter(pk=sent.pk).delete()
        raise
    if not taking.is_anything_to_enter(done):
        sent.delete()
        return done
    return {**done, "import": sent.pk}


def _remember(texts: list[str], choices: list[str], *, by) -> None:
    """Keep what was chosen otherwise than the heading tells by itself; the first of two columns headed alike counts."""
    chosen: dict[str, tuple[str, str]] = {}
    for text, choice in zip(texts, choices, strict=True):
        key = headings.key_of(text)
        if key and text != headings.REASONS:
            chosen.setdefault(key, (choice, headings.field_of(text) or NOTED))
    KnownHeading.objects.filter(
        heading__in=[key for key, (choice, usual) in chosen.items() if choice == usual]
    ).delete()
    for key, (choice, usual) in chosen.items():
        if choice != usual:
            KnownHeading.objects.update_or_create(heading=key, defaults={"choice": choice, "chosen_by": by})
