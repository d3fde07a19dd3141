"""Put a backup in the place of the book. Exit 2 where that cannot be done; the book is then as it was."""

import sys
from pathlib import Path

from django.core.management import BaseCommand
from django.db import DatabaseError

from inventory.models import Deed, DeedAct
from shop.backup.archive import BackupError
from shop.backup.restoring import restore
from shop.trouble.failures import sentence_of


class Command(BaseCommand):
    help = "Put what FILE holds into the database, which is made where there is none. Stop `serve` first."
    requires_system_checks = ()  # they load every page of the site

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE")
        parser.add_argument("--replace", action="store_true", help="take the place of a book that holds pieces")

    def handle(self, *, file, replace, **options):
        try:
            restored = restore(Path(file), replace=replace)
        except BackupError as error:
            self._fail(str(error))
        except DatabaseError as error:
            self._fail(sentence_of(error))
        Deed.objects.keep(DeedAct.RESTORED, Path(file).name)
        manifest = restored.manifest
        self.stdout.write(
            f"{manifest.rows_of('inventory.tool')} pieces, {manifest.rows} rows in all, as they were "
            f"on {manifest.made_at:%Y-%m-%d at %H:%M} UTC. Everybody signs in again."
        )
        if restored.replaced:
            self.stdout.write(f"The book that was here is kept in {restored.replaced}.")

    def _fail(self, sentence):
        self.stderr.write(sentence)
        sys.exit(2)
