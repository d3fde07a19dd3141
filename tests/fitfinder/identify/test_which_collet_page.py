"""The page that tells a collet by its measures."""

from html import unescape

import pytest
from django.urls import reverse

pytestmark = pytest.mark.one_database("how an answer is shown; test_every_address.py opens the page on each database")


@pytest.fixture
def browser(client_of):
    return client_of("keeper")


def asked(client, **measures):
    return unescape(client.get(reverse("which_collet"), measures).content.decode())


def test_the_empty_page_asks_and_says_how_near_is_near_enough(browser):
    page = asked(browser)

    assert "leave empty what you cannot" in page
    assert "± 0.0100 in on diameters" in page
    assert "Common practice, no source." in page
    assert "It can be" not in page


def test_the_drawing_says_in_words_which_measure_is_which(browser):
    page = asked(browser)

    assert "<title" in page
    for letter in "ABCDE":
        assert f">{letter}, " in page


def test_an_answer_shows_each_figure_beside_what_was_measured_with_its_source(browser):
    page = asked(browser, body="1.249", length="3.2", thread="1.238-20", taper="10")

    assert "None of the series on file" in page
    assert "-0.0800 in (-2.032 mm)" in page
    assert "Enter this collet" not in page

    page = asked(browser, body="1.249", length="3.27", thread="1.238-20", taper="10")
    assert "It can be 5C" in page
    assert "-0.0010 in (-0.025 mm)" in page
    assert "Measured 1.2490 in (31.725 mm). On file: 1-1/4 in (31.750 mm)." in page
    assert "Body diameter: common practice" in page
    assert "from memory, check against the maker's drawing" in page


def test_a_series_that_it_can_be_leads_to_its_entry_with_the_series_filled_in(browser):
    page = asked(browser, body="33 mm")

    assert 'href="/tooling/add/collet/?series=ER32"' in page
    assert 'value="ER32"' in browser.get("/tooling/add/collet/?series=ER32").content.decode()


def test_whoever_may_not_enter_it_is_told_who_does(client_of):
    page = asked(client_of("machinist"), body="33 mm")

    assert "A crib keeper enters it as ER32." in page
    assert "/tooling/add/collet/" not in page


def test_a_shank_that_the_book_has_no_series_for_is_told(browser):
    assert "Gripbook has no series of collets with a Morse 3 shank" in asked(browser, taper="MT3")


def test_where_several_are_possible_each_can_be_unfolded(browser):
    page = asked(browser, taper="8", closing="nut")

    assert "<summary>ER50: agrees in 2 of 2 measured figures</summary>" in page


@pytest.mark.parametrize(
    ("measures", "says"),
    [
        ({"body": ""}, "Nothing was measured."),
        ({"body": "40"}, "“40” has no unit"),
        ({"length": "60"}, "“60” has no unit"),
        ({"body": "thick"}, "“thick” cannot be read as a length."),
        ({"thread": "coarse"}, "“coarse” is no thread."),
        ({"taper": "steep"}, "“steep” is no angle or taper."),
        ({"closing": "glue"}, "“glue” is none of the choices here."),
    ],
)
def test_what_cannot_be_read_is_said_with_what_is_accepted(measures, says, browser):
    page = asked(browser, **measures)

    assert says in page
    assert "Not looked up yet:" in page


def test_what_was_typed_stays(browser):
    assert 'value="1.238-20"' in asked(browser, thread="1.238-20", body="thick")


@pytest.mark.parametrize("address", ["/tooling/", "/tooling/add/collet/"])
def test_tooling_and_the_entry_of_a_collet_lead_here(address, browser):
    assert 'href="/tooling/which-collet/"' in browser.get(address).content.decode()


def test_the_entry_of_what_is_no_collet_does_not_lead_here(browser):
    page = browser.get("/tooling/add/faceplate/").content.decode().partition("<main")[2]

    assert page and "which-collet" not in page


@pytest.mark.parametrize(
    ("measures", "form"),
    [
        ({"body": "1.249", "thread": "1.238-20"}, ""),
        ({"body": "1.1", "length": "2"}, " no"),
        ({"taper": "8", "closing": "nut"}, " maybe"),
    ],
)
def test_what_it_can_be_and_what_none_is_differ_at_arms_length(measures, form, browser):
    assert f'<section class="lead{form}">' in asked(browser, **measures)
