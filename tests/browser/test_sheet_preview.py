"""A sheet of forty rows of which ten need help: how many taps it takes, and how it looks on a phone and at a desk."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import follow

pytestmark = pytest.mark.browser

DESK = {"width": 1280, "height": 800}
GOOD = [f"C-{number},collet,5C,round,{size}/64,E2,good," for number, size in enumerate(range(9, 39), start=2001)]
HELP = [
    "C-2101,collet,5C,round,1/2,E2,blorp,",
    "C-2102,collet,5C,round,5/8,E2,blorp,",
    "C-2103,collet,5C,round,7/8,E2,blorp,",
    "C-2104,collet,5-see,round,1/2,E2,good,",
    "C-2105,collet,5-see,round,5/8,E2,good,",
    "C-2106,collet,5C,rownd,3/4,E2,good,",
    "C-2107,thingum,5C,round,3/4,E2,good,",
    "C-2108,collet,5C,round,half or so,E2,good,",
    "N-2109,dead center,,,,E3,good,",
    "N-2110,dead center,,,,E3,good,",
]
SHEET = "Tag,Kind,Series,Shape,Size,Drawer,Condition,Mount\n" + "\n".join(GOOD + HELP) + "\n"


class Taps:
    """A page on which each tap, choice and typed text is counted as one."""

    def __init__(self, page):
        self.page, self.count = page, 0

    def press(self, name):
        self.count += 1
        follow(self.page.get_by_role("button", name=name))

    def _asked(self, words):
        return self.page.get_by_role("group").filter(has=self.page.locator("legend", has_text=words))

    def choose(self, words, answer):
        self.count += 1
        self._asked(words).get_by_role("radio", name=answer, exact=True).check()

    def pick(self, words, answer):
        self.count += 1
        self._asked(words).get_by_role("combobox").select_option(answer)

    def write(self, words, answer):
        self.count += 1
        self._asked(words).get_by_role("combobox").or_(self._asked(words).get_by_role("textbox")).fill(answer)


@pytest.fixture
def page(signed_in):
    """Without scripts, which is harder; test_moments enters a sheet with them too."""
    return signed_in("keeper", java_script_enabled=False)


def test_forty_rows_of_which_ten_need_help_take_less_than_fifteen_taps(page, send_sheet):
    send_sheet(page, SHEET)
    taps = Taps(page)
    taps.count = 3  # the file, the button that sends it, and the headings as they are guessed
    taps.choose("blorp", "good")
    taps.pick("5-see", "5C")
    taps.choose("rownd", "round")
    taps.pick("thingum", "collet")
    taps.write("half or so", "1/2")
    taps.write("Dead center", "MT3")
    taps.press("Use these answers")
    taps.press("Enter 40 rows")

    expect(page.get_by_role("status")).to_have_text("40 added, 0 updated.")
    assert taps.count < 15


def test_a_wrong_answer_stays_in_its_field_and_the_others_count(page, send_sheet):
    send_sheet(page, SHEET)
    taps = Taps(page)
    taps.choose("blorp", "worn")
    taps.write("half or so", "a third or so")
    taps.press("Use these answers")

    expect(page.get_by_role("status")).to_have_text("2 questions answered.")
    asked = page.get_by_role("group").filter(has=page.locator("legend", has_text="a third or so"))
    expect(asked.get_by_role("textbox")).to_have_value("a third or so")
    expect(page.get_by_role("button", name="Enter 35 rows")).to_be_visible()


def test_an_answer_is_taken_back(page, send_sheet):
    send_sheet(page, SHEET)
    taps = Taps(page)
    taps.choose("blorp", "worn")
    taps.press("Use these answers")
    page.get_by_text("What you answered: 1").click()
    follow(page.get_by_role("button", name="Take back Condition: blorp"))

    expect(page.get_by_role("status")).to_have_text("The answer is taken back.")
    expect(page.get_by_role("button", name="Enter 32 rows")).to_be_visible()


def test_the_edge_of_a_row_says_how_it_stands_and_so_does_a_word(signed_in, send_sheet):
    page = signed_in("keeper")
    send_sheet(page, SHEET)
    page.set_viewport_size(DESK)
    edge = "(row) => getComputedStyle(row.querySelector('.read')).borderLeftStyle"

    bad, ready = page.locator("tr.bad").first, page.locator("tr.ready").first

    assert (bad.evaluate(edge), ready.evaluate(edge)) == ("dashed", "solid")
    expect(bad).to_contain_text("cannot be read")
    expect(ready).to_contain_text("new")


def test_a_desk_has_a_table_and_a_phone_has_no_more_than_its_width(signed_in, send_sheet):
    page = signed_in("keeper")
    send_sheet(page, SHEET)
    page.set_viewport_size(DESK)
    wide = "() => document.documentElement.scrollWidth - innerWidth"

    expect(page.get_by_role("columnheader", name="Drawer").first).to_be_visible()
    assert page.evaluate(wide) <= 0
    page.set_viewport_size({"width": 390, "height": 844})

    expect(page.get_by_role("columnheader", name="Drawer").first).to_be_hidden()
    assert page.evaluate(wide) <= 0
