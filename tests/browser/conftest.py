"""The pages as a person sees them: in Chromium, on a phone, with the demo crib in the book."""

import os
import shutil
import sqlite3
from contextlib import closing

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client, override_settings
from django.utils import timezone
from playwright.sync_api import expect, sync_playwright

from inventory.models import Role, User
from shop.demo import crib as demo
from tests import factories
from tests.browser.one_at_a_time import BOOK_IS_FREE

PASSWORD = "a-shop-full-of-chips"
PHONE = {"width": 390, "height": 844}
# A browser of tests: no sandbox, because the checks may run as root, and nothing that calls home.
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--font-render-hinting=none",  # as with windows of its own, so that lines break alike in both
)
_SECONDS_TO_WAIT = 30
"""A page that is the first to load the units or the solver takes its time on a busy machine."""
SHEET = """\
Tag,Kind,Series,Shape,Size,Drawer,Condition,TIR
C-0911,collet,5C,round,7/16,E2,good,0.0004
C-0912,collet,5C,round,15/32,E2,good,
C-0913,collet,5C,round,half an inch,E2,good,
C-0011,collet,5C,round,3/4,E3,good,
"""


@pytest.fixture(scope="session")
def chromium():
    """The Chromium of this machine, for all tests; each opens windows of its own in it."""
    # That without windows of its own takes half the time for the same pages.
    path = os.environ.get("CHROMIUM") or shutil.which("chromium-headless-shell") or shutil.which("chromium")
    if not path:
        message = "No Chromium was found. Install it, or name it in CHROMIUM."
        if os.environ.get("BROWSER_REQUIRED"):
            pytest.fail(message)
        pytest.skip(message)
    with pytest.MonkeyPatch.context() as patch, sync_playwright() as playwright:
        # Playwright's own loop runs in this thread, and Django would refuse its database there.
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
        expect.set_options(timeout=_SECONDS_TO_WAIT * 1000)
        browser = playwright.chromium.launch(executable_path=path, args=ARGUMENTS, headless=True)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def _books():
    """The book without an entry and the one with the demo crib, as the first test has them made.

    To put back a copy takes a moment; to flush the book and load the crib anew takes two seconds for each test.
    """
    with (
        closing(sqlite3.connect(":memory:", check_same_thread=False)) as empty,
        closing(sqlite3.connect(":memory:", check_same_thread=False)) as filled,
    ):
        yield empty, filled


@pytest.fixture
def transactional_db(django_db_setup, django_db_blocker):
    """In the place of pytest-django's, which flushes the book after each test; `crib` puts the empty one back."""
    with django_db_blocker.unblock():
        yield


@pytest.fixture
def crib(chromium, transactional_db, _books):
    """The demo crib and a user for each role, whose name is the role's; it is gone after the test."""
    if connection.vendor != "sqlite":
        pytest.skip("drives the pages on a book in memory")
    empty, filled = _books
    connection.ensure_connection()
    if filled.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()[0]:
        _put_back(filled)
    else:
        connection.connection.backup(empty)
        for role in Role:
            factories.user(role.value, name=role.value, password=PASSWORD)
        demo.load(now=timezone.now())
        connection.connection.backup(filled)
    yield
    _put_back(empty)


def _put_back(book):
    with BOOK_IS_FREE:
        book.backup(connection.connection)


@pytest.fixture(scope="session")
def _one_at_a_time():
    with override_settings(MIDDLEWARE=["tests.browser.one_at_a_time.OneAtATime", *settings.MIDDLEWARE]):
        yield


@pytest.fixture(scope="session")
def live_server(_one_at_a_time, live_server):
    """pytest-django's, which reads its settings as it starts.

    As it stops, after the last test, a thread of its own may still be closing its connection to the book. It may do so
    to the end of the process: the book in memory is shared with all threads for good.
    """
    connection.inc_thread_sharing()
    return live_server


@pytest.fixture
def window(chromium, crib, live_server):
    """A new window of a phone in which nobody is signed in; `options` are those of a browser context."""
    contexts = []

    def window(**options):
        context = chromium.new_context(base_url=live_server.url, **{"viewport": PHONE, "locale": "en-US", **options})
        context.set_default_timeout(_SECONDS_TO_WAIT * 1000)
        contexts.append(context)
        return context.new_page()

    yield window
    for context in contexts:
        context.close()


@pytest.fixture
def signed_in(window, live_server):
    """A window of somebody who signed in, on the first page; how that is done in the window is in `sign_in`."""

    def signed_in(role, **options):
        page, client = window(**options), Client()
        with BOOK_IS_FREE:
            client.force_login(User.objects.get(username=role), backend="django.contrib.auth.backends.ModelBackend")
        session = client.cookies[settings.SESSION_COOKIE_NAME]
        page.context.add_cookies([{"name": session.key, "value": session.value, "url": live_server.url}])
        page.goto("/")
        page.get_by_role("button", name="Sign out").wait_for()
        return page

    return signed_in


def follow(link):
    """Clicks what leads to another page, and is back when that one stands: a click alone returns before."""
    with link.page.expect_navigation():
        link.click()


def sign_in(page, role):
    """Through the form, as everybody does."""
    page.goto("/sign-in/")
    page.get_by_label("Name").fill(role)
    page.get_by_label("Password").fill(PASSWORD)
    follow(page.get_by_role("button", name="Sign in"))
    page.get_by_role("button", name="Sign out").wait_for()
    return page


@pytest.fixture
def send_sheet():
    """Sends a sheet of two new collets, one that cannot be read and one that is in another drawer now.

    Its headings are matched as they are guessed, unless that is left to the test.
    """

    def send_sheet(page, text=SHEET, *, matched=True):
        page.goto("/desk/")
        follow(page.get_by_role("link", name="Import a sheet"))
        page.get_by_label("The sheet").set_input_files(
            {"name": "crib.csv", "mimeType": "text/csv", "buffer": text.encode()}
        )
        follow(page.get_by_role("button", name="Send it and match its headings"))
        if matched:
            follow(page.get_by_role("button", name="See what it would do"))
            page.get_by_role("heading", name="crib.csv").wait_for()

    return send_sheet
