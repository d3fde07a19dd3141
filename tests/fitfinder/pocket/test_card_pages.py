"""The page of the pocket card, the card as a page, and the file that is downloaded."""

import base64
import hashlib
import re

import pytest
from django.urls import reverse

from tests import factories


@pytest.fixture
def browser(client_of):
    factories.lathe("Lathe 1")
    factories.lathe("Lathe 2")
    factories.closer()
    factories.collet("3/4", tag="C-0011")
    return client_of("machinist")


def hash_of(html, element):
    """Content Security Policy Level 3, "hash-source": base64 of the SHA-256 of the element's text."""
    text = re.search(f"<{element}>(.*?)</{element}>", html, re.DOTALL)[1]
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


@pytest.mark.parametrize("name", ["card", "card_open", "card_download"])
def test_the_card_is_for_those_who_are_signed_in(name, client, db):
    answer = client.get(reverse(name))

    assert (answer.status_code, answer["Location"].partition("?")[0]) == (302, reverse("sign_in"))


def test_its_page_is_led_to_from_find_and_from_the_lathes(browser):
    for address in ("/", reverse("lathe_list")):
        assert f'href="{reverse("card")}"' in browser.get(address).content.decode()


def test_it_is_downloaded_as_a_file_of_its_day(browser):
    answer = browser.get(reverse("card_download"))

    assert re.fullmatch(
        r'attachment; filename="pocket-card-\d{4}-\d\d-\d\d-\d{4}\.html"', answer["Content-Disposition"]
    )
    assert "C-0011" in answer.content.decode()
    assert "no-store" in answer["Cache-Control"]


def test_it_can_be_of_one_lathe(browser):
    page = browser.get(reverse("card"), {"lathe": "Lathe 2"}).content.decode()
    address = re.search(r'href="([^"]+pocket-card\.html[^"]*)"', page)[1]
    answer = browser.get(address)

    assert "pocket-card-lathe-2-" in answer["Content-Disposition"]
    assert "Lathe 1" not in answer.content.decode()


def test_as_a_page_its_style_and_script_are_those_that_its_policy_lets_pass(browser):
    answer = browser.get(reverse("card_open"))
    html = answer.content.decode()
    policy = {words[0]: words[1:] for words in map(str.split, answer["Content-Security-Policy"].split(";"))}

    assert hash_of(html, "style") in policy["style-src"]
    assert hash_of(html, "script") in policy["script-src"]
    assert "'unsafe-inline'" not in answer["Content-Security-Policy"]


def test_a_lathe_that_is_gone_leads_back_to_the_page(browser):
    for name in ("card_open", "card_download"):
        assert browser.get(reverse(name), {"lathe": "Lathe 9"})["Location"] == reverse("card")


def test_what_is_out_even_to_the_one_who_asks_is_not_on_it(browser, machinist, client_of):
    factories.loan(factories.collet("1/2", tag="C-0012"), to=machinist)

    assert "C-0012" not in client_of(machinist).get(reverse("card_open")).content.decode()
