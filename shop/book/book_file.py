"""The file of a SQLite book: who may read it, what room there is for it, and a copy of it before it is changed."""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
from pathlib import Path
from typing import Any

from django.db import connection as default
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

SHORT_OF_SPACE = 500 * 1024**2
"""Bytes; a backup, a copy and a year of a large shop want less (our own judgement, no source)."""


def path_of(connection: BaseDatabaseWrapper) -> Path | None:
    """None for PostgreSQL, and for a book in memory."""
    if connection.vendor != "sqlite":
        return None
    path = Path(str(connection.settings_dict["NAME"]))
    return path if path.exists() else None


def keep_private(sender: Any, connection: BaseDatabaseWrapper, **_signal: Any) -> None:
    """Whenever the book is opened: nobody but its owner reads it, nor what SQLite writes beside it.

    What is beside it gets the rights that the book had when it was opened: of one that could only be read, its owner
    could not write there either when the book has long been given back.
    """
    path = path_of(connection)
    if path is None or os.name == "nt":  # there a file has the rights of its folder
        return
    for ending in ("", "-wal", "-shm"):
        # Who is not its owner opened it all the same, and cannot change that.
        with contextlib.suppress(OSError):
            file = f"{path}{ending}"
            mode = os.stat(file).st_mode
            if mode & 0o077 or (ending and mode & 0o600 != 0o600):
                os.chmod(file, 0o600)


def room_for_it() -> tuple[str, bool]:
    """What free space there is, in words, and whether that is short; empty where another machine has the book."""
    path = path_of(default)
    if path is None:
        return "", False
    try:
        free, size = shutil.disk_usage(path.absolute().parent).free, path.stat().st_size
    except OSError:
        return "", False
    return f"{_in_words(free)} free for the book, which has {_in_words(size)}.", free < max(SHORT_OF_SPACE, 3 * size)


def will_change(connection: BaseDatabaseWrapper) -> bool:
    """Whether a SQLite book stands there that migrations would change."""
    if path_of(connection) is None:
        return False
    executor = MigrationExecutor(connection)
    has_book = bool(executor.loader.applied_migrations)
    return has_book and bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def copy(connection: BaseDatabaseWrapper) -> Path:
    """A copy beside the book, readable by its owner alone. Raises OSError, and then there is none."""
    book = path_of(connection)
    assert book is not None
    copy_path = book.with_name(f"{book.stem}-before-{timezone.now():%Y%m%d-%H%M%S}{book.suffix}")
    connection.ensure_connection()
    os.close(os.open(copy_path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    try:
        with contextlib.closing(sqlite3.connect(copy_path)) as file:
            connection.connection.backup(file)
        with copy_path.open("rb") as file:
            os.fsync(file.fileno())
    except (sqlite3.Error, OSError) as error:
        copy_path.unlink(missing_ok=True)
        raise error if isinstance(error, OSError) else OSError(0, str(error)) from None
    return copy_path


def _in_words(size: int) -> str:
    for unit, bytes_of in (("GB", 10**9), ("MB", 10**6)):
        if size >= bytes_of:
            return f"{size / bytes_of:.1f} {unit}"
    return f"{-(-size // 1000)} kB"
