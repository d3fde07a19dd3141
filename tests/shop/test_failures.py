"""A full disk, a file that can only be read, a damaged one: told as what it is, nothing lost, and on it goes."""

import os
import resource
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import psycopg
import pytest
from django.db import DatabaseError, OperationalError, connection, connections
from django.db.utils import load_backend
from django.test import Client
from django.urls import reverse

from inventory.models import Lathe
from shop.book import book_file as the_file
from shop.trouble import failures, opening_anew
from tests import factories
from tests.shop.test_trouble import words

MANAGE = Path(__file__).resolve().parents[2] / "manage.py"
only_sqlite = pytest.mark.skipif(connection.vendor != "sqlite", reason="what a file of SQLite does")


def environment_of(book):
    return {**os.environ, "DATABASE_URL": f"sqlite:///{book}"}


def run(book, *arguments, **how):
    environment = environment_of(book)
    call = [sys.executable, MANAGE, *map(str, arguments)]
    return subprocess.run(call, env=environment, capture_output=True, text=True, **how)


def is_one_sentence(text):
    return "Traceback" not in text and 0 < len(text.strip().splitlines()) <= 2


@pytest.fixture
def keepers_browser(db):
    client = Client(raise_request_exception=False)
    client.force_login(factories.user("keeper"), backend="django.contrib.auth.backends.ModelBackend")
    return client


def describe(client, name):
    return client.post(reverse("lathe_add"), {"name": name})


def pragma(words):
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {words}")
        return (cursor.fetchone() or [None])[0]


@only_sqlite
def test_a_full_disk_is_told_and_when_there_is_room_it_goes_on(keepers_browser):
    for number in range(40):  # so that no free page is left
        factories.lathe(f"Lathe {number} {'x' * 20}")
    most = pragma("max_page_count")
    pragma("max_page_count=1")  # SQLite takes what it has by now
    try:
        answers = [describe(keepers_browser, f"Another {number} {'y' * 28}") for number in range(60)]
        page = keepers_browser.get(reverse("lathe_list"))
    finally:
        pragma(f"max_page_count={most}")

    refused = [answer for answer in answers if answer.status_code != 302]
    assert {answer.status_code for answer in refused} == {507}
    assert "The disk of the book is full" in words(refused[0])
    assert refused[0]["Retry-After"]
    assert page.status_code == 200
    assert Lathe.objects.filter(name__startswith="Another").count() == len(answers) - len(refused)
    assert describe(keepers_browser, "There is room").status_code == 302


@only_sqlite
def test_a_book_that_can_only_be_read_is_told_and_still_answers(keepers_browser):
    pragma("query_only=ON")
    try:
        written, read = describe(keepers_browser, "Another"), keepers_browser.get(reverse("lathe_list"))
    finally:
        pragma("query_only=OFF")

    assert written.status_code == 503
    assert "The book can only be read" in words(written)
    assert read.status_code == 200
    assert describe(keepers_browser, "Another").status_code == 302


@pytest.fixture
def book_of_its_own(transactional_db, request):
    """The open book, of which the connection can be closed: a file, where that of the tests is in memory."""
    if connection.vendor != "sqlite":
        yield
        return
    memory = connections["default"]
    entry = {**memory.settings_dict, "NAME": request.getfixturevalue("book_file")}
    connections["default"] = load_backend(entry["ENGINE"]).DatabaseWrapper(entry, "default")
    yield
    connections["default"].close()
    connections["default"] = memory


def test_a_book_that_was_opened_while_it_could_only_be_read_is_opened_anew(book_of_its_own, monkeypatch):
    monkeypatch.setattr(opening_anew, "_failed_at", -1e9)
    client = Client(raise_request_exception=False)
    client.force_login(factories.user("keeper"), backend="django.contrib.auth.backends.ModelBackend")
    only_read = "PRAGMA query_only=ON" if connection.vendor == "sqlite" else "SET default_transaction_read_only = on"
    with connection.cursor() as cursor:
        cursor.execute(only_read)  # of this connection alone, as long as it lives

    assert describe(client, "Another").status_code == 503
    assert describe(client, "Another").status_code == 302


# By their codes, SQLSTATE (PostgreSQL's manual, appendix A).
@pytest.mark.parametrize(("cause", "failure"), [
    (psycopg.errors.DiskFull(), failures.FULL), (psycopg.errors.ReadOnlySqlTransaction(), failures.READ_ONLY),
    (psycopg.errors.DataCorrupted(), failures.DAMAGED), (psycopg.errors.InsufficientPrivilege(), failures.NOT_ALLOWED),
    (psycopg.errors.DeadlockDetected(), failures.BUSY), (psycopg.errors.AdminShutdown(), failures.UNREACHABLE),
    (psycopg.errors.UniqueViolation(), None),
])  # fmt: skip
def test_what_postgresql_says_is_told_as_what_it_is(cause, failure):
    error = DatabaseError("in any language")
    error.__cause__ = cause

    assert failures.failure_of(error) is failure


@pytest.mark.parametrize(("number", "failure"), [(28, failures.FULL), (30, failures.READ_ONLY), (2, None)])
def test_so_is_what_the_system_says(number, failure):
    assert failures.failure_of(OSError(number, "words")) is failure


