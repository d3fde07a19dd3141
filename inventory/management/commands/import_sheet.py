"""Bring a CSV or XLSX sheet into the book. Exit 1 when some rows were refused, 2 when the file cannot be read."""

import json
import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from inventory.measures.lengths import Unit, shorten
from inventory.models import KnownHeading, SheetImport
from inventory.transfer import imports, in_progress, sheets, undoing
from inventory.transfer.errors import SheetError
from inventory.transfer.tabs import taking
from inventory.transfer.tabs.own import own_workbook


class Command(BaseCommand):
    help = "Bring a CSV or XLSX sheet into the book; refused rows are named, the others come in."

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE", nargs="?")
        parser.add_argument("--map", action="append", default=[], metavar="HEADING=FIELD")
        parser.add_argument("--dates", metavar="dmy|mdy", help="which comes first in dates like 3/4/2026")
        parser.add_argument("--unit", default="in", metavar="in|mm", help="the unit of bare numbers")
        parser.add_argument("--dry-run", action="store_true", help="say what would be done, and do nothing")
        parser.add_argument("--undo", metavar="ID", help="take the import of this number back; names no FILE")
        parser.add_argument("--json", action="store_true")

    def handle(self, *args, **options):
        try:
            if options["undo"] is not None:
                self._undo(options)
                return
            report = _report(options)
        except SheetError as error:
            self._fail(error, as_json=options["json"])
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
            tab = f"{row['tab']}, row" if "tab" in row else "Row"
            for trouble in (row, *row["also"]):
                self.stdout.write(f"{tab} {row['line']}, {trouble['field']}: {trouble['message']}")
        for tab in report.get("tabs", ()):
            self._tell_tab(tab)
        if is_dry:
            self.stdout.write("Nothing was written.")
        elif "import" in report:
            self.stdout.write(f"import_sheet --undo {report['import']} takes it back.")

    def _tell_tab(self, tab):
        if tab["not_read"]:
            self.stdout.write(f"{tab['tab']}: {tab['not_read']} rows, which an import does not read back.")
            return
        told = {**tab, "refused": len(tab["refused"])}
        self.stdout.write(
            "{tab}: {rows} rows: {added} added, {updated} updated, {unchanged} unchanged, {refused} refused.".format(
                **told
            )
        )
        for sentence in tab["left"]:
            self.stdout.write(f"{tab['tab']}: {sentence}")

    def _undo(self, options):
        """Exit 1 where the import stays: the sentence says why, and nothing is changed."""
        sheet = _import_named(options)
        try:
            undone = undoing.undo(sheet, by=None, is_dry=options["dry_run"])
        except undoing.CannotUndo as refusal:
            self._refuse(str(refusal), options)
        if options["json"]:
            told = {"import": sheet.pk, "removed": undone.removed, "put_back": undone.put_back}
            self.stdout.write(json.dumps(told, ensure_ascii=False))
        else:
            self.stdout.write(f"{sheet.name} is taken back: {undone.words}")
            if options["dry_run"]:
                self.stdout.write("Nothing was written.")

    def _refuse(self, sentence, options):
        if options["json"]:
            error = SheetError(sentence, field="undo", read=shorten(options["undo"]))
            self.stdout.write(json.dumps({"error": error.as_json()}, ensure_ascii=False))
        else:
            self.stderr.write(sentence)
        sys.exit(1)

    def _fail(self, error, *, as_json):
        if as_json:
            self.stdout.write(json.dumps({"error": error.as_json()}, ensure_ascii=False))
        else:
            self.stderr.write(error.message)
        sys.exit(2)


def _import_named(options) -> SheetImport:
    if options["file"]:
        raise SheetError("--undo takes an import back and reads no FILE; give one of the two.", field="undo")
    number = options["undo"]
    is_number = number.isascii() and number.isdecimal() and len(number) < 10
    sheet = SheetImport.objects.defer("content").filter(pk=int(number)).first() if is_number else None
    if sheet is None:
        raise SheetError(
            f"“{shorten(number)}” is no import of this book; give the number that import_sheet told, or that stands in "
            "the address of its page.",
            field="undo",
            read=shorten(number),
        )
    return sheet


def _report(options) -> dict:
    dates = _one_of(("dmy", "mdy"), options["dates"], field="dates") if options["dates"] is not None else None
    unit = Unit(_one_of(tuple(Unit), options["unit"], field="unit"))
    if not options["file"]:
        raise SheetError("Name the FILE to bring in, a .csv or .xlsx; or an import to take back with --undo ID.")
    path = Path(options["file"])
    content = _content(path)
    if not options["map"] and (workbook := own_workbook(content, name=path.name)):
        return taking.planned(workbook, by=None) if options["dry_run"] else in_progress.enter_at_once(workbook)
    sheet = sheets.read(content, name=path.name)
    question = imports.SheetQuestion(
        sheet=sheet, chosen=tuple(options["map"]), remembered=KnownHeading.objects.choices(), unit=unit, dates=dates
    )
    return imports.planned(question).report() if options["dry_run"] else in_progress.take_at_once(question)


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
