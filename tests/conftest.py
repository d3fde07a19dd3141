"""What any test may ask for."""

import gc
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import jinja2
import pytest
from django.apps import apps
from django.conf import settings
from django.core.cache import cache
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.db.models.signals import post_migrate
from django.template import engines
from django.template.backends.jinja2 import Template
from django.test import Client, override_settings
from django.test.signals import template_rendered

from inventory.measures import display
from tests import factories, figures, statements
from tests.demo_book import DemoBook

# Thousands of tests are thousands of objects that stay to the end: to look them through for garbage again and again
# takes a third of the collecting and a tenth of the tests.
gc.disable()

# They come first, else one of two processes waits at the end while the other is at the last of them. It also keeps the
# tests of a file together that walk all pages once.
LONGEST = (
    "tests/shop/test_backup.py",
    "tests/inventory/test_migrations.py",
    "tests/shop/test_every_address.py",
    "tests/shop/test_metric_shop.py",
    "tests/browser/test_every_page.py",
    "tests/browser/test_keyboard.py",
)


def pytest_collection_finish():
    gc.freeze()
    gc.enable()


def pytest_addoption(parser):
    parser.addoption("--note-statements", type=Path, help="a folder: write down what each test asks the database")
    parser.addoption("--statements-of", type=Path, help="that folder: run no test that would only ask it all again")


def pytest_configure(config):
    if folder := config.getoption("--note-statements"):
        config.pluginmanager.register(statements.Noting(folder))


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    """Mark what runs on each database: all that touches one, but for what says why one is enough."""
    items.sort(key=lambda item: not item.nodeid.startswith(LONGEST))
    for item in items:
        if touches_a_database(item) and not item.get_closest_marker("one_database"):
            item.add_marker("database")
    if folder := config.getoption("--statements-of"):
        reading = [item for item in items if item.get_closest_marker("database")]
        stay = statements.needed(folder, {item.nodeid for item in reading})
        config.hook.pytest_deselected(items=[item for item in reading if item.nodeid not in stay])
        items[:] = [item for item in items if item not in reading or item.nodeid in stay]


def touches_a_database(item):
    return bool({"db", "transactional_db"} & set(item.fixturenames) or item.get_closest_marker("django_db"))


@pytest.fixture(scope="session", autouse=True)
def _pages_that_tests_look_into():
    """A word that a view forgot is an error, and an answer of the client has the context of its page."""

    def render(self, context=None, request=None):
        context = context or {}
        template_rendered.send(sender=self, template=self, context=context)
        return plainly(self, context, request)

    plainly = Template.render
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engines["jinja2"].env, "undefined", jinja2.StrictUndefined)
        patch.setattr(Template, "render", render)
        yield


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings):
    """Before a database is made: the figures of the tests' own come after those of the tables."""
    post_migrate.connect(figures.put_in_place, sender=apps.get_app_config("inventory"))


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """The test database, with its tables made from the models and all migrations counted as applied.

    Migrating takes seven seconds for each worker of each run; test_migrations.py has it that both ways end alike.
    """
    settings.MIGRATION_MODULES = {}
    with django_db_blocker.unblock():
        recorder = MigrationRecorder(connection)
        recorder.ensure_schema()
        for app, name in MigrationLoader(None, ignore_no_migrations=True).disk_migrations:
            recorder.record_applied(app, name)


@pytest.fixture(scope="session")
def _empty_book(django_db_setup, django_db_blocker, tmp_path_factory):
    """A SQLite file with an empty book, made once: a process of its own would take seconds to make each anew."""
    if connection.vendor != "sqlite":
        pytest.skip("asks a SQLite file alone, as it does where the other tests are on SQLite too")
    path = tmp_path_factory.mktemp("book") / "empty.sqlite3"
    with django_db_blocker.unblock(), closing(sqlite3.connect(path)) as file:
        connection.ensure_connection()
        connection.connection.backup(file)
    return path


@pytest.fixture
def book_file(db, _empty_book, tmp_path):
    """An empty book that is up to date, in a SQLite file of its own, for tests that start processes."""
    return Path(shutil.copy(_empty_book, tmp_path / "book.sqlite3"))


@pytest.fixture(scope="session")
def demo_book():
    """The demo, which the first test of a worker loads and each later one gets as rows."""
    return DemoBook()


@pytest.fixture
def demo(db, demo_book):
    """The demo crib and its people, in the book of this test."""
    demo_book.put_in_place()


@pytest.fixture(scope="session", autouse=True)
def _quick_passwords_and_days_that_begin_at_midnight_utc():
    """Wherever the tests run, and without a look into the book for the shop's zone; test_clock.py has that.

    A static file is looked for when it is asked for, not all of them as each client begins: that took an eighth of the
    time. Set once: whoever follows the settings is told of each change, which takes longer than most tests.
    """
    with override_settings(
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
        TIME_ZONE_IS_FIXED=True,
        TIME_ZONE="UTC",
        WHITENOISE_AUTOREFRESH=True,
    ):
        yield


@pytest.fixture
def machinist(db):
    return factories.user("machinist")


@pytest.fixture
def keeper(db):
    return factories.user("keeper")


@pytest.fixture
def purchasing(db):
    return factories.user("purchasing")


@pytest.fixture
def administrator(db):
    return factories.user("administrator")


@pytest.fixture
def client_of(db):
    """A browser in which somebody of this role, or this person, is signed in; None signs nobody in."""

    def client_of(role):
        client = Client()
        if role is not None:
            client.force_login(
                factories.user(role) if isinstance(role, str) else role,
                backend="django.contrib.auth.backends.ModelBackend",
            )
        return client

    return client_of


@pytest.fixture(autouse=True)
def nothing_remembered():
    """What a page remembers of the day's questions ends with the test, and what it was shown in."""
    cache.clear()
    with display.shown_as(display.PLAIN):
        yield