def test_what_nobody_knows_is_said_in_its_own_first_line():
    said = failures.sentence_of(OperationalError("no route to host\nDETAIL: Failing row contains (secret)."))

    assert said == "The database cannot be reached: no route to host."


@pytest.mark.parametrize(
    "command",
    [["due"], ["fit", "3/4"], ["backup", "out.zip"], ["export_sheet", "out.csv"], ["migrate"], ["demo", "--no-serve"]],
    ids=lambda words: words[0],
)
def test_a_damaged_file_is_told_by_every_command(tmp_path, command):
    book = tmp_path / "book.sqlite3"
    book.write_bytes(b"SQLite format 3\0" + os.urandom(8192))

    ended = run(book, *command, cwd=tmp_path)

    assert ended.returncode in (1, 2)
    assert "damaged" in ended.stderr or "restore" in ended.stderr
    assert is_one_sentence(ended.stderr)


def test_a_folder_that_is_not_there_is_told(tmp_path):
    ended = run(tmp_path / "nowhere" / "book.sqlite3", "due")

    assert ended.returncode == 2
    assert is_one_sentence(ended.stderr)


def test_a_word_that_no_terminal_shows_is_refused(tmp_path):
    ended = run(tmp_path / "book.sqlite3", "fit", os.fsdecode(b"3/4\xff"))

    assert ended.returncode == 2
    assert "holds half of a surrogate pair" in ended.stderr


@pytest.mark.parametrize("closed", [">&-", "2>&-"])
def test_a_command_does_without_what_a_shell_has_closed(tmp_path, closed):
    call = ["sh", "-c", f'exec "$@" {closed}', "sh", sys.executable, MANAGE, "arithmetic", "tir", "offset=1"]

    ended = subprocess.run(call, env=environment_of(tmp_path / "book.sqlite3"), capture_output=True, text=True)

    assert (ended.returncode, ended.stderr) == (0, "")


@pytest.mark.parametrize("command", [["backup", "out.zip"], ["export_sheet", "out.csv"]], ids=lambda words: words[0])
def test_a_file_that_has_no_room_is_told_and_nothing_of_it_stays(book_file, tmp_path, command):
    def little_room():
        resource.setrlimit(resource.RLIMIT_FSIZE, (40, 40))

    before = set(tmp_path.iterdir())

    ended = run(book_file, *command, cwd=tmp_path, preexec_fn=little_room)

    assert ended.returncode == 2, ended.stderr
    assert is_one_sentence(ended.stderr)
    left = {path.name for path in set(tmp_path.iterdir()) - before}
    assert left <= {"book.sqlite3-wal", "book.sqlite3-shm", "gripbook.key"}


@only_sqlite
def test_migrate_keeps_a_copy_of_an_older_book_and_says_how_to_go_back(book_file, tmp_path):
    with closing(sqlite3.connect(book_file)) as file:
        file.execute("DELETE FROM django_migrations WHERE app = 'sessions'")
        file.execute("DROP TABLE django_session")
        file.commit()

    ended = run(book_file, "migrate")

    (copy,) = tmp_path.glob("book-before-*.sqlite3")
    assert ended.returncode == 0, ended.stderr
    assert f"is kept in {copy}. To go back: stop serve" in ended.stdout
    assert copy.stat().st_mode & 0o777 == 0o600
    with closing(sqlite3.connect(copy)) as file:
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert not file.execute("SELECT 1 FROM sqlite_master WHERE name = 'django_session'").fetchone()
    run(book_file, "migrate")
    assert len(list(tmp_path.glob("book-before-*.sqlite3"))) == 1


@only_sqlite
def test_a_book_and_what_stands_beside_it_is_for_its_owner_alone(book_file, tmp_path):
    book_file.chmod(0o644)

    run(book_file, "due")

    assert {path.name: path.stat().st_mode & 0o077 for path in tmp_path.iterdir() if path.name.startswith("book")} == {
        "book.sqlite3": 0
    }


@pytest.mark.skipif(os.name == "nt", reason="there a file has the rights of its folder")
def test_what_stands_beside_a_book_that_was_read_only_can_be_written_again(monkeypatch, tmp_path):
    book = tmp_path / "book.sqlite3"
    files = [tmp_path / f"book.sqlite3{ending}" for ending in ("", "-wal", "-shm")]
    for file in files:
        file.touch(0o400)
    monkeypatch.setattr(the_file, "path_of", lambda connection: book)

    the_file.keep_private(None, connection)

    assert [file.stat().st_mode & 0o777 for file in files] == [0o400, 0o600, 0o600]


def test_room_is_told_with_a_warning_where_it_is_short(monkeypatch, tmp_path):
    book = tmp_path / "book.sqlite3"
    book.write_bytes(b"x" * 3_000_000)
    monkeypatch.setattr(the_file, "path_of", lambda connection: book)

    told, is_short = the_file.room_for_it()
    monkeypatch.setattr(the_file, "SHORT_OF_SPACE", 2**80)

    assert told.endswith("free for the book, which has 3.0 MB.")
    assert not is_short
    assert the_file.room_for_it()[1]
