"""The page for when the shop's computer cannot be reached, and the one script that keeps it."""

import base64
import hashlib
import re

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from fitfinder.pocket.file import card_file, read_card
from shop import reach

FETCHES = re.compile(r"""(?:src|href|action)=["'](?!data:)([^"']+)""")


def test_the_page_asks_for_no_other_file_and_no_sign_in(client, db, django_assert_num_queries):
    with django_assert_num_queries(0):
        answer = client.get(reverse("out_of_reach"))

    assert answer.status_code == 200
    assert FETCHES.findall(answer.content.decode()) == []
    assert "<script" not in answer.content.decode()


def test_the_style_in_the_page_is_the_one_that_its_policy_lets_pass(client, db):
    answer = client.get(reverse("out_of_reach"))
    style = re.search(r"<style>(.*?)</style>", answer.content.decode(), re.DOTALL)[1]

    # Content Security Policy Level 3, "hash-source": base64 of the SHA-256 of the element's text.
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    policy = [directive.split() for directive in answer["Content-Security-Policy"].split(";")]
    assert ["style-src", "'self'", f"'sha256-{digest}'"] in policy


def test_its_way_on_is_the_address_that_was_asked_for(client, db):
    assert 'href="">Try again' in client.get(reverse("out_of_reach")).content.decode()


def test_the_script_puts_the_address_where_the_page_has_words_for_it(client, db):
    card = card_file(read_card(), as_of=timezone.now()).html
    script = client.get(reverse("reach_script")).content.decode()

    replaced = [words for _, words in re.findall(r"""\.replace\((["'])(.*?)\1,""", script)]

    for page in (reach.page_out_of_reach(), card):
        assert {words: page.count(words) for words in replaced} == dict.fromkeys(replaced, 1)
    assert len(replaced) == 2


@pytest.mark.parametrize("name", ["reach_script", "reach_card_script"])
def test_the_script_is_at_most_a_thousand_bytes_and_fetched_anew_each_time(client, db, name):
    answer = client.get(reverse(name))

    assert len(answer.content) <= 1000
    assert answer["Content-Type"].startswith("text/javascript")
    assert "no-store" in answer["Cache-Control"]


def test_the_script_changes_when_the_page_does(client, db, monkeypatch):
    before = client.get(reverse("reach_script")).content
    monkeypatch.setattr(reach, "STYLE", "main{color:red}")

    assert client.get(reverse("reach_script")).content != before


def test_only_the_question_and_the_sign_in_load_it(client, client_of):
    browser = client_of("machinist")

    loads = [b"<script" in answer.content for answer in (client.get(reverse("sign_in")), browser.get("/"))]
    others = [b"<script" in browser.get(address).content for address in ("/?size=1/2", "/plan/", "/desk/", "/mine/")]
    assert loads == [True, True]
    assert others == [False] * 4


def test_the_policy_lets_only_a_worker_of_our_own_run(client, db):
    policy = client.get(reverse("sign_in"))["Content-Security-Policy"]

    assert "worker-src 'self'" in policy
    assert "script-src 'self'" in policy


def test_a_proxy_gets_the_page_as_a_file(db, tmp_path, client):
    file = tmp_path / "out-of-reach.html"

    call_command("out_of_reach_page", str(file))

    assert file.read_bytes() == client.get(reverse("out_of_reach")).content
