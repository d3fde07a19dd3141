"""Making a backup: one moment of the book, written, read back and only then given its name."""

from __future__ import annotations

import contextlib
import os
import secrets
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any, BinaryIO

from django.db import connections, transaction
from django.utils import timezone

from shop.backup import rows
from shop.backup.archive import Archive, ArchiveWriter, BackupError, Manifest
from shop.backup.tables import BookState, applied_state, loader_of, unknown_to


def make(path: Path, *, using: str = "default") -> Manifest:
    """Write the book to `path`, readable by its owner only. What stood there is replaced once the new file is good.

    Raises BackupError; then there is no new file, and an older one of that name is as it was.
    """
    _refuse_what_is_no_file(path)
    path = path.resolve()  # else a link would be replaced instead of what it leads to
    unfinished = path.with_name(f".{path.name}.{secrets.token_hex(8)}")
    try:
        with _nameless_file(unfinished) as file:
            manifest = write(file, name=path.name, using=using)
            os.fsync(file.fileno())
            if not unfinished.exists():
                # With a folder for a file: only so does Python ask the system to follow the link of /proc.
                os.link(f"/proc/self/fd/{file.fileno()}", unfinished, src_dir_fd=file.fileno())
        os.replace(unfinished, path)
    except OSError as error:
        raise BackupError(f"“{path}” cannot be written: {_why(error)}.") from None
    finally:
        unfinished.unlink(missing_ok=True)
    _flush_folder(path.parent)
    return manifest


def _refuse_what_is_no_file(path: Path) -> None:
    """The administrator of a machine may replace a device by a file: then it would be gone for all programs."""
    try:
        kind = path.stat().st_mode
    except OSError:
        return  # it is to be made, or cannot be, and then writing it says why
    if stat.S_ISDIR(kind):
        raise BackupError(f"“{path}” cannot be written: is a directory.")
    if not stat.S_ISREG(kind):
        raise BackupError(f"“{path}” cannot be written: it is no file.")


def _nameless_file(otherwise: Path) -> BinaryIO:
    """A new file in that folder for its owner alone; where the system can, it has no name until it is whole.

    So a process that is killed leaves nothing behind. Elsewhere it is called `otherwise` from the beginning.
    """
    if hasattr(os, "O_TMPFILE") and Path("/proc/self/fd").is_dir():
        with contextlib.suppress(OSError):  # not every file system has such files
            return os.fdopen(os.open(otherwise.parent, os.O_TMPFILE | os.O_RDWR, 0o600), "w+b")
    return os.fdopen(os.open(otherwise, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600), "w+b")


def write(file: BinaryIO, *, name: str, using: str = "default") -> Manifest:
    """Write the book into an empty file that can be read back, and check what was written."""
    with one_moment(using):
        state = book_state(using)
        if not state.tables:
            raise BackupError("There is no book yet: run manage.py migrate first.")
        writer = ArchiveWriter(file, at=timezone.now())
        for table in state.tables:
            written = writer.add(table.name, table.columns, rows.lines(table, using=using))
            if written.rows != table.model._base_manager.using(using).count():
                raise BackupError(f"Not every row of {table.name} could be read: nothing was kept.")
        manifest = writer.finish(database=connections[using].vendor, migrations=state.heads)
    if Archive(file, name=name).manifest != manifest:
        raise BackupError(f"“{name}” reads back otherwise than it was written: nothing was kept.")
    return manifest


def book_state(using: str) -> BookState:
    """The tables that the database has now. Raises BackupError where a newer Gripbook made them."""
    loader = loader_of(using)
    ours = {(app, name) for app, name in loader.applied_migrations if app in loader.migrated_apps}
    if newer := unknown_to(loader, ours):
        raise BackupError(f"The book is newer than this Gripbook, which has no {newer[0]}: update Gripbook first.")
    return applied_state(loader)


@contextlib.contextmanager
def one_moment(using: str) -> Iterator[None]:
    """All that is read inside is of one moment, and nobody who writes has to wait for it."""
    connection: Any = connections[using]  # only SQLite's has a transaction_mode, which its types leave out
    connection.ensure_connection()
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "sqlite":
        # In WAL mode a reader that does not take the write lock sees the book as it was when it began.
        usual, connection.transaction_mode = connection.transaction_mode, "DEFERRED"
        try:
            with transaction.atomic(using):
                yield
        finally:
            connection.transaction_mode = usual
    else:
        with transaction.atomic(using):
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield


def _flush_folder(folder: Path) -> None:
    """Have the folder's entry on the disk too; Windows neither can nor needs it."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _why(error: OSError) -> str:
    return (error.strerror or "no reason given").lower()
