"""How all pages are made: one small stylesheet that a browser keeps, and fields that say what is wrong."""

import hashlib
import json
import re

import pytest
from django.test import Client
from django.urls import reverse

from tests import factories

PLACES = ["tool_list", "tool_add", "lathe_list", "lathe_add", "desk", "tokens", "buying"]


@pytest.fixture
def administrators_browser(client_of):
    return client_of("administrator")


def contents(answer):
    """What is in a file that was served, read to its end."""
    return b"".join(answer.streaming_content)


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


def test_the_typeface_is_a_file_of_ours_that_is_named_by_what_is_in_it_and_that_a_browser_keeps(administrators_browser):
    style = contents(administrators_browser.get("/static/style.css")).decode()
    address = re.search(r"@font-face {[^}]*font-display: swap;[^}]*url\(([^)]+)\)", style)[1]

    answer = administrators_browser.get(f"/static/{address}")

    file = contents(answer)
    assert hashlib.sha256(file).hexdigest()[:8] in address
    assert len(file) <= 10_000
    assert "immutable" in answer["Cache-Control"]
    assert b"Open Font License" in contents(administrators_browser.get("/static/plate/OFL.txt"))
    assert "font-src 'self'" in administrators_browser.get(reverse("desk"))["Content-Security-Policy"]


def test_a_tab_and_a_home_screen_have_the_mark_and_the_name(administrators_browser):
    page = administrators_browser.get(reverse("desk")).content.decode()
    links = dict(re.findall(r'<link rel="(icon|apple-touch-icon|manifest)" href="([^"]+)"', page))
    files = {rel: contents(administrators_browser.get(address)) for rel, address in links.items()}

    assert b"<svg" in files["icon"]
    assert files["apple-touch-icon"].startswith(b"\x89PNG")
    manifest = json.loads(files["manifest"])
    assert manifest["short_name"] == "Gripbook"
    assert all(contents(administrators_browser.get(f"/static/{icon['src']}")) for icon in manifest["icons"])


def test_the_pages_of_a_place_stand_beside_it_with_how_many_each_has(administrators_browser):
    factories.collet()
    factories.collet()

    page = administrators_browser.get(reverse("tool_list")).content.decode()

    assert re.search(r'aria-current="true">Pieces <b>2</b>', page)
    assert re.search(rf'<a href="{reverse("lathe_list")}">Lathes</a>', page)


@pytest.mark.parametrize(("role", "sees"), [("machinist", False), ("keeper", True)])
def test_at_the_side_stands_only_what_a_person_may_open(role, sees, client_of):
    page = client_of(role).get(reverse("desk")).content.decode()
    side = page.partition("</nav>")[0]

    assert (reverse("import_sheet") in side) == sees
    assert reverse("people") not in side


@pytest.mark.parametrize("name", PLACES)
def test_a_page_carries_nothing_that_the_policy_would_stop(name, administrators_browser):
    page = administrators_browser.get(reverse(name)).content.decode()

    assert not re.search(r"<[^>]* (style|on[a-z]+)=", page)
    assert "<script" not in page


@pytest.mark.parametrize(("name", "place"), [("tool_list", "Tooling"), ("buying", "Buying"), ("desk", "Desk")])
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
    assert "There is no page at this address" in answer.content.decode()


def test_a_button_of_a_page_without_a_valid_form_key_is_answered_with_a_sentence(keeper):
    factories.collet(tag="C-0011")
    client = Client(enforce_csrf_checks=True)
    client.force_login(keeper, backend="django.contrib.auth.backends.ModelBackend")

    answer = client.post(reverse("tool_retire", args=["C-0011"]))

    assert answer.status_code == 403
    assert "This page was too old" in answer.content.decode()
