"""What runs on each database: whatever touches one, unless it says why one is enough or others ask all that it asks."""

import json
from pathlib import PurePath

import pytest
from django.db import DatabaseError, connection, transaction

from inventory.models import Lathe
from tests import statements

# What a database may do otherwise than another: constraints, locks, transactions, SQL, what is written in bulk.
ON_EACH = (
    "tests/inventory/test_constraints.py",
    "tests/inventory/test_migrations.py",
    "tests/inventory/keeping/",
    "tests/inventory/orders/",
    "tests/inventory/transfer/",
    "tests/fitfinder/test_crib.py",
    "tests/fitfinder/test_every_piece.py",
    "tests/fitfinder/test_query_cost.py",
    "tests/shop/test_backup",
    "tests/shop/test_demo.py",
)


@pytest.fixture
def reading(request):
    """The tests of this run that ask for a book."""
    return [item for item in request.session.items if "db" in item.fixturenames]


def place_of(item):
    return PurePath(item.path).relative_to(item.config.rootpath).as_posix()


def test_whatever_reads_a_book_runs_on_each_database_unless_it_says_why_one_is_enough(reading):
    for item in reading:
        left = item.get_closest_marker("one_database")
        assert (item.get_closest_marker("database") is None) == (left is not None), item.nodeid
        assert left is None or (len(left.args) == 1 and len(left.args[0].split()) > 4), item.nodeid


def test_what_a_database_may_do_otherwise_is_left_to_no_single_one(reading):
    left = {place_of(item) for item in reading if item.get_closest_marker("one_database")}

    assert [place for place in left if place.startswith(ON_EACH)] == []


def test_each_of_those_places_is_there(pytestconfig):
    here = {path.relative_to(pytestconfig.rootpath).as_posix() for path in pytestconfig.rootpath.glob("tests/**/*.py")}

    assert [place for place in ON_EACH if not any(path.startswith(place) for path in here)] == []


@pytest.fixture
def stay(tmp_path):
    """The names of the tests that stay of those that sent these statements; a second is as long as a statement."""

    def stay(sent, *others):
        lines = [json.dumps([name, len(texts), texts]) for name, texts in sent.items()]
        (tmp_path / "noted").write_text("\n".join(lines), encoding="utf-8")
        return "".join(sorted(statements.needed(tmp_path, {*sent, *others})))

    return stay


def test_a_test_is_left_out_where_others_send_all_that_it_sends_and_the_slowest_first(stay):
    assert stay({"a": "1", "b": "1", "c": "12"}) == "c"
    assert stay({"a": "1", "b": "123", "c": "12", "d": "23", "e": "3"}) == "ad"
    assert stay({"a": "1", "b": "1"}) == "b"


def test_what_is_not_noted_stays_and_so_does_what_is_about_values(stay):
    assert stay(dict.fromkeys("abcd", "1"), "never noted") == "dnever noted"
    assert stay(dict.fromkeys((statements.ALWAYS[0], *"abc"), "1")) == f"c{statements.ALWAYS[0]}"


def test_each_of_the_places_that_always_run_is_there(pytestconfig):
    assert [place for place in statements.ALWAYS if not [*pytestconfig.rootpath.glob(f"{place}*")]] == []


def test_a_statement_is_another_where_it_ends_otherwise_and_a_longer_list_is_no_other(tmp_path, db):
    noting = statements.Noting(tmp_path)
    try:
        for words in ("SELECT 1", "SELECT 1", "SELECT 2"):
            with connection.cursor() as cursor:
                cursor.execute(words)
        with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SELECT nothing")
        assert len(noting.sent) == 3
        list(Lathe.objects.filter(pk__in=[1, 2]))
        list(Lathe.objects.filter(pk__in=[1, 2, 3]))
        assert len(noting.sent) == 4
        with transaction.atomic():
            Lathe.objects.count()
        assert len(noting.sent) == 5
    finally:
        connection.execute_wrappers.remove(noting.send)
