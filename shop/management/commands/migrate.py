"""Django's own; a new book is made at once, and a copy of an older one of SQLite is kept, with how to go back."""

from typing import Any

from django.core.management import CommandError
from django.core.management.commands import migrate
from django.db import DatabaseError, connections

from shop.book import book_file, new_book
from shop.trouble.failures import failure_of, sentence_of


class Command(migrate.Command):
    def handle(self, *args: Any, **options: Any) -> str | None:
        try:
            self._keep_a_copy(options)
            if _all_is_to_be_made(options) and new_book.is_new(options["database"]):
                new_book.make_tables_of_today(options["database"])
                if options["verbosity"]:
                    self.stdout.write("A new book was made, with all its tables.")
            return super().handle(*args, **options)
        except DatabaseError as error:
            if failure_of(error) is None:
                raise  # a fault of a migration, which its trace helps to find
            raise CommandError(sentence_of(error), returncode=2) from None

    def _keep_a_copy(self, options: dict[str, Any]) -> None:
        connection = connections[options["database"]]
        if _is_asked(options) or connection.in_atomic_block or not book_file.will_change(connection):
            return
        try:
            copy = book_file.copy(connection)
        except OSError as error:
            raise CommandError(
                f"A copy of the book cannot be written beside it ({(error.strerror or '').lower()}), so nothing was "
                "changed. Make room, or give back the right to write there, and try again.",
                returncode=2,
            ) from None
        if options["verbosity"]:
            book = connection.settings_dict["NAME"]
            self.stdout.write(
                f"The book as it was is kept in {copy}. To go back: stop serve, take the Gripbook of before, remove "
                f"{book}-wal and {book}-shm where they are, and put a copy of that file in the place of {book}."
            )


def _is_asked(options: dict[str, Any]) -> bool:
    """Whether nothing is to be changed."""
    return any(options.get(name) for name in ("plan", "check_unapplied", "prune"))


def _all_is_to_be_made(options: dict[str, Any]) -> bool:
    """Whether every migration of every app is wanted, and really run."""
    return not (_is_asked(options) or options.get("app_label") or options.get("fake"))
