"""What the migrations build, from nothing, is what the models describe: the tests' own tables are made from these."""

import os
import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from django.db import connection

HOUSE = Path(__file__).resolve().parents[2]
OTHER = "gripbook_migrated_anew"


def migrate(url: str) -> None:
    environment = {**os.environ, "DATABASE_URL": url, "SECRET_KEY": "x" * 50}
    command = [sys.executable, "manage.py", "migrate", "-v", "0"]
    subprocess.run(command, cwd=HOUSE, env=environment, check=True, capture_output=True)


def sqlite_schema(database) -> dict[str, set]:
    """Of each table its columns and what its checks say; of each index what it is on."""
    rows = database.execute("SELECT type, name, tbl_name, sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    found = {}
    for kind, name, table, sql in rows:
        if kind == "table":
            columns = database.execute(f'PRAGMA table_info("{name}")').fetchall()
            checks = re.findall(r'CONSTRAINT "(\w+)" (CHECK|UNIQUE)', sql)
            found[name] = {tuple(column[1:4]) for column in columns} | set(checks)
        elif kind == "index":
            # The hash that ends an automatic name is made of the columns, which stand in the rest of the text.
            found.setdefault(f"indexes of {table}", set()).add(re.sub(r' ON "\w+"', "", sql).replace(name, ""))
        else:
            found[f"{kind} {name}"] = {table}
    return found


def postgres_schema(cursor) -> dict[str, set]:
    """Of each table of ours its columns, indexes and constraints."""
    found = {}
    for sql in (
        "SELECT table_name, column_name, data_type, is_nullable FROM information_schema.columns",
        "SELECT tablename, regexp_replace(indexdef, '^.* USING', 'USING') FROM pg_indexes WHERE schemaname = 'public'",
        """SELECT conrelid::regclass::text, pg_get_constraintdef(oid) FROM pg_constraint
            WHERE connamespace = 'public'::regnamespace""",
    ):  # fmt: skip
        cursor.execute(sql)
        for table, *rest in cursor.fetchall():
            if table.startswith("inventory_"):
                found.setdefault(table, set()).add(tuple(rest))
    return found


@pytest.mark.skipif(connection.vendor != "sqlite", reason="tells of SQLite")
def test_migrating_a_new_sqlite_book_builds_what_the_models_describe(db, tmp_path):
    migrate(f"sqlite:///{tmp_path / 'new.sqlite3'}")

    with closing(sqlite3.connect(tmp_path / "new.sqlite3")) as migrated:
        assert sqlite_schema(migrated) == sqlite_schema(connection.connection)


@pytest.mark.skipif(connection.vendor != "postgresql", reason="tells of PostgreSQL")
def test_migrating_a_new_postgresql_book_builds_what_the_models_describe(db, django_db_blocker):
    import psycopg

    at = {**connection.get_connection_params(), "dbname": "postgres"}
    at = {key: at[key] for key in ("dbname", "user", "password", "host", "port") if at.get(key)}
    name = f"{OTHER}_{os.environ.get('PYTEST_XDIST_WORKER', 'alone')}"
    with psycopg.connect(**at, autocommit=True) as server:
        server.execute(f"DROP DATABASE IF EXISTS {name}")
        server.execute(f"CREATE DATABASE {name}")
        try:
            migrate(f"postgres://{at['user']}:{at.get('password', 'x')}@{at['host']}:{at.get('port', 5432)}/{name}")
            with psycopg.connect(**{**at, "dbname": name}) as migrated, connection.cursor() as cursor:
                assert postgres_schema(migrated.cursor()) == postgres_schema(cursor)
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")
