"""What a preview asks on top of its rows: each question once, with one answer for all rows like it.

There are three sorts: a doubt of the reading, a cell that cannot be read and stands so in several rows, and a blank
without which pieces of a kind cannot be offered. An answer to the first is kept with the sheet; to the others it is
written into the cells of those rows. Each can be taken back.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from typing import cast

from django.db import models
from msgspec import Struct, structs

from inventory.measures.lengths import shorten
from inventory.models import Condition, Kind, Series, Shape, SheetImport, SheetRow, Tool
from inventory.pieces.fields import COLUMN_OF
from inventory.transfer import in_progress as steps
from inventory.transfer import mending
from inventory.transfer.asked import MOST_ANSWER
from inventory.transfer.headings import SheetColumn
from inventory.transfer.in_progress import SheetInProgress, outcome_of, texts_of
from inventory.transfer.outcomes import RowGroup, RowOutcome, RowVerdict, label

MOST_SHOWN = 25
"""Questions on one page; the next come up when these are answered."""
_MOST_ROWS = 2_000
_MOST_NAMED = 8
"""Rows that a question names."""
_FEW = 6
"""Choices that stand side by side; more are a list to choose from."""
_LISTS = {"mount": "seats", "takes": "seats", "location": "places"}
_SAME_FOR_ITS_KIND = {"mount": "mount", "takes": "takes"}
"""Blanks that pieces of one kind are likely to share; a range or a weight is asked of each in its row."""
LEAVE_EMPTY, LEAVE_OUT = "leave it empty", "leave out"

_FIELD_OF_WORDS = {
    str(cast(models.Field, Tool._meta.get_field(column)).verbose_name): name
    for name, column in (*COLUMN_OF.items(), ("mount", "mounts_in"), ("takes", "offers"))
}


class PageQuestion(Struct, frozen=True, kw_only=True):
    """One question: `about` with the text `read` in it, the rows, and what can be answered.

    `cell` is the key of the cell that an answer is written into, empty for a doubt of the reading. Without `choices`
    the answer is written; `offered` names the list that helps with it. One that `can_wait` keeps no row back.
    """

    key: str
    about: str
    why: str = ""
    read: str = ""
    lines: tuple[int, ...]
    cell: str = ""
    choices: tuple[str, ...] = ()
    offered: str = ""
    can_wait: bool = False

    @property
    def name(self) -> str:
        """Its name in a form, the same as long as it is asked."""
        return hashlib.sha256(self.key.encode()).hexdigest()[:12]

    @property
    def are_few(self) -> bool:
        return 0 < len(self.choices) <= _FEW

    @property
    def rows_in_words(self) -> str:
        return rows_in_words(self.lines)


class Mend(Struct, frozen=True, kw_only=True):
    """What was answered: the words of it, and what is needed to take it back."""

    key: str
    about: str
    answer: str
    lines: tuple[int, ...] = ()

    @property
    def rows_in_words(self) -> str:
        return rows_in_words(self.lines) if self.lines else ""


def rows_in_words(lines: tuple[int, ...]) -> str:
    shown = ", ".join(map(str, lines[:_MOST_NAMED]))
    more = f" and {len(lines) - _MOST_NAMED:,} more" if len(lines) > _MOST_NAMED else ""
    return f"row{'' if len(lines) == 1 else 's'} {shown}{more}"


def questions_of(in_progress: SheetInProgress) -> list[PageQuestion]:
    """What is open, the reading's own doubts first and blanks last."""
    waiting = (RowGroup.ASKED, RowGroup.REFUSED, RowGroup.DETAILS_MISSING)
    rows = in_progress.sent.rows.filter(group__in=waiting).order_by("group", "line")[:_MOST_ROWS]
    questions: dict[str, PageQuestion] = {}
    choices = _Choices()
    for row in rows:
        for one in _of_row(row, outcome_of(row), in_progress, choices):
            before = questions.get(one.key)
            questions[one.key] = _with_line(before, row.line) if before else one
    return sorted(questions.values(), key=lambda one: (one.can_wait, bool(one.cell)))


def _with_line(question: PageQuestion, line: int) -> PageQuestion:
    return structs.replace(question, lines=tuple(dict.fromkeys((*question.lines, line))))


def _of_row(
    row: SheetRow, outcome: RowOutcome, in_progress: SheetInProgress, choices: _Choices
) -> Iterable[PageQuestion]:
    for doubt in outcome.doubts if outcome.verdict is RowVerdict.ASKED else ():
        yield PageQuestion(key=f"doubt {doubt.key}", about=doubt.about, lines=(row.line,), choices=doubt.choices)
    for trouble in outcome.troubles:
        cell = _cell(trouble.field, trouble.place, in_progress.columns)
        text = _text(row, cell)
        alike = f"cell {cell} {text}"
        # Two pieces cannot have one tag, so what is wrong with it is asked of each row.
        yield PageQuestion(
            key=f"{alike} {row.line}" if trouble.field == "tag" or not text else alike,
            about=f"{label(trouble.field)}: what does it mean?" if text else f"{label(trouble.field)}: what is it?",
            why=trouble.message,
            read=shorten(text),
            lines=(row.line,),
            cell=cell,
            choices=choices.of(trouble.field),
            offered=_LISTS.get(trouble.field, ""),
        )
    for words in outcome.lacking:
        name = _FIELD_OF_WORDS.get(words, "")
        if name in _SAME_FOR_ITS_KIND and outcome.piece is not None:
            cell = _cell(name, None, in_progress.columns)
            yield PageQuestion(
                key=f"blank {cell} {outcome.piece.what}",
                about=f"{outcome.piece.what.capitalize()}: {label(name).lower()}?",
                why="It is entered without that too, and cannot be offered until it is filled in.",
                lines=(row.line,),
                cell=cell,
                offered=_LISTS.get(name, ""),
                can_wait=True,
            )


