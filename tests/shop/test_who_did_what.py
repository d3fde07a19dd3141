"""The log: a line of JSON for each act, sign-in and refusal, without anything that was typed."""

import json
import logging
import stat
from logging.handlers import RotatingFileHandler

import pytest
from django.test import Client
from django.urls import reverse

from shop.journal import who_did_what
from tests import factories
from tests.shop.test_door import tried


@pytest.fixture
def log(db, tmp_path, monkeypatch):
    """Gives the lines that were written since."""
    path = tmp_path / "gripbook-log.jsonl"
    monkeypatch.setattr(who_did_what, "path_of_log", lambda: path)
    acts, root = logging.getLogger("gripbook.acts"), logging.getLogger()
    before = list(acts.handlers), list(root.handlers)
    assert who_did_what.keep_in_file() == path
    yield lambda: [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    for handler in [*acts.handlers, *root.handlers]:
        if handler not in [*before[0], *before[1]]:
            handler.close()
    acts.handlers[:], root.handlers[:] = before


def test_an_act_has_its_time_person_device_and_outcome(log):
    person, client = factories.user("keeper", name="kim"), Client(REMOTE_ADDR="10.0.0.7")
    tried("kim", "a-shop-full-of-chips", client)
    tool = factories.collet(tag="C-1")
    client.post(reverse("tool_retire", args=[tool.tag]))

    *_, line = log()

    assert {"act": "POST tool_retire", "on": "/t/C-1/retire/", "person": person.username, "device": "10.0.0.7"} == {
        name: line[name] for name in ("act", "on", "person", "device")
    }
    assert line["outcome"] == "done"
    assert line["at"][:2] == "20"


def test_sign_ins_and_refusals_are_in_it_and_nothing_that_was_typed(log, client_of):
    factories.user("machinist", name="mo")
    tried("mo", "a-secret-4711-typed")
    tried("my-password-in-the-wrong-field", "x")
    client_of("machinist").get(reverse("people"))
    Client().get("/", headers={"host": "evil.example"})

    told = [(line["act"], line["outcome"], line.get("person")) for line in log()]

    assert ("sign in", "refused", "mo") in told
    assert ("sign in", "refused", None) in told
    assert any(act == "GET people" and outcome == "refused 403" for act, outcome, _ in told)
    text = json.dumps(log())
    assert "4711" not in text
    assert "wrong-field" not in text
    assert "Traceback" not in text


def test_the_file_is_for_its_owner_alone_and_turns_over(log, monkeypatch, tmp_path):
    handlers = logging.getLogger("gripbook.acts").handlers
    handler = next(one for one in handlers if isinstance(one, RotatingFileHandler))
    monkeypatch.setattr(handler, "maxBytes", 2000)

    for number in range(40):
        who_did_what.write(None, "test", "done", on=f"/{number}/")

    files = list(tmp_path.glob("gripbook-log.jsonl*"))
    assert 2 <= len(files) <= who_did_what.FILES + 1
    assert {stat.S_IMODE(file.stat().st_mode) for file in files} == {0o600}


def test_looking_at_a_page_is_nobody_s_business(log, client_of):
    browser = client_of("machinist")
    before = len(log())

    browser.get(reverse("tool_list"))

    assert len(log()) == before
