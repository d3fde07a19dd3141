from django.core.management import BaseCommand, CommandError, call_command
from django.db import DatabaseError
from django.utils import timezone

from shop.demo import crib, people
from shop.server import serving
from shop.trouble.failures import sentence_of


class Command(BaseCommand):
    help = "Make the database where there is none, load the demo crib and one user per role, and serve."

    def add_arguments(self, parser):
        serving.add_arguments(parser)
        parser.add_argument("--no-serve", action="store_true", help="load and print, do not serve")

    def handle(self, *, port, host, workers, no_serve, **options):
        port, workers = serving.port_of(port), serving.workers_of(workers)
        # Its port is taken before the book is touched, so that a second start fails at once.
        place = None if no_serve else serving.place_of(host, port)
        try:
            call_command("migrate", interactive=False, verbosity=0)
        except DatabaseError as error:
            raise CommandError(sentence_of(error)) from None
        sign_ins = people.make()
        added = crib.load(now=timezone.now())
        self.stdout.write(
            f"Demo crib: {added} pieces added."
            if added
            else "Demo crib: it is in the book already; nothing was touched."
        )
        self._print_sign_ins(sign_ins)
        if place is None:
            self.stdout.write(f"manage.py serve will be at {serving.address_of(host, port)}")
            serving.draw(serving.address_of(host, port), self.stdout)
            self.stdout.flush()
            return
        serving.run(place, workers=workers, out=self.stdout)

    def _print_sign_ins(self, sign_ins):
        self.stdout.write(f"Sign-ins (kept in {people.password_file()}):")
        for sign_in in sign_ins:
            self.stdout.write(f"  {sign_in.name:<14} {sign_in.password or 'a password of its own, not the demo’s'}")
        self.stdout.write("")