def _cell(name: str, place: int | None, columns: list[SheetColumn]) -> str:
    """The key by which a cell is mended: the place of its column, or its field where the sheet has none."""
    if place is None:
        place = next((column.place for column in columns if column.field == name), None)
    return name if place is None else str(place)


def _text(row: SheetRow, cell: str) -> str:
    if cell in row.mended:
        return str(row.mended[cell]).strip()
    texts = texts_of(row)
    return texts[int(cell)].strip() if cell.isdigit() and int(cell) < len(texts) else ""


class _Choices:
    """What can be answered where there is a list of it."""

    def of(self, name: str) -> tuple[str, ...]:
        if name == "condition":
            return (*Condition.values, LEAVE_EMPTY)
        if name == "shape":
            return (*Shape.values,)
        if name == "kind":
            return tuple(kind.value for kind in Kind)
        return self._series if name == "series" else ()

    @cached_property
    def _series(self) -> tuple[str, ...]:
        return tuple(Series.objects.values_list("code", flat=True))


def answer(in_progress: SheetInProgress, given: Mapping[str, str], left_out: set[str]) -> int:
    """Answer open questions by their names, and leave the rows of others out; how many questions that were.

    Raises SheetError where somebody entered or discarded the sheet meanwhile.
    """
    cells: dict[int, dict[str, str]] = {}
    skipped: set[int] = set()
    answers: list[dict[str, str]] = []
    answered = 0
    for one in questions_of(in_progress):
        text = given.get(one.name, "").strip()[: mending.LONGEST_CELL]
        if one.name in left_out:
            answered += 1
            skipped.update(one.lines)
        elif one.cell and text and text != one.read:
            answered += 1
            for line in one.lines:
                cells.setdefault(line, {})[one.cell] = "" if text == LEAVE_EMPTY else text
        elif not one.cell and text and (text in one.choices or not one.choices):
            answers.append({"key": one.key.removeprefix("doubt "), "about": one.about, "answer": text[:MOST_ANSWER]})
    if cells or skipped:
        mending.mend_rows(in_progress.sent, cells, skipped=skipped)
    if answers:
        _rewrite_answers(in_progress.sent, lambda before: [*before, *answers])
    return answered + len(answers)


def _rewrite_answers(sent: SheetImport, change: Callable[[list[dict[str, str]]], list[dict[str, str]]]) -> None:
    """With what another device answered meanwhile. Raises SheetGone."""
    with steps.held(sent):
        sent.refresh_from_db(fields=["answered"])
        sent.answered = change(sent.answered)
        sent.save(update_fields=["answered"])
        steps.start_over(sent)


def mends_of(in_progress: SheetInProgress) -> list[Mend]:
    """What was answered and mended, to be taken back."""
    mends = [
        Mend(key=f"doubt {one['key']}", about=one["about"], answer=one["answer"]) for one in in_progress.sent.answered
    ]
    alike: dict[tuple[str, str, str], list[int]] = {}
    left_out: list[int] = []
    for row in in_progress.sent.rows.exclude(mended={}, is_left_out=False).order_by("line")[:_MOST_ROWS]:
        if row.is_left_out:
            left_out.append(row.line)
        for cell, text in row.mended.items():
            alike.setdefault((cell, _as_sent(row, cell), text), []).append(row.line)
    for (cell, was, text), lines in alike.items():
        words = f"{_label_of(cell, in_progress.columns)}: {shorten(was) or 'empty'}"
        mends.append(
            Mend(key=f"cell {cell} {was} {text}", about=words, answer=shorten(text) or "empty", lines=tuple(lines))
        )
    if left_out:
        mends.append(Mend(key=LEAVE_OUT, about="Not entered", answer="left out", lines=tuple(left_out)))
    return mends


def take_back(in_progress: SheetInProgress, key: str) -> bool:
    """Take one answer back; False where it is not there any more."""
    mend = next((one for one in mends_of(in_progress) if one.key == key), None)
    if mend is None:
        return False
    if key == LEAVE_OUT:
        mending.mend_rows(in_progress.sent, {line: {} for line in mend.lines})
    elif key.startswith("doubt "):
        _rewrite_answers(in_progress.sent, lambda before: [one for one in before if f"doubt {one['key']}" != key])
    else:
        cell = key.split(" ", 2)[1]
        rows = {row.line: row for row in in_progress.rows}
        as_sent = {line: {cell: _as_sent(rows[line], cell)} for line in mend.lines}
        mending.mend_rows(in_progress.sent, as_sent)
    return True


def _as_sent(row: SheetRow, cell: str) -> str:
    texts = texts_of(row)
    return texts[int(cell)] if cell.isdigit() and int(cell) < len(texts) else ""


def _label_of(cell: str, columns: list[SheetColumn]) -> str:
    if not cell.isdigit():
        return label(cell)
    column = next((column for column in columns if str(column.place) == cell), None)
    return (column.label or column.heading) if column else f"Column {int(cell) + 1}"
