"""What the migrations build, from nothing, is what the models describe: the tests' own tables are made from these.

Of SQLite that is told by the book that the demo begins, in tests/shop/test_serve.py.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

from tests.schemas import postgres_schema

HOUSE = Path(__file__).resolve().parents[2]
OTHER = "gripbook_migrated_anew"


def migrate(url: str) -> None:
    environment = {**os.environ, "DATABASE_URL": url, "SECRET_KEY": "x" * 50}
    command = [sys.executable, "manage.py", "migrate", "-v", "0"]
    subprocess.run(command, cwd=HOUSE, env=environment, check=True, capture_output=True)


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
