"""How all pages are made: one small stylesheet that a browser keeps, and fields that say what is wrong."""

import hashlib
import re

import pytest
from django.test import Client
from django.urls import reverse

from tests import factories

PLACES = ["tool_list", "tool_add", "lathe_list", "lathe_add", "desk", "tokens", "missing"]


@pytest.fixture
def administrators_browser(client_of):
    return client_of("administrator")


def test_a_page_names_the_stylesheet_by_what_is_in_it_so_that_a_browser_keeps_it_for_ever(administrators_browser):
    page = administrators_browser.get(reverse("desk")).content.decode()
    address = re.search(r'<link rel="stylesheet" href="([^"]+)">', page)[1]

    answer = administrators_browser.get(address)

    style = b"".join(answer.streaming_content)
    assert address.endswith("?" + hashlib.sha256(style).hexdigest()[:8])
    assert "immutable" in answer["Cache-Control"]


def test_the_stylesheet_is_small_on_its_way(administrators_browser):
    answer = administrators_browser.get("/static/style.css", headers={"accept-encoding": "gzip"})

    assert answer["Content-Encoding"] == "gzip"
    assert len(b"".join(answer.streaming_content)) <= 8_000


@pytest.mark.parametrize("name", PLACES)
def test_a_page_carries_nothing_that_the_policy_would_stop(name, administrators_browser):
    page = administrators_browser.get(reverse(name)).content.decode()

    assert not re.search(r"<[^>]* (style|on[a-z]+)=", page)
    assert "<script" not in page


@pytest.mark.parametrize(("name", "place"), [("tool_list", "Tooling"), ("missing", "Missing"), ("desk", "Desk")])
def test_the_bar_says_at_which_place_one_is(name, place, administrators_browser):
    page = administrators_browser.get(reverse(name)).content.decode()

    assert re.findall(r'aria-current="page">(\w+)<', page) == [place]


def test_whoever_is_not_signed_in_sees_no_bar(client_of):
    assert "Places" not in client_of(None).get(reverse("sign_in")).content.decode()


def test_a_field_is_described_by_its_hint_and_its_error(administrators_browser):
    address = reverse("tool_add", args=["collet"])

    page = administrators_browser.post(address, {"tag": "no tag"}).content.decode()

    assert 'aria-describedby="id_tag_helptext id_tag_error"' in page
    assert 'id="id_tag_helptext"' in page
    assert 'id="id_tag_error"' in page


def test_an_address_that_there_is_not_is_answered_with_a_page(administrators_browser):
    answer = administrators_browser.get("/no/such/place/")

    assert answer.status_code == 404
    assert "Nothing is kept at this address" in answer.content.decode()


def test_a_button_of_a_page_without_a_valid_form_key_is_answered_with_a_sentence(keeper):
    factories.collet(tag="C-0011")
    client = Client(enforce_csrf_checks=True)
    client.force_login(keeper, backend="django.contrib.auth.backends.ModelBackend")

    answer = client.post(reverse("tool_retire", args=["C-0011"]))

    assert answer.status_code == 403
    assert "This page was too old" in answer.content.decode()
