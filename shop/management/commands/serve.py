from django.core.management import BaseCommand

from shop.server import serving


class Command(BaseCommand):
    help = "Serve Gripbook to the shop's phones and computers."

    def add_arguments(self, parser):
        serving.add_arguments(parser)

    def handle(self, *, port, host, workers, **options):
        port, workers = serving.port_of(port), serving.workers_of(workers)
        serving.refuse_unapplied_migrations()
        serving.run(serving.place_of(host, port), workers=workers, out=self.stdout)
