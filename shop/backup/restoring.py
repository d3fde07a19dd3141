"""Putting a backup in the place of the book: all of it in one transaction, or nothing.

The database first gets the tables of the migrations that the backup was made at, is then filled, then brought up to
date. So a backup of an older Gripbook comes back through the same migrations that its book would have gone through.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from django.contrib.contenttypes.models import ContentType
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import DatabaseError, IntegrityError, connections, transaction
from django.utils import timezone
from msgspec import Struct

from shop.backup import rows
from shop.backup.archive import Archive, BackupError, Manifest
from shop.backup.making import book_state, make
from shop.backup.tables import EMPTIED, BookState, loader_of, unknown_to
from shop.book import new_book

ENTERED = ("inventory.tool", "inventory.lathe", "inventory.location")
"""A book that has rows of these is somebody's work; what a fresh one has comes with every migrate."""
_WORDS = {"inventory.tool": "piece", "inventory.lathe": "lathe", "inventory.location": "place"}


class Restored(Struct, frozen=True):
    """What was put back, and where the book that stood there is kept; None where there was none."""

    manifest: Manifest
    replaced: Path | None


def restore(path: Path, *, replace: bool = False, using: str = "default") -> Restored:
    """Put the backup at `path` into the database, which is made where there is none.

    With `replace` a book that stands there is backed up beside `path` and then goes. Raises BackupError, and then
    the book is as it was.
    """
    try:
        if path.exists() and not path.is_file() and not path.is_dir():  # a device may have no end
            raise BackupError(f"“{path}” cannot be read: it is no file.")
        with path.open("rb") as file:
            archive = Archive(file, name=path.name)
            return _restore(archive, path, replace=replace, using=using)
    except OSError as error:
        raise BackupError(f"“{path}” cannot be read: {(error.strerror or 'no reason given').lower()}.") from None


def _restore(archive: Archive, path: Path, *, replace: bool, using: str) -> Restored:
    try:
        # SQLite cannot change tables while it checks foreign keys, nor stop checking within a transaction.
        # They are all checked before it ends.
        with connections[using].constraint_checks_disabled(), transaction.atomic(using):
            target = _state_of(archive.manifest, path.name, using=using)
            replaced = _make_room(target, path, replace=replace, using=using)
            _fill(archive, target, using=using)
            call_command("migrate", database=using, interactive=False, verbosity=0)
            connections[using].check_constraints()
    except IntegrityError as error:
        raise _not_restored(path.name, error) from None
    except DatabaseError as error:
        raise BackupError(f"The database cannot be used: {_first_line(error)}.") from None
    finally:
        ContentType.objects.clear_cache()
    return Restored(archive.manifest, replaced)


def _state_of(manifest: Manifest, name: str, *, using: str) -> BookState:
    """The tables as they were when the backup was made, which must be the tables that it holds."""
    loader = loader_of(using)
    nodes = [(app, migration) for app, migrations in manifest.migrations.items() for migration in migrations]
    if newer := unknown_to(loader, nodes):
        raise BackupError(f"“{name}” was made by another Gripbook, which has {newer[0]}: use that one, or a newer one.")
    target = BookState(loader, manifest.migrations)
    columns = {table.name: sorted(table.columns) for table in target.all_tables}
    held = {table.name: sorted(table.columns) for table in manifest.tables}
    missing = {table.name for table in target.tables} - held.keys()
    if missing or any(columns.get(table) != its_columns for table, its_columns in held.items()):
        raise BackupError(f"“{name}” is broken: its tables are not those of a Gripbook at its migrations.")
    return target


def _make_room(target: BookState, path: Path, *, replace: bool, using: str) -> Path | None:
    """Leave all tables of `target` there and empty; returns where the book that was there is kept."""
    standing = book_state(using)
    _lock(standing, using=using)
    held = _what_was_entered(standing, using=using)
    if held and not replace:
        raise BackupError(
            f"The book already holds {held}: nothing was touched. With --replace the backup takes its place."
        )
    replaced = _keep(path, using=using) if held else None
    if standing.migrations == target.migrations:
        for table in target.all_tables:
            if table.name in EMPTIED or table in target.tables:
                _execute(using, f"DELETE FROM {_quoted(table.in_database, using)}")
        return replaced
    _drop(standing, using=using)
    new_book.make_tables(using, (table.model for table in target.all_tables), target.migrations)
    return replaced


def _lock(standing: BookState, *, using: str) -> None:
    """Nobody may write between the emptying and the filling; SQLite's transaction has that from its beginning."""
    if connections[using].vendor == "postgresql" and standing.all_tables:
        tables = ", ".join(_quoted(table.in_database, using) for table in standing.all_tables)
        _execute(using, f"LOCK TABLE {tables} IN EXCLUSIVE MODE")


def _what_was_entered(standing: BookState, *, using: str) -> str:
    for name in ENTERED:
        table = standing.by_name.get(name)
        count = table.model._base_manager.using(using).count() if table else 0
        if count:
            return f"{count} {_WORDS[name]}{'' if count == 1 else 's'}"
    return ""


def _keep(path: Path, *, using: str) -> Path:
    replaced = path.with_name(f"{path.stem}-replaced-{timezone.now():%Y%m%d-%H%M%S}{path.suffix}")
    make(replaced, using=using)
    return replaced


def _drop(standing: BookState, *, using: str) -> None:
    connection = connections[using]
    cascade = " CASCADE" if connection.vendor == "postgresql" else ""
    for table in standing.all_tables:
        _execute(using, f"DROP TABLE {_quoted(table.in_database, using)}{cascade}")
    for app in standing.heads:
        _execute(using, "DELETE FROM django_migrations WHERE app = %s", [app])


def _fill(archive: Archive, target: BookState, *, using: str) -> None:
    for contents in archive.manifest.tables:
        table = target.by_name[contents.name]
        try:
            rows.insert(table, contents.columns, archive.lines(contents), using=using)
        except _NOT_A_ROW as error:
            raise _not_restored(contents.name, error) from None
        if table.model._base_manager.using(using).count() != contents.rows:
            raise BackupError(f"{contents.name} did not take every row: the book is as it was.")
    connection = connections[using]
    connection.check_constraints()
    models = [table.model for table in target.all_tables]
    for statement in connection.ops.sequence_reset_sql(no_style(), models):
        _execute(using, statement)


# What json, a field or a database raises at a value that cannot be one of this column.
_NOT_A_ROW = (DatabaseError, ValidationError, ValueError, TypeError, AttributeError, OverflowError, RecursionError)


def _not_restored(what: str, error: Exception) -> BackupError:
    return BackupError(f"{what} cannot be put back: {_first_line(error)}; the book is as it was.")


def _first_line(error: Exception) -> str:
    """PostgreSQL shows the whole row from the second line on, with what is nobody's business."""
    text = " ".join(error.messages) if isinstance(error, ValidationError) else str(error)
    return (text.splitlines() or [type(error).__name__])[0][:200].rstrip(".")


def _quoted(name: str, using: str) -> str:
    return connections[using].ops.quote_name(name)


def _execute(using: str, statement: str, values: Sequence[str] | None = None) -> None:
    with connections[using].cursor() as cursor:
        cursor.execute(statement, values)
