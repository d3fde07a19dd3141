"""A copy of the book to try something on: whoever writes into the book itself does not wait for it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from django.db import connections

from inventory.transfer.giving_way import working_on_a_copy


@contextmanager
def on_a_copy() -> Iterator[None]:
    """Within it this thread has a copy of a SQLite book, which lets in one writer at a time.

    A book of PostgreSQL is at hand itself, and so is one into which a transaction of who calls writes already.
    """
    book = connections["default"]
    if book.vendor != "sqlite" or book.in_atomic_block:
        yield
        return
    with TemporaryDirectory(prefix="gripbook-") as folder:
        copy = type(book)({**book.settings_dict, "NAME": str(Path(folder, "book"))}, "default")
        book.ensure_connection()
        copy.ensure_connection()
        book.connection.backup(copy.connection)
        connections["default"] = copy
        try:
            with working_on_a_copy():
                yield
        finally:
            connections["default"] = book
            copy.close()
