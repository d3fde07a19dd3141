"""An indicator in one hand and a phone in the other: how many taps an inspection takes."""

import re

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

COUNT_TAPS = "addEventListener('pointerdown', () => sessionStorage.taps = Number(sessionStorage.taps || 0) + 1)"


@pytest.fixture
def page(signed_in):
    page = signed_in("keeper", has_touch=True)
    page.add_init_script(COUNT_TAPS)
    return page


def taps(page):
    return int(page.evaluate("sessionStorage.taps || 0"))


def test_a_reading_is_kept_with_two_taps_from_the_label(page):
    page.goto("/t/C-0007/")
    page.get_by_role("link", name="Inspect", exact=True).tap()
    # The field has the cursor already; on a phone that shows no keys by itself it takes one tap more.
    expect(page.get_by_label("TIR at the nose")).to_be_focused()
    page.keyboard.type(".0004")
    page.get_by_role("button", name="Save", exact=True).first.tap()

    expect(page.get_by_role("status")).to_have_text("C-0007: 0.0004 in (0.010 mm) TIR saved; it is good.")
    assert taps(page) == 2


def test_a_bell_mouthed_collet_is_out_of_use_with_three_taps(page):
    page.goto("/t/C-0007/")
    page.get_by_role("link", name="Inspect", exact=True).tap()
    expect(page.get_by_label("TIR at the nose")).to_be_focused()
    page.keyboard.type(".0012")
    page.get_by_text("bell-mouthed", exact=True).tap()
    page.get_by_role("button", name="Save", exact=True).first.tap()

    expect(page.get_by_role("status")).to_contain_text("bell-mouthed, so it is damaged and out of use")
    assert taps(page) == 3
    page.goto("/?size=1/2")
    expect(page.get_by_role("main")).to_contain_text("C-0007")
    expect(page.get_by_role("button", name="Take C-0007")).to_have_count(0)


def test_the_field_and_its_button_stand_on_the_first_screen(page):
    page.goto("/t/C-0007/inspect/")

    button = page.get_by_role("button", name="Save", exact=True).first.bounding_box()
    assert button["y"] + button["height"] < page.get_by_role("navigation").bounding_box()["y"]


def test_the_next_piece_of_the_sitting_was_taken_on_the_same(page):
    page.goto("/t/C-0007/inspect/")
    page.get_by_label("TIR at the nose").fill(".0004")
    page.get_by_label("Taken in").select_option("H-0061")
    page.get_by_label("On lathe").select_option("Lathe 1")
    page.get_by_role("button", name="Save", exact=True).first.tap()
    page.get_by_role("status").wait_for()
    page.goto("/t/C-0008/inspect/")

    expect(page.get_by_label("Taken in")).to_have_value("H-0061")


def test_a_mistyped_reading_is_corrected_and_stays_struck_through(page):
    page.goto("/t/C-0011/")
    page.get_by_role("link", name=re.compile("Correct")).first.tap()
    page.get_by_label("TIR at the nose").fill(".0003")
    page.get_by_role("button", name="Save", exact=True).first.tap()

    expect(page.locator("s").filter(has_text="0.0004 in")).to_be_visible()
    expect(page.get_by_text("corrected", exact=True)).to_be_visible()


def test_a_piece_that_is_not_in_its_drawer_takes_two_taps_and_is_found_with_one(page):
    page.goto("/t/C-0008/")
    page.get_by_text("Not in its drawer").tap()
    page.get_by_role("button", name="Write down that C-0008 is missing").tap()
    expect(page.get_by_role("status")).to_contain_text("C-0008 is missing.")
    assert taps(page) == 2
    page.get_by_role("button", name="Found").tap()

    expect(page.get_by_role("status")).to_contain_text("C-0008 is found")
    assert taps(page) == 3
