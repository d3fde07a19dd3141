"""The whole book into a file and back, on this database and into another."""

import io
import os
import sqlite3
import stat
import subprocess
import sys
import zipfile
from contextlib import closing
from pathlib import Path

import pytest
from django.apps import apps
from django.contrib.auth.models import Group, Permission
from django.contrib.sessions.models import Session
from django.db import connection, connections
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inventory.figures import builtin
from inventory.models import Ask, Inspection, Lathe, Location, Seat, SeriesShape, SheetImport, Tool, User
from shop.backup import rows
from shop.backup.archive import ArchiveWriter, BackupError
from shop.backup.making import book_state, make, one_moment, write
from shop.backup.restoring import restore
from shop.backup.tables import EMPTIED, LEFT_OUT, BookState, heads_among, loader_of
from shop.book import new_book
from tests import factories

MANAGE = Path(__file__).resolve().parents[2] / "manage.py"
SQLITE_ALONE = pytest.mark.skipif(
    connection.vendor != "sqlite", reason="asks SQLite files alone, as it does where the other tests are on SQLite too"
)


@pytest.fixture
def book(demo):
    """The demo crib, and a row of what it has none of."""
    administrator = User.objects.get(username="administrator")
    SheetImport.objects.create(
        name="crib.csv", content=bytes(range(256)), made_by=administrator, done={"z": [1.5, None], "a": "é \u2028"}
    )
    Ask.objects.count_one(question="size=2.9", read_as="2.9 in round", verdict="nothing", on=timezone.localdate())
    group = Group.objects.create(name="second shift")
    group.permissions.add(Permission.objects.get(codename="change_tool"))
    administrator.groups.add(group)


@pytest.fixture
def backup(book, tmp_path):
    """A backup of that book."""
    path = tmp_path / "crib.zip"
    make(path)
    return path


def contents(using="default"):
    """Every table of the book with its rows, as a backup has them. What a restored book adds to the history of the
    series, where the tables go on from the figures that it was made with, counts as nothing."""
    found = {table.name: b"".join(rows.lines(table, using=using)) for table in book_state(using).tables}
    series = "inventory.historicalseriesshape"
    found[series] = b"".join(line for line in found[series].splitlines(keepends=True) if b'"~",null' not in line)
    return found


def rebuilt(path, changes=lambda name, lines: lines, *, migrations=None):
    """The backup at `path`, made anew by hand with other rows in it."""
    good = io.BytesIO()
    manifest = write(good, name="good")
    with zipfile.ZipFile(good) as archive, path.open("w+b") as file:
        writer = ArchiveWriter(file, at=timezone.now())
        for table in manifest.tables:
            writer.add(table.name, table.columns, changes(table.name, archive.open(table.member).readlines()))
        writer.finish(database="sqlite", migrations=migrations or manifest.migrations)
    return path


# What is in it.


def test_every_model_is_in_the_backup_or_on_the_list_of_what_is_left_out(db):
    managed = {
        model._meta.label_lower
        for model in apps.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy
    }

    held = {table.name for table in book_state("default").tables}
    assert held | LEFT_OUT.keys() == managed
    assert held & LEFT_OUT.keys() == set()


def test_every_column_is_in_the_backup(db):
    now = {model._meta.label_lower: model for model in apps.get_models(include_auto_created=True)}

    for table in book_state("default").tables:
        columns = [field.attname for field in now[table.name]._meta.local_concrete_fields]
        assert sorted(table.columns) == sorted(columns), table.name


def test_what_is_left_out_has_its_reason_and_what_is_emptied_is_left_out():
    assert all(len(why) > 20 for why in LEFT_OUT.values())
    assert set(EMPTIED) <= LEFT_OUT.keys()


def test_a_backup_can_be_read_by_its_owner_only(backup):
    assert stat.S_IMODE(backup.stat().st_mode) == 0o600


def test_nothing_unfinished_is_left_beside_it(backup):
    assert [file.name for file in backup.parent.iterdir() if "crib" in file.name] == ["crib.zip"]


# There and back.


def test_a_book_that_was_changed_comes_back_as_it_was(backup):
    before = contents()
    Tool.objects.filter(tag="C-0011").update(notes="Scribbled over.")
    Inspection.objects.update(note="Scribbled over.")
    SeriesShape.objects.update(closes_by=1)
    factories.collet(tag="C-9999")

    restore(backup, replace=True)

    assert contents() == before


