"""The throw-away databases of a run, each filled, and any of which can be laid open to the site."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path


class InUse(Exception):
    """A database of that name is there already."""


@contextmanager
def made(sizes: list[int], **others: Callable[[], object]) -> Iterator[Cribs]:
    """A database for each of these sizes, filled with so many invented pieces, and one for each name, filled by its
    function; they are made beside the one that DATABASE_URL names, and taken away at the end. Raises InUse."""
    import invented

    fills = {size: partial(invented.fill, size) for size in sizes} | others
    with tempfile.TemporaryDirectory(prefix="gripbook-load-") as folder:
        given = os.environ.get("DATABASE_URL", "").strip() or f"sqlite:///{folder}/crib"
        cribs = Cribs({name: f"{given}_load_{name}" for name in fills})
        try:
            for name, fill in fills.items():
                print(f"making {name} ...", file=sys.stderr)
                cribs.make(name, fill)
            yield cribs
        finally:
            cribs.drop()


class Cribs:
    """Every crib has a connection of its own, so that they can take turns in one process."""

    def __init__(self, urls: dict[int | str, str]) -> None:
        self.urls = urls
        self._connections = {}

    def make(self, name: int | str, fill: Callable[[], object], *, upto: str = "") -> None:
        """`upto` is the migration of a book that is older than today's."""
        from django.core.management import call_command

        entry = self._entry(name)
        _make_empty(entry)
        self._connect(name, entry)
        self.open(name)
        call_command("migrate", *(["inventory", upto] if upto else []), verbosity=0)
        fill()
        if _is_on_a_server(entry):  # as its own autovacuum would soon
            self._connections[name].cursor().execute("VACUUM ANALYZE")
        self._connections[name].close()  # SQLite moves what was written from its log into the file

    def is_made(self, name: int | str) -> bool:
        return name in self._connections

    def copy(self, name: int | str, *, to: int | str) -> None:
        """Another one of the same content, which nobody has open."""
        from_, entry = self._connections[name].settings_dict, self._entry(to)
        self._connections[name].close()
        _refuse_if_there(entry)
        if _is_on_a_server(entry):
            run_on_server(entry, f'CREATE DATABASE "{entry["NAME"]}" TEMPLATE "{from_["NAME"]}"')
        else:
            shutil.copy(from_["NAME"], entry["NAME"])
        self._connect(to, entry)

    def _entry(self, name: int | str) -> dict:
        from django.db import connections

        from shop import environment

        os.environ["DATABASE_URL"] = self.urls[name]
        return connections.configure_settings({"default": environment.database(Path())})["default"]

    def _connect(self, name: int | str, entry: dict) -> None:
        """From here on it is ours, and dropped at the end."""
        from django.db.utils import load_backend

        self._connections[name] = load_backend(entry["ENGINE"]).DatabaseWrapper(entry, "default")

    def open(self, name: int | str) -> None:
        """Make this crib the one that the whole site reads."""
        from django.db import connections

        connections["default"] = self._connections[name]

    def drop(self, *names: int | str) -> None:
        """These, or all."""
        for name in names or list(self._connections):
            connection = self._connections.pop(name)
            connection.close()
            entry = connection.settings_dict
            if _is_on_a_server(entry):
                run_on_server(entry, f'DROP DATABASE "{entry["NAME"]}" WITH (FORCE)')
            else:
                for ending in ("", "-wal", "-shm"):
                    Path(f"{entry['NAME']}{ending}").unlink(missing_ok=True)


def _make_empty(entry: dict) -> None:
    _refuse_if_there(entry)
    if _is_on_a_server(entry):
        run_on_server(entry, f'CREATE DATABASE "{entry["NAME"]}"')


def _refuse_if_there(entry: dict) -> None:
    name = entry["NAME"]
    is_there = (
        bool(run_on_server(entry, f"SELECT 1 FROM pg_database WHERE datname = '{name}'"))
        if _is_on_a_server(entry)
        else Path(name).exists()
    )
    if is_there:
        raise InUse(f"{name} is there already; drop it or name another DATABASE_URL.")


def _is_on_a_server(entry: dict) -> bool:
    return entry["ENGINE"].endswith("postgresql")


def run_on_server(entry: dict, statement: str) -> list:
    import psycopg

    where = {"host": entry["HOST"], "port": entry["PORT"], "user": entry["USER"], "password": entry["PASSWORD"]}
    with psycopg.connect(dbname="postgres", autocommit=True, **where) as server:
        cursor = server.execute(statement)
        return cursor.fetchall() if cursor.description else []
