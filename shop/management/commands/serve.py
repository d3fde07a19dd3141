from django.core.management import BaseCommand

from shop import serving


class Command(BaseCommand):
    help = "Serve Gripbook to the shop's phones and computers."

    def add_arguments(self, parser):
        serving.add_arguments(parser)

    def handle(self, *, port, host, **options):
        port = serving.port_of(port)
        serving.refuse_unapplied_migrations()
        server = serving.listen(host, port)
        serving.run(server, host=host, port=port, out=self.stdout)
