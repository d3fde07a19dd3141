"""Write the book into a CSV or XLSX file, which import_sheet reads back without a difference."""

import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from inventory.transfer import exports
from inventory.transfer.errors import SheetError


class Command(BaseCommand):
    help = "Write all pieces but retired ones into FILE, a .csv or .xlsx."

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE")

    def handle(self, *args, **options):
        path = Path(options["file"])
        try:
            path.write_bytes(exports.book(form=exports.form_of(path.name)))
        except SheetError as error:
            self._fail(error.message)
        except OSError as error:
            self._fail(f"“{path.name}” cannot be written: {(error.strerror or 'no reason given').lower()}.")
        self.stdout.write(f"Written to {path}.")

    def _fail(self, sentence):
        self.stderr.write(sentence)
        sys.exit(2)
