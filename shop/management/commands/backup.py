"""Write the whole book into one file. Exit 2 where that cannot be done."""

import contextlib
import sys
from pathlib import Path

from django.core.management import BaseCommand
from django.db import DatabaseError

from inventory.models import Deed, DeedAct
from shop.backup.archive import BackupError
from shop.backup.making import make
from shop.trouble.failures import sentence_of


class Command(BaseCommand):
    help = "Write everything that is in the book into FILE, and check it. FILE holds password hashes: keep it safe."
    requires_system_checks = ()  # they load every page of the site

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE")

    def handle(self, *, file, **options):
        path = Path(file)
        try:
            manifest = make(path)
        except BackupError as error:
            self._fail(str(error))
        except DatabaseError as error:
            self._fail(sentence_of(error))
        with contextlib.suppress(DatabaseError):  # of a book that is older, or that can only be read
            Deed.objects.keep(DeedAct.BACKUP, path.name)
        self.stdout.write(
            f"{manifest.rows_of('inventory.tool')} pieces, {manifest.rows} rows in all, {path.stat().st_size} bytes: "
            f"written to {path} and read back."
        )
        self.stdout.write(f"It holds the password hashes of all users{_who_reads(path)}")

    def _fail(self, sentence):
        self.stderr.write(sentence)
        sys.exit(2)


def _who_reads(path):
    if path.stat().st_mode & 0o077:  # A stick or another system's disk keeps no such rights.
        return ", and here others can read it: put it where only you can."
    return "; only you can read it. Keep it where that stays so."
