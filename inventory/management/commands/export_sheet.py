"""Write the book into a CSV or XLSX file, which import_sheet reads back without a difference."""

import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from inventory.measures.lengths import shorten
from inventory.transfer import exports
from inventory.transfer.errors import SheetError
from inventory.transfer.tabs.tables import BY_NAME
from inventory.web.shop_settings import as_the_shop

_WHAT = ("pieces", *BY_NAME, "all")


class Command(BaseCommand):
    help = "Write all pieces but retired ones into FILE, a .csv or .xlsx; or what --what names, `all` as one .xlsx."
    requires_system_checks = ()  # they load every page of the site

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE")
        parser.add_argument("--what", default="pieces", metavar="|".join(_WHAT))

    def handle(self, *args, **options):
        path = Path(options["file"])
        try:
            with as_the_shop():
                content = _content(options["what"], form=exports.form_of(path.name))
            path.write_bytes(content)
        except SheetError as error:
            self._fail(error.message)
        except OSError as error:
            self._fail(f"“{path.name}” cannot be written: {(error.strerror or 'no reason given').lower()}.")
        self.stdout.write(f"Written to {path}.")

    def _fail(self, sentence):
        self.stderr.write(sentence)
        sys.exit(2)


def _content(what: str, *, form: str) -> bytes:
    if what not in _WHAT:
        raise SheetError(f"--what is “{shorten(what)}”; it accepts {', '.join(_WHAT[:-1])} or all.")
    if what == "all":
        if form != "xlsx":
            raise SheetError("A .csv has one table only; write --what all into an .xlsx.")
        return exports.workbook()
    return exports.book(form=form) if what == "pieces" else exports.tab(BY_NAME[what], form=form)
