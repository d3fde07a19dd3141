"""The keys alone, without a pointer: every task is done with Tab, Enter, Space and the arrows."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import SHEET

pytestmark = pytest.mark.browser

MAIN_PAGES = {
    "find": "/",
    "answer": "/?size=0.7485",
    "plan": "/plan/?size=.7485&length=9&parts=12&setups=2&tir=.001",
    "tooling": "/tooling/",
    "piece": "/t/C-0011/",
    "desk": "/desk/",
    "missing": "/buying/",
    "board": "/buying/board/5C/hex/",
    "import": "/desk/import/",
    "numbers": "/numbers/",
    "what to buy": "/buying/buy/",
}
_MOST_STOPS = 200
# What has the focus: its name, how it is outlined, where it stands, and whether something else lies over it.
FOCUSED = """() => {
    const part = document.activeElement, style = getComputedStyle(part), box = part.getBoundingClientRect();
    if (part === document.body) return null;
    const words = part.labels && part.labels.length ? part.labels[0].innerText : part.innerText;
    const over = document.elementFromPoint(box.left + box.width / 2, box.top + Math.min(box.height, 40) / 2);
    return {
        name: (part.getAttribute('aria-label') || words).replace(/\\s+/g, ' ').trim(),
        kind: part.type || part.localName,
        outline: style.outlineStyle === 'none' ? 0 : parseFloat(style.outlineWidth),
        hidden: !over || ![part, over.closest('label') || over].some(one => one.contains(part) && one.contains(over)),
        number: [...document.querySelectorAll('*')].indexOf(part),
        top: box.top + scrollY, bottom: box.bottom + scrollY, html: part.outerHTML.slice(0, 90),
        is_bar: part.closest('nav.places') !== null,
    };
}"""


class Keys:
    """A keyboard: where the focus goes is what a person without a pointer can reach."""

    def __init__(self, page):
        self.page = page

    def press(self, *keys):
        for key in keys:
            self.page.keyboard.press(key)

    @property
    def focused(self):
        return self.page.evaluate(FOCUSED)

    def to(self, name, *, kind="", back=False):
        """Go from stop to stop until something of this name has the focus; the focus is seen wherever it is."""
        name = re.compile(f"^{re.escape(name)}" if isinstance(name, str) else name)
        for _ in range(_MOST_STOPS):
            self.press("Shift+Tab" if back else "Tab")
            now = self.focused
            if now is None:
                continue
            assert now["outline"] > 0, f"the focus on {now['html']} is not seen"
            if name.search(now["name"]) and kind in ("", now["kind"]):
                return
            if now["kind"] == "radio" and self._chosen_by_arrows(name):
                return
        raise AssertionError(f"no key leads to {name.pattern} on {self.page.url}")

    def _chosen_by_arrows(self, name):
        """One stop for a group of choices; the arrows go round in it, and what was chosen stays if none is meant."""
        first = self.focused["number"]
        while not name.search(self.focused["name"]):
            self.press("ArrowDown")
            if self.focused["number"] == first:
                return False
        return True

    def follow(self, name, **how):
        self.to(name, **how)
        self.enter()

    def enter(self):
        with self.page.expect_navigation():
            self.press("Enter")

    def write(self, name, text):
        self.to(name)
        self.press("Control+a")
        self.page.keyboard.type(text)

    def tick(self, name):
        self.to(name, kind="checkbox")
        self.press("Space")


@pytest.fixture
def keys(signed_in):
    return Keys(signed_in("administrator"))


def finds_and_issues(keys):
    keys.write("Size", ".7485")
    keys.enter()
    keys.follow("Take C-0011")
    expect(keys.page.get_by_role("status")).to_have_text("C-0011 is issued to you.")


def inspects(keys):
    keys.page.goto("/t/C-0007/")
    keys.follow("Inspect")
    expect(keys.page.get_by_label("TIR at the nose", exact=True)).to_be_focused()
    keys.page.keyboard.type(".0012")
    keys.to("bell-mouthed")
    keys.follow("Save")
    expect(keys.page.get_by_role("status")).to_contain_text("out of use")


def counts_a_drawer(keys):
    keys.page.goto("/desk/")
    keys.follow("Places")
    keys.follow("drawer E4")
    keys.follow("Count it")
    for tag in ("C-0051", "C-0052"):
        keys.tick(tag)
    keys.follow("They are here")
    expect(keys.page.get_by_role("status")).to_have_text("2 are written down.")
    keys.follow("Drop the count")
    expect(keys.page.get_by_role("status")).to_contain_text("is dropped")


def imports_a_sheet(keys):
    # From here on the browser asks us for the file; said only at the key it could open its own window first.
    keys.page.on("filechooser", lambda chooser: None)
    keys.page.goto("/desk/import/")
    keys.to("The sheet")
    with keys.page.expect_file_chooser() as chooser:
        keys.press("Enter")
    chooser.value.set_files({"name": "crib.csv", "mimeType": "text/csv", "buffer": SHEET.encode()})
    keys.follow("Send it and match its headings")
    keys.follow("See what it would do")
    keys.write("Size", "1/2")
    keys.follow("Use these answers")
    expect(keys.page.get_by_role("main")).not_to_contain_text("cannot be read")
    keys.follow(re.compile(r"^Enter \d+ rows$"), back=True)
    expect(keys.page.get_by_role("main")).to_contain_text("3 added, 1 updated")


def orders_what_to_buy(keys):
    keys.page.goto("/buying/")
    keys.follow("What to buy")
    keys.follow(re.compile("order list$"))
    keys.page.goto("/buying/orders/")
    keys.tick(re.compile("5C"))
    keys.follow("Approve selected")
    keys.tick(re.compile("5C"))
    keys.follow("Order selected")
    keys.write("Supplier", "Tool dealer by the station")
    keys.follow("Write down that it is ordered")
    expect(keys.page.get_by_role("status")).to_contain_text("ordered from Tool dealer by the station.")


def goes_from_the_summary_of_errors_into_the_field(keys):
    keys.page.goto("/tooling/add/collet/")
    keys.write("Tag", "C-0912")
    keys.enter()
    keys.follow("Size")
    keys.page.keyboard.type("3/4")
    expect(keys.page.get_by_label("Size", exact=True)).to_have_value("3/4")
    expect(keys.page.get_by_label("Tag", exact=True)).to_have_value("C-0912")


def test_a_day_of_work_is_done_with_the_keys_alone(keys):
    finds_and_issues(keys)
    inspects(keys)
    counts_a_drawer(keys)
    imports_a_sheet(keys)
    orders_what_to_buy(keys)
    goes_from_the_summary_of_errors_into_the_field(keys)


def stops(keys):
    """Every stop of the page, from the first press of Tab until the focus leaves it or begins anew."""
    found = []
    for _ in range(_MOST_STOPS * 2):
        keys.press("Tab")
        now = keys.focused
        if now is None or (found and now["number"] == found[0]["number"]):
            return found
        found.append(now)
    raise AssertionError(f"the focus never leaves {keys.page.url}")


# WCAG 2.1: 2.1.2 No Keyboard Trap, 2.4.1 Bypass Blocks, 2.4.3 Focus Order, 2.4.7 Focus Visible; and of 2.2: 2.4.11.
def test_the_focus_goes_through_each_main_page_in_its_order_and_is_seen_in_both_themes(keys):
    wrong = {}
    for name, address in MAIN_PAGES.items():
        for theme in ("light", "dark"):
            keys.page.emulate_media(color_scheme=theme)
            keys.page.goto(address)
            found = stops(keys)
            wrong[f"{name}, {theme}"] = [
                *(f"not seen: {stop['html']}" for stop in found if not stop["outline"]),
                *(f"under something: {stop['html']}" for stop in found if stop["hidden"]),
                *_out_of_order(found),
            ]
            assert found[0]["name"] == "Skip to the page"
    keys.follow("Skip to the page")
    keys.press("Tab")

    assert keys.page.evaluate("document.activeElement.closest('main') !== null")
    assert {name: said for name, said in wrong.items() if said} == {}


def _out_of_order(found):
    for before, after in zip(found, found[1:], strict=False):
        if after["number"] < before["number"]:
            yield f"out of the order of the page: {after['html']}"
        if after["bottom"] < before["top"] and not (before["is_bar"] or after["is_bar"] or before is found[0]):
            yield f"above the one before: {after['html']}"
