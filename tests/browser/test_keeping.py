"""The crib keeper puts the book right."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import follow

pytestmark = pytest.mark.browser


@pytest.fixture
def page(signed_in):
    return signed_in("keeper")


def enter(page, kind, **texts):
    """Enter a piece by the way that a keeper takes, from the list to the form."""
    follow(page.get_by_role("link", name="Tooling", exact=True))
    follow(page.get_by_role("link", name="Enter a piece"))
    follow(page.get_by_role("link", name=kind, exact=True))
    fill(page, texts)
    follow(page.get_by_role("button", name="Save", exact=True))


def fill(page, texts):
    for label, text in texts.items():
        page.get_by_label(label.replace("_", " "), exact=True).fill(text)


def test_back_brings_again_what_was_typed_and_ticked(page):
    page.goto("/t/C-0011/inspect/")
    reading, reseated = page.get_by_label("TIR at the nose", exact=True), page.get_by_label("Cleaned and reseated")
    reading.fill("0.0004")
    reseated.check()
    follow(page.get_by_role("link", name="Guide", exact=True))
    page.go_back()

    expect(reading).to_have_value("0.0004")
    expect(reseated).to_be_checked()


def test_an_entered_collet_is_what_the_finder_then_offers(page):
    enter(page, "collet", Tag="C-0900", Series="5C", Size="7/16", Drawer_or_place="E2")
    expect(page.get_by_role("status")).to_contain_text("C-0900")
    page.goto("/?size=7%2F16")

    expect(page.get_by_role("heading", level=1)).to_have_text("7/16 round, 5C")
    expect(page.get_by_role("link", name="C-0900", exact=True)).to_be_visible()


def test_an_entered_closer_has_its_page(page):
    enter(page, "closer", Tag="H-0900", Mounts_on="1-1/2-8", Takes="3C", Bar_passes_up_to="1/2", Weight="9 lb")

    expect(page).to_have_url(re.compile("/t/H-0900/$"))
    expect(page.get_by_role("main")).to_contain_text("1-1/2-8")
    expect(page.get_by_role("main")).to_contain_text("3C")


def test_an_entered_lathe_can_be_asked_for(page):
    follow(page.get_by_role("link", name="Desk", exact=True))
    follow(page.get_by_role("link", name="Lathes", exact=True))
    follow(page.get_by_role("link", name="Enter a lathe"))
    fill(page, {"Name": "Lathe 9", "Spindle nose": "D1-6", "Spindle bore": "2-1/16"})
    follow(page.get_by_role("button", name="Save", exact=True))
    expect(page.get_by_role("heading", level=1)).to_have_text("Lathe 9")
    follow(page.get_by_role("link", name="Find", exact=True))

    expect(page.get_by_label("Lathe", exact=True).get_by_role("option")).to_contain_text(["Lathe 9"])


def test_a_chuck_is_on_the_lathe_after_two_taps_and_off_after_one(page):
    page.goto("/lathes/")
    follow(page.get_by_role("link", name="Lathe 1", exact=True))
    follow(page.get_by_role("link", name="Mount a piece"))
    follow(page.get_by_role("button", name="Mount on the spindle nose K-0083"))
    expect(page.get_by_role("status")).to_contain_text("K-0083 is on Lathe 1 now. K-0081 came off")
    page.goto("/t/K-0083/")
    follow(page.get_by_role("button", name="Take it off Lathe 1"))

    expect(page.get_by_role("status")).to_contain_text("K-0083 is off Lathe 1.")


def test_missing_details_are_filled_in_one_after_the_other(page):
    page.goto("/desk/")
    follow(page.get_by_role("link", name="Fill them in, one after the other"))
    first = page.locator(".verdict").inner_text()
    page.get_by_label("Inside taper").fill("MT3")
    follow(page.get_by_role("button", name="Save and next"))

    expect(page.get_by_role("status")).to_contain_text(f"{first} is filled in.")
    expect(page.get_by_role("heading", level=1)).to_contain_text("6 left")


def test_a_changed_drawer_is_told_with_who_changed_it(page):
    page.goto("/t/C-0011/")
    follow(page.get_by_role("link", name="Edit", exact=True))
    page.get_by_label("Drawer or place").fill("E3")
    follow(page.get_by_role("button", name="Save", exact=True))

    expect(page.get_by_role("status")).to_have_text("C-0011 is changed.")
    change = page.get_by_role("listitem").filter(has_text="E2 → E3")
    expect(change).to_contain_text("keeper")


def test_a_retired_piece_is_no_longer_offered_and_can_come_back(page):
    page.goto("/t/C-0011/")
    follow(page.get_by_role("button", name="Retire"))
    expect(page.get_by_role("status")).to_contain_text("C-0011 is retired.")
    page.goto("/?size=0.7485")
    expect(page.get_by_role("heading", level=1)).not_to_have_text("3/4 round, 5C")
    page.goto("/t/C-0011/")
    follow(page.get_by_role("button", name="Take back into Gripbook"))
    page.goto("/?size=0.7485")

    expect(page.get_by_role("heading", level=1)).to_have_text("3/4 round, 5C")


def test_a_size_that_cannot_be_read_keeps_what_was_typed_and_names_the_field(page):
    enter(page, "collet", Tag="C-0901", Series="5C", Size="three quarters")

    expect(page.get_by_role("alert")).to_contain_text("“three quarters”")
    expect(page.get_by_label("Tag", exact=True)).to_have_value("C-0901")
    expect(page.get_by_label("Size", exact=True)).to_have_attribute("aria-invalid", "true")