def manage(folder, *arguments):
    """A command in a process of its own, for the book of that folder, which need not be there yet."""
    environment = {**os.environ, "DATABASE_URL": f"sqlite:///{folder}/book.sqlite3", "PUBLIC_URL": ""}
    return subprocess.run(
        [sys.executable, MANAGE, *arguments], cwd=folder, env=environment, capture_output=True, text=True, timeout=300
    )


# The migrations of a command end with the built-in figures, where the tests have their own: as many rows, other values.
WITH_BUILT_IN_FIGURES = {"inventory.seriesshape", "inventory.size"}


@SQLITE_ALONE
def test_the_commands_take_a_book_to_a_machine_without_one(backup, another_database, tmp_path):
    before, pieces = contents(), Tool.objects.count()
    (tmp_path / "sheet.csv").write_text("tag,kind\n")

    refused = manage(tmp_path, "restore", "sheet.csv")
    nothing_to_keep = manage(tmp_path, "backup", "none.zip")
    restored = manage(tmp_path, "restore", backup.name)
    twice = manage(tmp_path, "restore", backup.name)
    again = manage(tmp_path, "backup", "again.zip")

    assert [done.returncode for done in (refused, nothing_to_keep, restored, twice, again)] == [2, 2, 0, 2, 0]
    assert [len(done.stderr.splitlines()) for done in (refused, nothing_to_keep, twice)] == [1, 1, 1]
    assert f"{pieces} pieces" in again.stdout
    after = contents(another_database(of=tmp_path / "book.sqlite3"))
    noted = after.pop("inventory.deed").removeprefix(before.pop("inventory.deed"))
    assert noted.count(b"\n") == 2
    assert {name: text.count(b"\n") for name, text in after.items()} == {
        name: text.count(b"\n") for name, text in before.items()
    }
    assert {name for name in after if after[name] != before[name]} <= WITH_BUILT_IN_FIGURES


def test_a_book_goes_into_a_database_that_was_only_migrated(backup, tmp_path):
    before = contents()
    for table in book_state("default").tables:
        if table.name.startswith("inventory."):
            with connections["default"].cursor() as cursor:
                cursor.execute(f"DELETE FROM {table.in_database}")
    builtin.load()

    restored = restore(backup)

    assert restored.replaced is None
    assert contents() == before


def test_people_sign_in_with_the_passwords_they_had(backup, settings):
    user = User.objects.get(username="keeper")
    User.objects.filter(pk=user.pk).update(password="!", role="machinist")

    restore(backup, replace=True)

    again = User.objects.get(username="keeper")
    assert (again.password, again.role) == (user.password, "keeper")


def test_rows_that_point_to_each_other_still_do(backup):
    piece = Tool.objects.exclude(reading=None).first()

    restore(backup, replace=True)

    again = Tool.objects.get(pk=piece.pk)
    assert again.reading.tool == again
    assert Location.objects.get(name="E2").parent.name == "Cabinet E"


def test_restoring_is_no_change_of_the_pieces(backup):
    entries = Tool.history.count()

    restore(backup, replace=True)

    assert Tool.history.count() == entries


def test_what_is_entered_afterwards_takes_no_key_that_is_in_use(backup):
    restore(backup, replace=True)

    assert factories.collet(tag="C-9999").pk > Tool.objects.exclude(tag="C-9999").order_by("-pk").first().pk
    assert Seat.objects.create(code="A seat of our own").pk
    assert factories.user("machinist").pk


def test_who_was_signed_in_is_not_any_more(backup, client_of):
    client = client_of("keeper")
    assert Session.objects.exists()

    restore(backup, replace=True)

    assert not Session.objects.exists()
    assert client.get("/desk/").status_code == 302


# What is refused, and leaves the book alone.


def test_a_book_with_pieces_is_replaced_only_when_that_is_said(backup):
    Tool.objects.filter(tag="C-0011").update(notes="Kept.")
    before = contents()

    with pytest.raises(BackupError, match=r"already holds \d+ pieces: nothing was touched. With --replace"):
        restore(backup)

    assert contents() == before


