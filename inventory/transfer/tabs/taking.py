"""A workbook that Gripbook wrote, put into the book table by table: all of it or nothing, and looked at beforehand."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory.models import SheetImport, User
from inventory.transfer import errors, imports
from inventory.transfer.book_rows import BookRows
from inventory.transfer.errors import Advice, SheetError
from inventory.transfer.imports import BookChanged, SheetQuestion
from inventory.transfer.tabs.entering import Entering, TabReport
from inventory.transfer.tabs.own import OwnWorkbook
from inventory.transfer.tabs.tables import BY_NAME

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


def planned(workbook: OwnWorkbook, *, by: User | None, advice: Advice = errors.COMMAND) -> dict[str, Any]:
    """The report of what would be done. It is done and given up again: each table is read against those before it."""
    report: dict[str, Any] = {}
    try:
        with transaction.atomic():
            report = _entered(workbook, by=by, book_rows=BookRows(), advice=advice)
            raise _OnlyLooked
    except _OnlyLooked:
        return report
    except IntegrityError:
        raise _changed_meanwhile() from None


def taken(
    workbook: OwnWorkbook, *, by: User | None, sheet: SheetImport, shown: str = "", advice: Advice = errors.COMMAND
) -> dict[str, Any]:
    """Put it into the book, and return the report; what was done is written down with the `sheet`.

    `shown` is the digest of the report that somebody agreed to; BookChanged where that is not what would be done.
    """
    try:
        with transaction.atomic():
            book_rows = BookRows()
            report = _entered(workbook, by=by, book_rows=book_rows, advice=advice)
            if shown and shown != digest_of(report):
                raise BookChanged("The book changed since this preview: look again.")
            book_rows.write_down(sheet)
    except IntegrityError:
        raise _changed_meanwhile() from None
    return report


def digest_of(report: dict[str, Any]) -> str:
    return hashlib.sha256(json.dumps(report, sort_keys=True).encode()).hexdigest()


def is_anything_to_enter(report: dict[str, Any]) -> bool:
    return any(part["added"] or part["updated"] for part in (report, *report["tabs"]))


def _entered(workbook: OwnWorkbook, *, by: User | None, book_rows: BookRows, advice: Advice) -> dict[str, Any]:
    entering = Entering(by=by, now=timezone.now(), book_rows=book_rows)
    tabs = _tables(workbook, _BEFORE_THE_PIECES, entering)
    pieces = dict(_NO_PIECES)
    if workbook.pieces is not None:
        question = SheetQuestion(sheet=workbook.pieces.sheet(), advice=advice)
        pieces = imports.enter(question, by=by, book_rows=book_rows).report()
    tabs += _tables(workbook, _AFTER_THE_PIECES, entering)
    refused = pieces["refused"] + [
        {"tab": tab.tab, **row, "also": []} for tab in tabs for row in tab.as_json()["refused"]
    ]
    return {**pieces, "refused": refused, "tabs": [tab.as_json() for tab in tabs], "unread": list(workbook.unread)}


def _tables(workbook: OwnWorkbook, names: tuple[str, ...], entering: Entering) -> list[TabReport]:
    reports = []
    for table in (BY_NAME[name] for name in names):
        for tab in workbook.of(table):
            report = TabReport(tab=tab.title)
            if table.enter is None:
                report.rows = report.not_read = len(tab.rows)
            else:
                table.enter(tab, entering, report)
            reports.append(report)
    return reports


def _changed_meanwhile() -> SheetError:
    return SheetError("Somebody changed something at the same moment; nothing was entered, try again.")
