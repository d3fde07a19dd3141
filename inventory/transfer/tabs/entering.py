"""What the tables of a workbook do to the book: counted, and with a sentence for each row that is not entered."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from typing import Any, TypeVar

from django.db import models
from django.forms import BaseForm
from msgspec import Struct, field, structs

from inventory.measures.lengths import shorten
from inventory.models import User
from inventory.transfer.book_rows import BookRows
from inventory.transfer.giving_way import give_way
from inventory.transfer.tabs.cells import CellError, read

Row = TypeVar("Row", bound=Struct)
Model = TypeVar("Model", bound=models.Model)


class OwnTab(Struct, frozen=True):
    """One table of a workbook: its rows, each with its row number and its cells by their headings."""

    title: str
    rows: tuple[tuple[int, dict[str, str]], ...]


class RefusedRow(Struct, frozen=True, kw_only=True):
    """A row that is not entered: the field, what was read there, and why."""

    line: int
    field: str
    read: str
    message: str


class TabReport(Struct, kw_only=True):
    """What became of the rows of one table. `left` says of what the book keeps as it is, because it knows better."""

    tab: str
    rows: int = 0
    added: int = 0
    updated: int = 0
    unchanged: int = 0
    not_read: int = 0
    refused: list[RefusedRow] = field(default_factory=list)
    left: list[str] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        return structs.asdict(self) | {"refused": [structs.asdict(row) for row in self.refused]}


class Entering:
    """Who enters a workbook, when, and what of the book it touches; `is_only_tried` where nothing of it is to stay."""

    def __init__(self, *, by: User | None, now: datetime, book_rows: BookRows, is_only_tried: bool = False) -> None:
        self.by, self.now, self.book_rows, self.is_only_tried = by, now, book_rows, is_only_tried
        self.people = {user.username: user for user in User.objects.all()}

    def to_change(self, rows: models.QuerySet[Model]) -> models.QuerySet[Model]:
        """These rows, which nobody else changes meanwhile; a mere try keeps nobody waiting."""
        return rows if self.is_only_tried else rows.select_for_update(of=("self",))

    def known_name(self, name: str) -> str:
        """The name of a person of this book; empty for anybody else: a sheet makes no people."""
        return name if name in self.people else ""


def rows_in(tab: OwnTab, of: type[Row], report: TabReport) -> Iterator[tuple[int, Row]]:
    """The rows that can be read, with their row numbers; the others are refused in the report."""
    for line, cells in tab.rows:
        give_way()
        report.rows += 1
        try:
            yield line, read(of, cells)
        except CellError as error:
            report.refused.append(RefusedRow(line=line, field=error.column, read=error.read, message=error.message))


def refuse(report: TabReport, line: int, name: str, text: object, message: str) -> None:
    report.refused.append(RefusedRow(line=line, field=name, read=shorten(str(text or "")), message=message))


def refuse_form(report: TabReport, line: int, form: BaseForm, cells: dict[str, str]) -> None:
    """Refuse a row by the first error of its form."""
    name, messages = next(iter(form.errors.items()))
    refuse(report, line, "" if name == "__all__" else name, cells.get(name, ""), str(messages[0]))


def unique(lines: Iterable[tuple[int, Row]], key: Callable[[Row], str], report: TabReport) -> Iterator[tuple[int, Row]]:
    """The rows but for those whose name stands further up already, which are refused."""
    first: dict[str, int] = {}
    for line, row in lines:
        name = key(row).upper()
        if first.setdefault(name, line) != line:
            refuse(report, line, "name", key(row), f"{key(row)} stands in row {first[name]} already.")
        else:
            yield line, row