@SQLITE_ALONE
def test_a_book_with_a_lathe_only_is_not_replaced_either(backup, another_database, book_file):
    alias = another_database(of=book_file)
    restore(backup, using=alias)
    for name in ("inventory_loan", "inventory_inspection", "inventory_tool", "inventory_location"):
        with connections[alias].cursor() as cursor:
            cursor.execute("PRAGMA foreign_keys = OFF")
            cursor.execute(f"DELETE FROM {name}")

    with pytest.raises(BackupError, match=r"already holds \d+ lathes"):
        restore(backup, using=alias)


def test_the_book_that_is_replaced_is_kept_beside_the_backup(backup):
    factories.collet(tag="C-9999")
    with_it = contents()

    replaced = restore(backup, replace=True).replaced
    assert not Tool.objects.filter(tag="C-9999").exists()
    restore(replaced, replace=True)

    assert contents() == with_it
    assert replaced.parent == backup.parent


@pytest.fixture
def small_book(db):
    """A piece with its size, and a lathe: to make and read the demo again and again takes a second each time."""
    factories.collet(tag="C-0011")
    factories.lathe()


@pytest.fixture
def backup_of_a_piece(small_book, tmp_path):
    """A backup of that book, and what was in it."""
    path = tmp_path / "crib.zip"
    make(path)
    return path, contents()


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_a_damaged_backup_leaves_the_book_as_it_was(backup_of_a_piece, data):
    backup, before = backup_of_a_piece
    good = backup.read_bytes()
    damaged, position = bytearray(good), data.draw(st.integers(0, 10**6)) % len(good)
    if data.draw(st.booleans()):
        damaged[position] ^= data.draw(st.integers(1, 255))
    else:
        del damaged[position:]
    path = backup.with_name("damaged.zip")
    path.write_bytes(damaged)

    with pytest.raises(BackupError):
        restore(path, replace=True)

    assert contents() == before


def without(table):
    return lambda name, lines: [] if name == table else lines


def with_line(table, line):
    return lambda name, lines: [*lines, line] if name == table else lines


WRONG = {
    "pieces without their sizes": without("inventory.size"),
    "a row that is twice": lambda name, lines: lines * 2 if name == "inventory.lathe" else lines,
    "a row that is no row": with_line("inventory.seat", b'{"code": "5C"}\n'),
    "a row that is no JSON": with_line("inventory.seat", b"5C\n"),
    "a row with too few values": with_line("inventory.seat", b"[9999]\n"),
    "a value of another kind": with_line("inventory.location", b'[9999,"A9","no key"]\n'),
    "a number that is too large": with_line("inventory.location", b'[9999,"A9",' + b"9" * 40 + b"]\n"),
    "a row against a constraint": with_line("inventory.location", b'[9999,"",null]\n'),
    "brackets without an end": with_line("inventory.seat", b"[" * 200_000 + b"\n"),
}


@pytest.mark.parametrize("changes", WRONG.values(), ids=WRONG)
def test_a_backup_whose_rows_cannot_stand_leaves_the_book_as_it_was(changes, small_book, tmp_path):
    path, before = rebuilt(tmp_path / "wrong.zip", changes), contents()

    with pytest.raises(BackupError, match="the book is as it was") as refused:
        restore(path, replace=True)

    assert contents() == before
    assert "\n" not in str(refused.value)


def test_a_backup_of_a_newer_gripbook_is_refused(small_book, tmp_path):
    migrations = {**book_state("default").heads, "inventory": ["0999_of_the_future"]}
    path = rebuilt(tmp_path / "newer.zip", migrations=migrations)

    with pytest.raises(BackupError, match="another Gripbook, which has inventory 0999_of_the_future"):
        restore(path, replace=True)


def test_a_backup_with_a_table_that_is_not_of_its_migrations_is_refused(small_book, tmp_path):
    path = tmp_path / "odd.zip"
    with path.open("w+b") as file:
        writer = ArchiveWriter(file, at=timezone.now())
        writer.add("inventory.tool", ["id", "tag"], [b'[1,"C-0001"]\n'])
        writer.finish(database="sqlite", migrations=book_state("default").heads)

    with pytest.raises(BackupError, match="its tables are not those"):
        restore(path, replace=True)


def test_a_book_that_a_newer_gripbook_made_is_neither_backed_up_nor_replaced(backup):
    with connections["default"].cursor() as cursor:
        cursor.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES (%s, %s, %s)",
            ["inventory", "0999_of_the_future", timezone.now()],
        )

    for attempt in (lambda: make(backup), lambda: restore(backup, replace=True)):
        with pytest.raises(BackupError, match="The book is newer than this Gripbook"):
            attempt()


