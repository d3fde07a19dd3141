"""What the migrations build, from nothing, is what the models describe: the tests' own tables are made from these.

On the way the book is filled as it was before two spellings were one seat: what named `MK4` or `Morse 4` is at the MT4,
with its history; a setup sheet from before there were drafts and the loans of those days are there as they were. What
makes the tables of those days at once, as a backup of them is restored, makes the same.
"""

import json
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from django.db import connection

from tests.schemas import postgres_schema, sqlite_schema

HOUSE = Path(__file__).resolve().parents[2]
OTHER = "gripbook_migrated_anew"

OLDER_BOOK = """
import json, django
django.setup()
from django.core.management import call_command
from django.db import connection, connections
from django.db.migrations.executor import MigrationExecutor
from shop.backup.making import book_state
from shop.book import new_book
from tests.schemas import sqlite_schema

OLDER = ("inventory", "0025_who_needs_a_piece_that_is_out")
call_command("migrate", *OLDER, verbosity=0)
if connection.vendor == "sqlite":
    connections.settings["beside"] = {**connections.settings["default"], "NAME": ":memory:"}
    state = book_state("default")
    new_book.make_tables("beside", (table.model for table in state.all_tables), state.migrations)
    assert sqlite_schema(connections["beside"].connection) == sqlite_schema(connection.connection), "not made alike"
old = MigrationExecutor(connection).loader.project_state([OLDER]).apps
Seat, Tool, Lathe, Want = (old.get_model("inventory", name) for name in ("Seat", "Tool", "Lathe", "Want"))
HistoricalTool = old.get_model("inventory", "HistoricalTool")
DIN = "DIN 55029 size 4"
CODES = ("MT4", "MK4", "Morse 4", "D1-4", DIN, "TP 200", "tp-200", "TP 20")
seat = {code: Seat.objects.create(code=code) for code in CODES}
lathe = Lathe.objects.create(name="1", nose=seat[DIN], headstock_taper=seat["Morse 4"], post=seat["tp-200"])
sleeve = Tool.objects.create(tag="S-1", kind="sleeve", mounts_in=seat["MK4"], offers=seat["Morse 4"])
HistoricalTool.objects.create(
    id=sleeve.pk, tag="S-1", kind="sleeve", mounts_in_id=seat["MK4"].pk, history_date="2026-01-01T00:00Z",
    history_type="+",
)
key = Tool.objects.create(tag="Y-1", kind="key", fits="K-0081, DIN 55029 size 4, MK4")
Want.objects.create(what="sleeve", kind="sleeve", mount="Morse 4", takes="MT3")
for apart in ("TP 20", "TP 200"):
    Tool.objects.create(tag="P" + apart[-3:].strip(), kind="tool-post holder", mounts_in=seat[apart])

person = old.get_model("inventory", "User").objects.create(username="dana")
numbers = [["Stock", "3/4 in round"], ["Parts", "12"]]
sheet = dict(title="Feed screw", question="size=3/4", way="Collet", numbers=numbers, made_by=person)
old.get_model("inventory", "SetupSheet").objects.create(**sheet)
Loan = old.get_model("inventory", "Loan")
Loan.objects.create(tool=sleeve, borrower=person, issued_at="2026-01-02T00:00Z", due_on="2026-01-09")
Loan.objects.create(
    tool=key, borrower=person, issued_at="2026-01-02T00:00Z", returned_at="2026-01-03T00:00Z", returned_by=person
)

call_command("migrate", verbosity=0)
from inventory.models import Lathe, Loan, Reservation, Seat, SetupSheet, Tool, Want
lathe = Lathe.objects.get()
print(json.dumps({
    "lathe": [str(lathe.nose), str(lathe.headstock_taper), str(lathe.post)],
    "sleeve": [str(Tool.objects.get(tag="S-1").mounts_in), str(Tool.objects.get(tag="S-1").offers)],
    "was": [str(entry.mounts_in) for entry in Tool.history.filter(tag="S-1")],
    "key": Tool.objects.get(tag="Y-1").fits,
    "want": Want.objects.get().mount,
    "posts": sorted(str(tool.mounts_in) for tool in Tool.objects.filter(kind="tool-post holder")),
    "sheet": [
        (sheet.title, sheet.stock, sheet.frozen_by.username, sheet.frozen_at == sheet.made_at, sheet.number)
        for sheet in SetupSheet.objects.all()
    ],
    "out": [(loan.tool.tag, loan.borrower.username, loan.sheet) for loan in Loan.objects.open()],
    "loans": Loan.objects.count() + Reservation.objects.count(),
    "left": sorted(Seat.objects.filter(code__in=set(CODES) - {"D1-4"}).values_list("code", flat=True)),
}))
"""


def migrated(url):
    environment = {**os.environ, "DATABASE_URL": url, "SECRET_KEY": "x" * 50, "DJANGO_SETTINGS_MODULE": "shop.settings"}
    run = subprocess.run([sys.executable, "-c", OLDER_BOOK], cwd=HOUSE, env=environment, capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout.splitlines()[-1])


def check(book):
    assert book == {
        "lathe": ["D1-4", "MT4", "TP 200"],
        "sleeve": ["MT4", "MT4"],
        "was": ["MT4"],
        "key": "K-0081, D1-4, MT4",
        "want": "MT4",
        "posts": ["TP 20", "TP 200"],
        "left": ["MT4", "TP 20", "TP 200"],
        "out": [["S-1", "dana", None]],
        "loans": 2,
        "sheet": [["Feed screw", "3/4 in round", "dana", True, ""]],
    }


@pytest.mark.skipif(connection.vendor != "sqlite", reason="tells of SQLite")
def test_an_older_sqlite_book_comes_to_what_the_models_describe_with_all_that_is_in_it(db, tmp_path):
    check(migrated(f"sqlite:///{tmp_path / 'older.sqlite3'}"))
    with closing(sqlite3.connect(tmp_path / "older.sqlite3")) as built:
        assert sqlite_schema(built) == sqlite_schema(connection.connection)


@pytest.mark.skipif(connection.vendor != "postgresql", reason="tells of PostgreSQL")
def test_an_older_postgresql_book_comes_to_what_the_models_describe_with_all_that_is_in_it(db):
    import psycopg

    at = {**connection.get_connection_params(), "dbname": "postgres"}
    at = {key: at[key] for key in ("dbname", "user", "password", "host", "port") if at.get(key)}
    name = f"{OTHER}_{os.environ.get('PYTEST_XDIST_WORKER', 'alone')}"
    with psycopg.connect(**at, autocommit=True) as server:
        server.execute(f"DROP DATABASE IF EXISTS {name}")
        server.execute(f"CREATE DATABASE {name}")
        try:
            address = f"{at['user']}:{at.get('password', 'x')}@{at['host']}:{at.get('port', 5432)}"
            check(migrated(f"postgres://{address}/{name}"))
            with psycopg.connect(**{**at, "dbname": name}) as built, connection.cursor() as cursor:
                assert postgres_schema(built.cursor()) == postgres_schema(cursor)
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")
