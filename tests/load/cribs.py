"""The throw-away databases of a run, one for each size of crib, any of which can be laid open to the site."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class InUse(Exception):
    """A database of that name is there already and holds pieces, or is none of ours."""


def addresses(sizes: list[int], folder: str) -> dict[int, str]:
    """A DATABASE_URL for each size: beside the one that is given, never that one itself."""
    given = os.environ.get("DATABASE_URL", "").strip() or f"sqlite:///{folder}/crib"
    return {size: f"{given}_load_{size}" for size in sizes}


@contextmanager
def kept(sizes: list[int], folder: str) -> Iterator[Cribs]:
    """As `made`, but left in place at the end, and taken as they are where an earlier run left them. Raises InUse."""
    Path(folder).mkdir(parents=True, exist_ok=True)
    cribs = Cribs(addresses(sizes, folder), is_kept=True)
    cribs.make()
    yield cribs


@contextmanager
def made(sizes: list[int]) -> Iterator[Cribs]:
    """Databases filled with so many pieces each, and taken away at the end. Raises InUse."""
    with tempfile.TemporaryDirectory(prefix="gripbook-load-") as folder:
        cribs = Cribs(addresses(sizes, folder))
        try:
            cribs.make()
            yield cribs
        finally:
            cribs.drop()


class Cribs:
    """Every crib has a connection of its own, so that they can take turns in one process."""

    def __init__(self, urls: dict[int, str], *, is_kept: bool = False) -> None:
        self.urls = urls
        self._is_kept = is_kept
        self._connections = {}
        self._ours = []

    def make(self) -> None:
        import invented

        for pieces, url in self.urls.items():
            self._connect(pieces, url)
            if self._is_kept and self._is_filled(pieces):
                continue
            self._make_empty(pieces, url)
            self._ours.append(pieces)
            self.open(pieces)
            print(f"writing {pieces:,} pieces ...", file=sys.stderr)
            invented.fill(pieces)
            if url.startswith("postgres"):  # as its own autovacuum would soon
                self._connections[pieces].cursor().execute("VACUUM ANALYZE")
            self._connections[pieces].close()  # SQLite moves what was written from its log into the file

    def open(self, pieces: int) -> None:
        """Make this crib the one that the whole site reads."""
        from django.db import connections

        connections["default"] = self._connections[pieces]

    def signed_in(self, pieces: int) -> str:
        """The cookies of a browser in which somebody of this crib signed in."""
        from django.conf import settings
        from django.test import Client

        from inventory.models import User

        self.open(pieces)
        client = Client()
        client.force_login(User.objects.get(username="asker"), backend="django.contrib.auth.backends.ModelBackend")
        # The page that people sign in on gives their browser the second cookie too.
        cookies = {settings.SESSION_COOKIE_NAME: client.cookies[settings.SESSION_COOKIE_NAME].value}
        cookies[settings.CSRF_COOKIE_NAME] = "c" * 32
        return "; ".join(f"{name}={value}" for name, value in cookies.items())

    def drop(self) -> None:
        for pieces in self._ours:
            self._connections[pieces].close()
            entry = self._connections[pieces].settings_dict
            if self.urls[pieces].startswith("postgres"):
                _run_on_server(entry, f'DROP DATABASE "{entry["NAME"]}" WITH (FORCE)')
            else:
                for ending in ("", "-wal", "-shm"):
                    Path(f"{entry['NAME']}{ending}").unlink(missing_ok=True)

    def _connect(self, pieces: int, url: str) -> None:
        from django.db import connections
        from django.db.utils import load_backend

        from shop import environment

        os.environ["DATABASE_URL"] = url
        entry = connections.configure_settings({"default": environment.database(Path())})["default"]
        self._connections[pieces] = load_backend(entry["ENGINE"]).DatabaseWrapper(entry, "default")

    def _is_filled(self, pieces: int) -> bool:
        """Whether an earlier run filled this one: so many invented collets, and nothing that is not invented."""
        import invented
        from django.db import DatabaseError

        entry = self._connections[pieces].settings_dict
        if not self.urls[pieces].startswith("postgres") and not Path(entry["NAME"]).exists():
            return False
        self.open(pieces)
        try:
            return invented.is_filled(pieces)
        except DatabaseError:
            return False
        finally:
            self._connections[pieces].close()

    def _make_empty(self, pieces: int, url: str) -> None:
        entry = self._connections[pieces].settings_dict
        if not url.startswith("postgres"):
            if Path(entry["NAME"]).exists():
                raise InUse(f"{entry['NAME']} is there already; move it away or name another DATABASE_URL.")
            return
        if _run_on_server(entry, f"SELECT 1 FROM pg_database WHERE datname = '{entry['NAME']}'"):
            self._refuse_if_used(pieces)
            _run_on_server(entry, f'DROP DATABASE "{entry["NAME"]}" WITH (FORCE)')
        _run_on_server(entry, f'CREATE DATABASE "{entry["NAME"]}"')

    def _refuse_if_used(self, pieces: int) -> None:
        connection = self._connections[pieces]
        tables = connection.introspection.table_names()
        with connection.cursor() as cursor:
            is_bare = not tables
            if "inventory_tool" in tables:
                cursor.execute("SELECT 1 FROM inventory_tool LIMIT 1")
                is_bare = cursor.fetchone() is None
        connection.close()
        if not is_bare:
            name = connection.settings_dict["NAME"]
            raise InUse(f"The database {name} holds pieces or foreign tables; drop it or name another DATABASE_URL.")


def _run_on_server(entry: dict, statement: str) -> list:
    import psycopg

    where = {"host": entry["HOST"], "port": entry["PORT"], "user": entry["USER"], "password": entry["PASSWORD"]}
    with psycopg.connect(dbname="postgres", autocommit=True, **where) as server:
        cursor = server.execute(statement)
        return cursor.fetchall() if cursor.description else []