# Older ones.


def keep_a_lathe(using, name):
    """As the code of that time would have: today's model may have columns that the table has not."""
    book_state(using).by_name["inventory.lathe"].model._base_manager.using(using).create(name=name)


@pytest.fixture(scope="module")
def _oldest_file(tmp_path_factory):
    return tmp_path_factory.mktemp("book") / "oldest.sqlite3"


@pytest.fixture
def oldest_book(another_database, _oldest_file):
    """The alias of a book as the first Gripbook made it; the first test has it made, each later one gets a copy."""
    if _oldest_file.exists():
        return another_database(of=_oldest_file)
    alias = another_database()
    MigrationExecutor(connections[alias]).migrate([("inventory", "0001_the_book")])
    with closing(sqlite3.connect(_oldest_file)) as file:
        connections[alias].connection.backup(file)
    return alias


def make_book_as_of(using, migration):
    loader = loader_of(using)
    state = BookState(loader, heads_among(loader, set(loader.graph.forwards_plan(migration))))
    new_book.make_tables(using, (table.model for table in state.all_tables), state.migrations)


@SQLITE_ALONE
def test_a_backup_of_an_older_gripbook_goes_through_the_migrations_that_its_book_would_without_a_table_that_is_gone(
    another_database, tmp_path
):
    old, new, path = another_database(), another_database(), tmp_path / "old.zip"
    make_book_as_of(old, ("inventory", "0014_pieces_found_in_the_index_alone"))
    keep_a_lathe(old, "Lathe 1")
    book_state(old).by_name["inventory.buysum"].model._base_manager.using(old).create(key="k", state="s", solved=[1])
    make(path, using=old)

    restore(path, using=new)

    loader = loader_of(new)
    assert set(loader.graph.leaf_nodes()) <= set(loader.applied_migrations)
    assert [lathe.name for lathe in Lathe.objects.using(new)] == ["Lathe 1"]
    assert "inventory_buysum" not in connections[new].introspection.table_names()


def test_a_book_goes_where_one_is_behind_its_code_which_is_kept_and_on_to_this_one(backup, oldest_book, tmp_path):
    before, old, path = contents(), oldest_book, tmp_path / "moved.zip"
    MigrationExecutor(connections[old]).migrate([("admin", "0001_initial")])
    keep_a_lathe(old, "Lathe 9")

    replaced = restore(backup, replace=True, using=old).replaced

    assert contents(old) == before
    assert zipfile.ZipFile(replaced).read("tables/inventory.lathe.jsonl").count(b"Lathe 9") == 1
    make(path, using=old)
    restore(path, replace=True)
    assert contents() == before


@SQLITE_ALONE
def test_a_book_that_is_behind_its_code_is_backed_up_as_it_is(oldest_book, tmp_path):
    manifest = make(tmp_path / "old.zip", using=oldest_book)

    assert manifest.migrations["inventory"] == ["0001_the_book"]
    assert "admin.logentry" not in {table.name for table in manifest.tables}


@SQLITE_ALONE
def test_where_there_is_no_book_there_is_nothing_to_back_up(another_database, tmp_path):
    with pytest.raises(BackupError, match="There is no book yet"):
        make(tmp_path / "none.zip", using=another_database())

    assert not (tmp_path / "none.zip").exists()


# While others work.


@SQLITE_ALONE
def test_somebody_can_write_while_a_backup_is_made_and_it_holds_one_moment(backup, another_database, book_file):
    alias = another_database(of=book_file)
    restore(backup, using=alias)
    lathes = Lathe.objects.using(alias)
    with one_moment(alias):
        assert lathes.filter(name="Lathe 1").exists()
        with sqlite3.connect(connections[alias].settings_dict["NAME"], timeout=0) as other:
            other.execute("UPDATE inventory_lathe SET name = 'Moved' WHERE name = 'Lathe 1'")
        other.close()
        assert lathes.filter(name="Lathe 1").exists()

    assert lathes.filter(name="Moved").exists()


def test_a_table_is_read_in_the_order_of_its_keys(db):
    factories.lathe()
    factories.lathe()
    table = book_state("default").by_name["inventory.lathe"]

    first, second, *_ = rows.lines(table, using="default")

    assert first.startswith(b"[") and first.endswith(b"]\n")
    assert int(first[1:].split(b",")[0]) < int(second[1:].split(b",")[0])
