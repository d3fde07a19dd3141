"""A new book has at once what the migrations would build, which tests/inventory/test_migrations.py compares so too."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection, connections
from django.db.migrations.loader import MigrationLoader

from shop.book import new_book
from tests.schemas import sqlite_schema

pytestmark = pytest.mark.skipif(connection.vendor != "sqlite", reason="makes SQLite files beside the tests' database")
MANAGE = Path(__file__).resolve().parents[2] / "manage.py"


def test_a_new_book_has_the_tables_of_the_models_the_builtin_figures_and_nothing_left_to_migrate(db, tmp_path):
    environment = {**os.environ, "DATABASE_URL": f"sqlite:///{tmp_path}/new.sqlite3"}
    command = [sys.executable, MANAGE, "migrate"]
    told = subprocess.run(command, env=environment, check=True, timeout=300, capture_output=True, text=True).stdout
    assert told.startswith("A new book was made, with all its tables.\n")

    with closing(sqlite3.connect(tmp_path / "new.sqlite3")) as made:
        assert sqlite_schema(made) == sqlite_schema(connection.connection)
        applied = set(made.execute("SELECT app, name FROM django_migrations"))
        assert applied == MigrationLoader(None, ignore_no_migrations=True).graph.nodes.keys()
        assert made.execute("SELECT COUNT(*) FROM inventory_seriesshape").fetchone()[0] > 10


@pytest.mark.parametrize("asked", ["--plan", "--check"])
def test_what_only_asks_makes_no_book(another_database, asked):
    alias = another_database()

    try:
        call_command("migrate", asked, database=alias, verbosity=0)
    except SystemExit as ended:  # so --check says that something is to be done
        assert ended.code == 1

    assert new_book.is_new(alias)


def test_a_book_with_a_table_is_not_new(another_database):
    alias = another_database()
    with connections[alias].cursor() as cursor:
        cursor.execute("CREATE TABLE left_by_somebody (id integer)")

    assert not new_book.is_new(alias)
