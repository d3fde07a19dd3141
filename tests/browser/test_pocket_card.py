"""The pocket card as a file on a phone, on paper, and kept by the browser for where there is no signal."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE

pytestmark = pytest.mark.browser

KEPT = "async () => Boolean(await (await caches.open('/card/open/')).match('/card/open/', { ignoreVary: true }))"


def wait_until(page, is_so):
    """Until a promise of the page comes true; `wait_for_function` would take the promise itself for it."""
    page.evaluate(
        f"""async () => {{
            for (let times = 0; times < 600; times++) {{
                if (await ({is_so})()) return
                await new Promise(done => setTimeout(done, 50))
            }}
            throw new Error("not so after half a minute")
        }}"""
    )


@pytest.fixture
def card(signed_in, chromium, tmp_path):
    """The demo's card, downloaded and opened from the files of a phone that has no network at all."""
    page = signed_in("machinist")
    page.goto("/card/")
    with page.expect_download() as coming:
        page.get_by_role("link", name="Download the card").click()
    file = tmp_path / coming.value.suggested_filename
    coming.value.save_as(file)
    context = chromium.new_context(viewport=PHONE, offline=True)
    opened = context.new_page()
    opened.goto(file.as_uri())
    yield opened
    context.close()


def held(page):
    """The sizes that stand on the card as sure to hold what is looked up."""
    return [words.split()[0] for words in page.locator(".sizes .yes").all_inner_texts()]


def test_a_size_is_looked_up_on_the_file_without_a_server(card):
    size, said = card.get_by_label("Look a size up"), card.locator("output")
    assert card.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    size.fill(".7485")
    expect(said).to_contain_text("A collet holds it: 1 on this card.")
    assert held(card) == ["3/4"]
    expect(card.locator("section.part", has_text="5C hex")).to_be_hidden()

    size.fill("1.0672")
    expect(said).to_contain_text("At the limit of a collet: mic all of the grip.")
    size.fill("3/4")
    card.get_by_label("hex").check()
    expect(card.locator("section.part", has_text="5C hex")).to_be_visible()
    assert held(card) == ["3/4"]

    for text, words in (
        ("19", "Write 19 with its unit, like 19 mm"),
        ("three", "“three” cannot be read. Write it like .7485, 3/4 or 19 mm."),
        ("2.9", "No collet on this card holds it."),
        ("", ""),
    ):
        size.fill(text)
        expect(said).to_contain_text(words)
    expect(card.locator("section.part", has_text="5C round")).to_be_visible()


def test_on_paper_it_has_two_pages_at_most_and_nothing_to_type(card):
    for paper in ("Letter", "A4"):
        assert len(re.findall(rb"/Type /Page\b(?!s)", card.pdf(format=paper))) <= 2
    card.emulate_media(media="print")
    expect(card.get_by_label("Look a size up")).to_be_hidden()


def test_it_is_read_as_a_page_too_with_its_own_style_and_script(signed_in):
    page = signed_in("machinist")
    page.goto("/card/")
    with page.expect_navigation():
        page.get_by_role("link", name="Open it to read or print").click()

    page.get_by_label("Look a size up").fill(".7485")
    expect(page.locator("output")).to_contain_text("A collet holds it")
    expect(page.get_by_role("heading", name="Cannot reach the shop's computer")).to_be_hidden()


def test_without_signal_the_browser_shows_the_card_until_somebody_signs_out(signed_in):
    page = signed_in("machinist")
    page.goto("/")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.goto("/plan/")
    wait_until(page, KEPT)

    page.context.set_offline(True)
    page.goto("/t/C-0011/")
    expect(page.get_by_role("heading", name="Cannot reach the shop's computer")).to_be_visible()
    expect(page.locator("#away")).to_contain_text("/t/C-0011/")
    page.get_by_label("Look a size up").fill(".7485")
    expect(page.locator("output")).to_contain_text("A collet holds it")

    page.context.set_offline(False)
    with page.expect_navigation():
        page.get_by_role("link", name="Try again").click()
    with page.expect_navigation():
        page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
    wait_until(page, f"async () => !(await ({KEPT})())")

    page.context.set_offline(True)
    page.goto("/t/C-0011/")
    expect(page.get_by_role("heading")).to_have_text("Cannot reach the shop's computer")
