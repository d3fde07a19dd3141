"""What runs on each database: whatever touches one, unless it says why one is enough."""

from pathlib import PurePath

import pytest

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
