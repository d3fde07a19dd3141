"""Bring a CSV or XLSX sheet into the book. Exit 1 when some rows were refused, 2 when the file cannot be read."""

import json
import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from inventory.measures.display import now
from inventory.measures.lengths import Unit, shorten
from inventory.models import KnownHeading, SheetImport
from inventory.transfer import imports, in_progress, sheets, undoing
from inventory.transfer.errors import SheetError
from inventory.transfer.tabs import taking
from inventory.transfer.tabs.own import own_workbook
from inventory.web.shop_settings import as_the_shop


class Command(BaseCommand):
    help = "Bring a CSV or XLSX sheet into the book; refused rows are named, the others come in."
    requires_system_checks = ()  # they load every page of the site

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE", nargs="?")
        parser.add_argument("--map", action="append", default=[], metavar="HEADING=FIELD")
        parser.add_argument("--dates", metavar="dmy|mdy", help="which comes first in dates like 3/4/2026")
        parser.add_argument("--unit", metavar="in|mm", help="the unit of bare numbers; left out, the shop's")
        parser.add_argument(
            "--tab", action="append", default=[], metavar="NAME", help="the tab of a workbook; several are read in turn"
        )
        parser.add_argument(
            "--sections",
            nargs="?",
            const="location",
            metavar="location|heading",
            help="rows with one cell between the pieces are the drawers of those below, or only headings",
        )
        parser.add_argument(
            "--tags", nargs="?", const="yes", metavar="yes|no", help="give pieces without a tag the next free one"
        )
        parser.add_argument(
            "--repeats", nargs="?", const="yes", metavar="yes|no", help="a tag that stands again is a dated reading"
        )
        parser.add_argument(
            "--answer",
            action="append",
            default=[],
            metavar="KEY=ANSWER",
            help="answer a question of the sheet, by its key under “asked” and one of its choices",
        )
        parser.add_argument("--dry-run", action="store_true", help="say what would be done, and do nothing")
        parser.add_argument("--undo", metavar="ID", help="take the import of this number back; names no FILE")
        parser.add_argument("--json", action="store_true")

    def handle(self, *args, **options):
        with as_the_shop():
            self._handle(options)

    def _handle(self, options):
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
        if report["refused"] or report.get("asked"):
            sys.exit(1)

    def _tell(self, report, *, is_dry):
        counts = {**report, "refused": len(report["refused"])}
        self.stdout.write(
            "{rows} rows: {added} added, {updated} updated, {unchanged} unchanged, {refused} refused, "
            "{empty} empty; {details_missing} with details missing.".format(**counts)
        )
        for row in report["refused"]:
            tab = f"{row['tab']}, row" if "tab" in row else "Row"
            for trouble in (row, *row["also"]):
                self.stdout.write(f"{tab} {row['line']}, {trouble['field']}: {trouble['message']}")
        for tab in report.get("tabs", ()):
            self._tell_tab(tab)
        for ask in report.get("asked", ()):
            self._tell_asked(ask)
        for row in report.get("not_for_this_book", ()):
            self.stdout.write(f"Row {row['line']}: “{shorten(row['read'])}” is nothing for this book.")
        for place in report.get("places", ()):
            self.stdout.write(f"{place['place']} stands in {len(place['spellings'])} spellings, and is one place.")
        if is_dry:
            self.stdout.write("Nothing was written.")
        elif "import" in report:
            self.stdout.write(f"import_sheet --undo {report['import']} takes it back.")

    def _tell_tab(self, tab):
        if tab["not_read"]:
            self.stdout.write(f"{tab['tab']}: {tab['not_read']} rows, which an import does not read back.")
            return
        counts = {**tab, "refused": len(tab["refused"])}
        self.stdout.write(
            "{tab}: {rows} rows: {added} added, {updated} updated, {unchanged} unchanged, {refused} refused.".format(
                **counts
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
            outcome = {"import": sheet.pk, "removed": undone.removed, "put_back": undone.put_back}
            self.stdout.write(json.dumps(outcome, ensure_ascii=False))
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

    def _tell_asked(self, ask):
        lines = ask["lines"]
        rows = (
            f"Row{'s' if len(lines) > 1 else ''} {', '.join(map(str, lines[:12]))}{' …' if len(lines) > 12 else ''}: "
        )
        self.stdout.write(f"Asked: {rows if lines else ''}{ask['about']}")
        for choice in ask["choices"]:
            self.stdout.write(f"    --answer '{ask['key']}={choice}'")

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
    """What was done with the file, or with each of the tabs that were named."""
    if not options["file"]:
        raise SheetError("Name the FILE to bring in, a .csv or .xlsx; or an import to take back with --undo ID.")
    path = Path(options["file"])
    content = _content(path)
    if not options["map"] and not options["tab"] and (workbook := own_workbook(content, name=path.name)):
        return taking.planned_report(workbook, by=None) if options["dry_run"] else in_progress.enter_at_once(workbook)
    tabs = options["tab"]
    if not tabs:
        of_pieces = sheets.tabs_of_pieces(content, name=path.name)
        if len(of_pieces) > 1:
            return _ask_for_tab(of_pieces)
    reports = [_report_of(content, path.name, tab, options) for tab in tabs or [""]]
    return reports[0] if len(reports) == 1 else _added_up(reports)


def _report_of(content: bytes, name: str, tab: str, options) -> dict:
    order = options["dates"]
    # Dates like 2026-03-04 need no order; who says that they are such is not refused.
    dates = _one_of(("dmy", "mdy"), order, field="dates") if order not in {None, "ymd", "iso"} else None
    unit = Unit(_one_of(tuple(Unit), options["unit"] or now().shop_unit, field="unit"))
    sheet = sheets.read(content, name=name, tab=tab)
    question = imports.SheetQuestion(
        sheet=sheet,
        chosen=tuple(options["map"]),
        remembered=KnownHeading.objects.choices(),
        unit=unit,
        dates=dates,
        answers=_answers(options["answer"]),
        sections=_sections(options["sections"]),
        numbers_pieces=_is_yes(options["tags"], field="tags"),
        keeps_repeats=_is_yes(options["repeats"], field="repeats"),
    )
    report = imports.plan_of(question).report() if options["dry_run"] else in_progress.take_at_once(question)
    if tab:
        for row in (*report["refused"], *report["asked"], *report.get("not_for_this_book", ())):
            row["tab"] = sheet.tab
    return report


def _ask_for_tab(tabs: list[str]) -> dict:
    asked = {"key": "tab", "about": "Several tabs have pieces. Which are to be read?", "choices": tabs, "lines": []}
    figures = dict.fromkeys(("rows", "added", "updated", "unchanged", "details_missing", "empty"), 0)
    return {**figures, "refused": [], "asked": [asked]}


def _added_up(reports: list[dict]) -> dict:
    """The reports of several tabs as one."""
    joined: dict = {}
    for report in reports:
        for key, value in report.items():
            joined[key] = joined[key] + value if key in joined else value
    return joined


def _answers(texts: list[str]) -> dict[str, str]:
    answers = {}
    for text in texts:
        key, equals, answer = text.partition("=")
        if not equals or not key.strip() or not answer.strip():
            raise SheetError(
                f"“{shorten(text)}” is no answer: write KEY=ANSWER, both as they stand under “asked”.",
                field="answer",
                read=shorten(text),
            )
        answers[key.strip()] = answer.strip()
    return answers


def _sections(text: str | None) -> str:
    if text is None:
        return ""
    spellings = {
        "places": ("location", "locations", "place", "places", "drawer", "drawers", "yes"),
        "headings": ("heading", "headings", "no"),
    }
    words = {word: meaning for meaning, all_words in spellings.items() for word in all_words}
    if text.lower() not in words:
        raise SheetError(
            f"--sections is “{shorten(text)}”; it accepts location or heading.", field="sections", read=shorten(text)
        )
    return words[text.lower()]


def _is_yes(text: str | None, *, field: str) -> bool:
    """Whether a switch is on: by itself, or with a word behind it that does not say no."""
    if text is not None and not text.strip():
        raise SheetError(f"--{field} is empty; it accepts yes or no.", field=field, read="")
    return text is not None and text.strip().lower() not in {"no", "off", "false", "none", "ask", "refuse", "never"}


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
