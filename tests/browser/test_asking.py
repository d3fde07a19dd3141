"""A machinist at the lathe, phone in one hand."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import follow, sign_in

pytestmark = pytest.mark.browser


def ask(page, size):
    page.get_by_label("Size", exact=True).fill(size)
    follow(page.get_by_role("button", name="Find what holds it"))


def test_a_name_and_its_password_lead_to_the_question(window):
    page = sign_in(window(), "machinist")

    expect(page.get_by_role("heading", level=1)).to_have_text("What are you holding?")
    expect(page.get_by_role("banner")).to_contain_text("machinist")


def test_a_wrong_password_is_told_and_opens_nothing(window):
    page = window()
    page.goto("/sign-in/")
    page.get_by_label("Name").fill("machinist")
    page.get_by_label("Password").fill("not-the-password")
    follow(page.get_by_role("button", name="Sign in"))

    expect(page.get_by_role("alert")).to_contain_text("do not go together")
    expect(page.get_by_role("button", name="Sign out")).to_have_count(0)


def test_the_first_screen_says_what_to_take_from_where_and_how_true_it_runs(signed_in):
    page = signed_in("machinist")
    ask(page, "0.7485")

    answer = page.get_by_role("main")
    shown = {
        "headline": answer.get_by_text(re.compile("^Take C-0011 from drawer E2")),
        "verdict": answer.get_by_text(re.compile("^Holds")),
        "size": answer.get_by_role("heading", name="3/4 round, 5C", exact=True),
        "piece": answer.get_by_role("link", name="C-0011", exact=True),
        "drawer": answer.get_by_text("drawer E2", exact=True).first,
        "nose": answer.get_by_role("listitem").filter(has_text="Lathe 1 nose"),
        "closer": answer.get_by_role("listitem").filter(has_text="H-0061").first,
        "collet": answer.get_by_role("listitem").filter(has_text="C-0011").first,
        "how true": answer.get_by_text(re.compile(r"0\.0008 in TIR")).first,
    }
    boxes = {what: place.bounding_box() for what, place in shown.items()}
    bar = page.get_by_role("navigation", name="Places").bounding_box()

    assert page.evaluate("scrollY") == 0
    assert {what for what, box in boxes.items() if box["y"] < 0 or box["y"] + box["height"] > bar["y"]} == set()


def test_a_fraction_is_asked_with_number_keys_alone(signed_in):
    page = signed_in("machinist")
    page.get_by_label("13/16").check()
    over = page.get_by_label("top", exact=True)
    over.press_sequentially("23")
    page.get_by_label("bottom", exact=True).select_option("32")
    follow(page.get_by_role("button", name="Find what holds it"))

    expect(page).to_have_url(re.compile(r"[?&]size=23%2F32(&|$)"))
    expect(page.get_by_role("heading", level=1)).to_have_text("19 mm round, ER32")


@pytest.mark.parametrize("label", ["whole", "top"])
def test_the_fields_of_a_fraction_bring_up_the_number_keys(signed_in, label):
    page = signed_in("machinist")

    expect(page.get_by_label(label, exact=True)).to_have_attribute("inputmode", "numeric")


def test_whole_inches_and_a_fraction_are_read_as_one_size(signed_in):
    page = signed_in("machinist")
    page.get_by_label("13/16").check()
    page.get_by_label("whole", exact=True).press_sequentially("1")
    page.get_by_label("top", exact=True).press_sequentially("1")
    page.get_by_label("bottom", exact=True).select_option("16")
    follow(page.get_by_role("button", name="Find what holds it"))

    expect(page).to_have_url(re.compile(r"[?&]size=1-1%2F16(&|$)"))
    expect(page.get_by_role("heading", level=1)).to_have_text("1-1/16 round, 5C")


def test_twelve_without_a_unit_is_asked_back_with_a_button_for_each_reading(signed_in):
    page = signed_in("machinist")
    ask(page, "12")

    readings = page.get_by_role("alert").get_by_role("link").filter(has_text=re.compile("^12 "))
    expect(readings).to_have_text(["12 mm", "12 in"])


def test_one_tap_on_a_reading_answers_it(signed_in):
    page = signed_in("machinist")
    ask(page, "12")
    follow(page.get_by_role("link", name="12 mm", exact=True))

    expect(page.get_by_role("heading", level=1)).to_have_text("12 mm round, ER32")


def test_what_cannot_be_read_is_repeated_with_what_would_be(signed_in):
    page = signed_in("machinist")
    ask(page, "abc")

    expect(page.get_by_role("alert")).to_contain_text("“abc”")
    expect(page.get_by_label("Size", exact=True)).to_have_value("abc")


def test_change_brings_the_question_back_as_it_was_asked(signed_in):
    page = signed_in("machinist")
    page.get_by_label("hex").check()
    ask(page, "0.625")
    follow(page.get_by_role("link", name="change"))

    expect(page.get_by_label("Size", exact=True)).to_have_value("0.625")
    expect(page.get_by_label("hex")).to_be_checked()


def test_change_puts_a_fraction_back_where_number_keys_change_it(signed_in):
    page = signed_in("machinist")
    ask(page, "5/8")
    follow(page.get_by_role("link", name="change"))

    expect(page.get_by_label("top", exact=True)).to_have_value("5")
    expect(page.get_by_label("bottom", exact=True)).to_have_value("8")


def test_the_address_of_an_answer_shows_a_colleague_the_same(signed_in):
    mine, theirs = signed_in("machinist"), signed_in("purchasing")
    ask(mine, "0.7485")
    expect(mine.get_by_role("heading", level=1)).to_have_text("3/4 round, 5C")
    theirs.goto(mine.url)

    for place in (".verdict", "h1", ".where", ".chain"):
        assert theirs.locator(place).inner_text() == mine.locator(place).inner_text()


def test_a_tap_issues_the_piece_that_the_answer_leads_with(signed_in):
    page = signed_in("machinist")
    ask(page, "0.7485")
    follow(page.get_by_role("button", name="Take C-0011"))

    expect(page.get_by_role("status")).to_have_text("C-0011 is issued to you.")
    expect(page.get_by_role("link", name="Bring back C-0011")).to_be_visible()


@pytest.mark.parametrize(
    ("size", "button"), [("0.7485", "Take C-0011"), ("1.0672", "Check that reading"), ("2.9", "Take K-0081")]
)
def test_the_button_of_an_answer_is_seen_without_scrolling(signed_in, size, button):
    page = signed_in("machinist")
    for width, height in ((390, 844), (844, 390), (1280, 800)):
        page.set_viewport_size({"width": width, "height": height})
        page.goto(f"/?size={size}")

        box = page.get_by_role("button", name=button).bounding_box()
        places = page.get_by_role("navigation", name="Places").bounding_box()
        is_bar_below = places["y"] > height / 2

        assert box["y"] + box["height"] <= (places["y"] if is_bar_below else height), (width, height)


def test_a_long_word_and_the_button_of_a_plan_stay_on_the_screen(signed_in):
    page = signed_in("machinist")
    page.goto("/plan/")
    places = page.get_by_role("navigation", name="Places").bounding_box()
    button = page.get_by_role("button", name="Compare the ways").bounding_box()

    assert button["y"] + button["height"] <= places["y"]

    page.goto(f"/plan/?size={'x' * 60}")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
