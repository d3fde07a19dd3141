"""A second database beside that of the tests."""

import shutil

import pytest
from django.db import connections

from shop import environment


@pytest.fixture
def another_database(db, tmp_path, monkeypatch):
    """Gives the alias of a new SQLite file; each call makes another. It is empty, or a copy of the file `of`."""
    made = []

    def another_database(*, of=None):
        alias = f"elsewhere{len(made)}"
        if of:
            shutil.copy(of, tmp_path / f"{alias}.sqlite3")
        monkeypatch.setenv("DATABASE_URL", f"sqlite:///{tmp_path / alias}.sqlite3")
        entry = environment.database(tmp_path)
        connections.settings[alias] = connections.configure_settings({"default": entry})["default"]
        made.append(alias)
        # Opened here: later on the test case would refuse a database that was not there when it began.
        connections[alias].connect()
        return alias

    yield another_database
    for alias in made:
        connections[alias].close()
        del connections[alias]
        del connections.settings[alias]
