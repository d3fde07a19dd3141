"""The page that a phone shows while the shop's computer does not answer, with the server really stopped."""

import os
import subprocess
import sys
import time
import urllib.request
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.shop.test_serve import free_port

pytestmark = pytest.mark.browser

MANAGE = Path(__file__).resolve().parents[2] / "manage.py"


@pytest.fixture
def serving(book_file):
    """Serves an empty book, as a context manager that gives the address and stops the server at its end."""
    port = free_port()

    @contextmanager
    def serving():
        command = [sys.executable, MANAGE, "serve", "--port", str(port), "--host", "127.0.0.1"]
        environment = {**os.environ, "DATABASE_URL": f"sqlite:///{book_file}", "SECRET_KEY": "x" * 50, "PUBLIC_URL": ""}
        process = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            yield wait_for(f"http://127.0.0.1:{port}", process)
        finally:
            process.terminate()
            process.wait()

    return serving


def wait_for(address, process):
    """As long as it lives: on a busy machine it takes its time to begin."""
    while process.poll() is None:
        try:
            urllib.request.urlopen(f"{address}/health", timeout=5).close()
            return address
        except OSError:
            time.sleep(0.1)
    raise AssertionError(f"the server ended with {process.returncode}")


@pytest.fixture
def page(chromium):
    context = chromium.new_context(viewport=PHONE)
    yield context.new_page()
    context.close()


def test_without_an_answer_the_phone_says_so_and_tries_again_when_there_is_one(serving, page):
    with serving() as address:
        page.goto(f"{address}/sign-in/")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.reload()

    page.goto(f"{address}/sign-in/?next=/t/C-0011/&copy=2")
    expect(page.get_by_role("heading")).to_have_text("Cannot reach the shop's computer")
    expect(page.get_by_role("main")).to_contain_text("/sign-in/?next=/t/C-0011/&copy=2")

    with serving():
        page.get_by_role("link", name="Try again").click()
        expect(page.get_by_role("button", name="Sign in")).to_be_visible()
        assert page.url.endswith("/sign-in/?next=/t/C-0011/&copy=2")


def test_a_press_that_did_not_arrive_leads_back_to_its_page(serving, page):
    with serving() as address:
        page.goto(f"{address}/sign-in/?next=/mine/")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.reload()
        page.get_by_label("Name").fill("somebody")
        page.get_by_label("Password").fill("something")

    page.get_by_role("button", name="Sign in").click()

    expect(page.get_by_role("heading")).to_have_text("Cannot reach the shop's computer")
    expect(page.get_by_role("link", name="Try again")).to_have_attribute("href", f"{address}/sign-in/?next=/mine/")


def test_an_answer_of_the_server_is_shown_whatever_it_says(serving, page):
    with serving() as address:
        page.goto(f"{address}/sign-in/")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.reload()

        assert page.goto(f"{address}/nowhere/").status == 404
        expect(page.get_by_role("heading")).to_have_text("There is no page at this address")


def test_nothing_but_that_page_is_kept_by_the_browser_and_no_older_one(serving, page):
    with serving() as address:
        page.goto(f"{address}/out-of-reach/")
        page.evaluate("caches.open('/out-of-reach/?older').then(kept => kept.add('/out-of-reach/?older'))")
        page.goto(f"{address}/sign-in/")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.reload()

        kept = page.evaluate(
            "async () => (await Promise.all((await caches.keys()).map(async name => "
            "(await (await caches.open(name)).keys()).map(asked => new URL(asked.url).pathname)))).flat()"
        )

    assert kept == ["/out-of-reach/"]
