"""Bring a CSV or XLSX sheet into the book. Exit 1 when some rows were refused, 2 when the file cannot be read."""

import json
import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from inventory.measures.lengths import Unit, shorten
from inventory.models import KnownHeading
from inventory.transfer import imports, sheets
from inventory.transfer.errors import SheetError


class Command(BaseCommand):
    help = "Bring a CSV or XLSX sheet into the book; refused rows are named, the others come in."

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE")
        parser.add_argument("--map", action="append", default=[], metavar="HEADING=FIELD")
        parser.add_argument("--dates", metavar="dmy|mdy", help="which comes first in dates like 3/4/2026")
        parser.add_argument("--unit", default="in", metavar="in|mm", help="the unit of bare numbers")
        parser.add_argument("--dry-run", action="store_true", help="say what would be done, and do nothing")
        parser.add_argument("--json", action="store_true")

    def handle(self, *args, **options):
        try:
            done = _done(options)
        except SheetError as error:
            self._fail(error, as_json=options["json"])
        report = done.report()
        if options["json"]:
            self.stdout.write(json.dumps(report, ensure_ascii=False))
        else:
            self._tell(report, is_dry=options["dry_run"])
        if report["refused"]:
            sys.exit(1)

    def _tell(self, report, *, is_dry):
        told = {**report, "refused": len(report["refused"])}
        self.stdout.write(
            "{rows} rows: {added} added, {updated} updated, {unchanged} unchanged, {refused} refused, "
            "{empty} empty; {details_missing} with details missing.".format(**told)
        )
        for row in report["refused"]:
            for trouble in (row, *row["also"]):
                self.stdout.write(f"Row {row['line']}, {trouble['field']}: {trouble['message']}")
        if is_dry:
            self.stdout.write("Nothing was written.")

    def _fail(self, error, *, as_json):
        if as_json:
            told = {
                "field": error.field, "read": error.read, "message": error.message, "suggest": error.suggest,
            }  # fmt: skip
            self.stdout.write(json.dumps({"error": told}, ensure_ascii=False))
        else:
            self.stderr.write(error.message)
        sys.exit(2)


def _done(options) -> imports.SheetPlan:
    dates = _one_of(("dmy", "mdy"), options["dates"], field="dates") if options["dates"] is not None else None
    unit = Unit(_one_of(tuple(Unit), options["unit"], field="unit"))
    path = Path(options["file"])
    sheet = sheets.read(_content(path), name=path.name)
    question = imports.SheetQuestion(
        sheet=sheet, chosen=tuple(options["map"]), remembered=KnownHeading.objects.choices(), unit=unit, dates=dates
    )
    return imports.planned(question) if options["dry_run"] else imports.take(question, by=None)


def _one_of(accepted: tuple[str, ...], text: str, *, field: str) -> str:
    if text in accepted:
        return text
    raise SheetError(
        f"--{field} is “{shorten(text)}”; it accepts {' or '.join(accepted)}.", field=field, read=shorten(text)
    )


def _content(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(sheets.MOST_BYTES + 1)
    except OSError as error:
        reason = (error.strerror or "unreadable").lower()
        raise SheetError(f"“{path.name}” cannot be opened: {reason}.", read=shorten(path.name)) from None
