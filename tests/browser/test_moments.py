"""The moments that the book is for, from start to finish on a phone, by the words that a person reads.

Each is walked with scripts and without. At its end it leaves a picture and its number of taps in `SCREENSHOTS`, a
folder that whoever runs the tests may look at (made beside this file where none is named).
"""

import json
import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import follow

pytestmark = pytest.mark.browser

PICTURES = Path(os.environ.get("SCREENSHOTS") or Path(__file__).parent / "screens")


class Hand:
    """One hand on one phone: it taps what can be read, and its taps are counted."""

    def __init__(self, page):
        self.page, self.taps = page, 0

    def button(self, name):
        self.taps += 1
        follow(self.page.get_by_role("button", name=name, exact=isinstance(name, str)).first)

    def link(self, name):
        self.taps += 1
        follow(self.page.get_by_role("link", name=name, exact=isinstance(name, str)).first)

    def words(self, text):
        self.taps += 1
        self.page.get_by_text(text, exact=True).first.click()

    def write(self, label, text):
        """Into a field, which takes a tap to get there."""
        self.taps += 1
        self.page.get_by_label(label, exact=True).first.fill(text)

    def choose(self, label, option):
        """From a list: a tap to open it and one to choose."""
        self.taps += 2
        self.page.get_by_label(label, exact=True).first.select_option(option)

    def reads(self, text):
        expect(self.page.get_by_role("main")).to_contain_text(text)


@pytest.fixture(params=[True, False], ids=["with scripts", "without scripts"])
def hand_of(request, signed_in):
    """A hand signed in as somebody of this role."""
    return lambda role: Hand(signed_in(role, java_script_enabled=request.param))


@pytest.fixture
def done(request):
    """Keeps the last screen of a moment and how many taps it took."""

    def done(hand, moment):
        PICTURES.mkdir(parents=True, exist_ok=True)
        hand.page.screenshot(path=PICTURES / f"{moment}.png")
        (PICTURES / f"{moment}.json").write_text(json.dumps({"moment": moment, "taps": hand.taps}))

    return done


def test_a_machinist_with_an_odd_bar_takes_the_collet_that_holds_it(hand_of, done):
    hand = hand_of("machinist")
    hand.write("Size", ".7485")
    hand.button("Find what holds it")
    hand.reads("3/4 round, 5C")
    hand.button("Take C-0011")

    expect(hand.page.get_by_role("status")).to_have_text("C-0011 is issued to you.")
    assert hand.taps == 3
    done(hand, "odd-bar")


def test_a_job_is_planned_to_its_setup_sheet_and_all_of_it_issued(hand_of, done):
    hand = hand_of("machinist")
    hand.link("Plan")
    hand.write("Size", ".7485")
    hand.write("Whole length", "2")
    hand.write("Parts", "12")
    hand.write("Set-ups", "2")
    hand.write("TIR between set-ups", ".002")
    hand.button("Compare the ways")
    hand.reads("All ways, best first")
    hand.link("Collet, 3/4 round, 5C")
    hand.button("Make the setup sheet")
    hand.reads("Pick list, in drawer order")
    hand.button(re.compile(r"^Take (all \d+ pieces|[A-Z]-\d+)$"))

    expect(hand.page.get_by_role("status").first).to_contain_text("C-0011")
    hand.reads("you have it")
    done(hand, "job-to-setup-sheet")


def test_a_worn_collet_is_logged_and_gone_from_the_answers(hand_of, done):
    hand = hand_of("keeper")
    hand.page.goto("/t/C-0011/")
    hand.link("Inspect")
    hand.write("TIR at the nose", ".0012")
    hand.words("bell-mouthed")
    hand.button("Save")
    expect(hand.page.get_by_role("status")).to_contain_text("out of use")
    assert hand.taps == 4
    done(hand, "worn-collet")

    hand.page.goto("/?size=0.7485")
    hand.reads("damaged: bell-mouthed")
    expect(hand.page.get_by_role("button", name="Take C-0011")).to_have_count(0)


def test_a_spreadsheet_is_imported_and_its_bad_row_mended_on_the_spot(hand_of, send_sheet, done):
    hand = hand_of("keeper")
    send_sheet(hand.page)
    hand.link(re.compile("^Cannot be read"))
    hand.page.get_by_label(re.compile("Size")).first.fill("1/2")
    hand.button("Use these answers")
    hand.reads("Enter 4 rows")
    hand.button(re.compile(r"^Enter \d+ rows$"))

    hand.reads("3 added, 1 updated")
    done(hand, "spreadsheet")


def test_a_drawer_is_counted_and_what_is_not_in_it_is_missing_in_the_answers(hand_of, done):
    hand = hand_of("keeper")
    hand.link("Desk")
    hand.link("Counts")
    hand.button("Count drawer E4")
    for tag in ("C-0051", "C-0052", "C-0053", "C-0054", "C-0055", "C-0056"):
        hand.words(tag)
    hand.button("They are here")
    hand.write("Tag", "C-0058")
    hand.button("It goes back to its place")
    hand.button("Close: the one that nobody saw is missing")

    status = hand.page.get_by_role("status")
    expect(status).to_have_text("The count of drawer E4 is closed. C-0057: missing; C-0058: goes back to drawer E5.")
    assert hand.taps == 13
    done(hand, "drawer-counted")

    hand.page.goto("/?size=10+mm")
    hand.reads("C-0057 · missing")
    expect(hand.page.get_by_role("button", name="Take C-0057")).to_have_count(0)


def test_a_month_of_purchasing_goes_from_what_is_short_to_a_tagged_piece_in_its_drawer(hand_of, done):
    hand = hand_of("purchasing")
    hand.link("Buying")
    hand.link(re.compile(r"^All \d+ that are short$"))
    for short in ("13/16 round 5C", "ER32 collet chuck for 1-1/2-8"):
        hand.button(f"Put it on the order list {short}")
        expect(hand.page.get_by_role("status")).to_have_text(f"{short} is on the order list, to approve.")
    hand.link("Order list")

    for line in ("7/16 round 5C", "13/16 round 5C", "ER32 collet chuck for 1-1/2-8"):
        hand.words(line)
    hand.button("Approve selected")
    hand.reads("Nothing waits for approval")
    hand.words("ER32 collet chuck for 1-1/2-8")
    hand.button("Order selected")
    hand.write("Supplier", "Tool dealer by the station")
    hand.button("Write down that it is ordered")
    expect(hand.page.get_by_role("status")).to_have_text("2 lines ordered from Tool dealer by the station.")

    hand.link("Order list")
    hand.link("Receive 13/16 round 5C")
    hand.button("Receive it")
    expect(hand.page.get_by_role("status")).to_have_text("13/16 round 5C is received: C-0078 in Gripbook.")
    hand.link("Labels for it")

    hand.reads("1 label on 1 sheet")
    expect(hand.page.get_by_role("img", name="Sheet 1, 1 label: 13/16 C-0078")).to_be_visible()
    assert hand.taps == 17
    done(hand, "month-of-purchasing")
