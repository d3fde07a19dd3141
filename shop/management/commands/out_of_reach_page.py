from pathlib import Path

from django.core.management import BaseCommand, CommandError

from shop import reach


class Command(BaseCommand):
    help = "Writes the page that a proxy shows while Gripbook does not answer it (502, 504)."
    requires_system_checks = ()  # they load every page of the site

    def add_arguments(self, parser):
        parser.add_argument("file", help="where to write it, like out-of-reach.html")

    def handle(self, *, file, **options):
        try:
            Path(file).write_text(reach.page_out_of_reach(), encoding="utf-8")
        except OSError as error:
            raise CommandError(f"{file} cannot be written: {error.strerror}.", returncode=2) from None
        self.stdout.write(f"{file} is written.")
