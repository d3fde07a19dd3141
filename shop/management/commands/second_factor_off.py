from django.core.management import BaseCommand, CommandError

from inventory.models import User


class Command(BaseCommand):
    help = "Let an administrator whose phone is lost sign in with the password alone."
    requires_system_checks = ()  # they load every page of the site

    def add_arguments(self, parser):
        parser.add_argument("name", help="the name to sign in with")

    def handle(self, *, name, **options):
        person = User.objects.filter(username=name).first()
        if person is None:
            raise CommandError(f"Nobody signs in as “{name}”.", returncode=2)
        person.totp_secret = ""
        person.save()
        self.stdout.write(f"{name} signs in with the password alone. Let them turn it on again with a new phone.")
