"""`manage.py pocket_card`: what this shop can grip, as one file for a phone and for the wall."""

from pathlib import Path

from django.core.management import BaseCommand, CommandError
from django.utils import timezone

from fitfinder.pocket.file import card_file, read_card
from fitfinder.questions import QuestionError
from inventory.web.shop_settings import as_the_shop


class Command(BaseCommand):
    help = "Writes what this shop can grip, as it is now, into one HTML file that a phone opens without a signal."
    requires_system_checks = ()  # they load every page of the site

    def add_arguments(self, parser):
        parser.add_argument("file", help="where to write it, like pocket-card.html")
        parser.add_argument("--lathe", default="", help="the name of a lathe: only what that one can grip")

    def handle(self, *, file, lathe, **options):
        with as_the_shop():
            try:
                made = card_file(read_card(lathe=lathe), as_of=timezone.now())
                Path(file).write_text(made.html, encoding="utf-8")
            except QuestionError as error:
                raise CommandError(error.words, returncode=2) from None
            except OSError as error:
                raise CommandError(f"{file} cannot be written: {error.strerror}.", returncode=2) from None
        self.stdout.write(f"{file} is written: {made.page.sizes} sizes, {-(-made.size // 1000)} kB.")
