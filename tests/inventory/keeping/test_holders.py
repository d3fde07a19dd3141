"""A tool in its holder: put in, taken out, told on both pages and in both histories."""

import re

import pytest
from django.urls import reverse

from inventory.models import HeldTool
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser(client_of):
    return client_of(factories.user("machinist", name="dana"))


@pytest.fixture
def pair():
    tool = factories.piece("turning tool", tag="T-0107", shank="1/2", shank_shape="square")
    shanks = {"outside_smallest": "1/4", "outside_largest": "5/8", "shank_shape": "square"}
    return tool, factories.piece("tool-post holder", tag="H-0078", **shanks)


def put(browser, piece, tag):
    return browser.post(reverse("tool_hold", args=[piece]), {"tag": tag}, follow=True).content.decode()


def page_of(browser, tag):
    return browser.get(reverse("tool", args=[tag])).content.decode()


@pytest.mark.parametrize(("piece", "other"), [("T-0107", "h-0078"), ("H-0078", "T-0107")])
def test_a_tool_is_put_into_its_holder_from_either_page_and_told_on_both(browser, pair, piece, other):
    assert "T-0107 is in H-0078." in put(browser, piece, other)
    assert "In holder" in page_of(browser, "T-0107") and "H-0078" in page_of(browser, "T-0107")
    assert "Holds <a" in page_of(browser, "H-0078") and "T-0107" in page_of(browser, "H-0078")
    for tag in ("T-0107", "H-0078"):
        history = browser.get(reverse("tool_history", args=[tag])).content.decode()
        assert "T-0107 put into H-0078" in re.sub("<[^>]+>", "", history) and "dana" in history


def test_another_tool_sends_the_first_one_out(browser, pair):
    put(browser, "T-0107", "H-0078")
    factories.piece("turning tool", tag="T-0108")

    assert "T-0108 is in H-0078. T-0107 is out of H-0078." in put(browser, "H-0078", "T-0108")
    assert [str(held) for held in HeldTool.objects.all()] == ["T-0108 in H-0078"]


def test_it_is_taken_out_once_and_a_second_tap_says_so(browser, pair):
    put(browser, "T-0107", "H-0078")
    address = reverse("tool_unhold", args=["H-0078"])

    assert "T-0107 is out of H-0078." in browser.post(address, follow=True).content.decode()
    assert "H-0078 is by itself already." in browser.post(address, follow=True).content.decode()
    assert not HeldTool.objects.exists()


@pytest.mark.parametrize(
    ("kind", "columns", "said"),
    [
        ("turning tool", {"shank": "3/4", "shank_shape": "square"}, "takes shanks up to 5/8 in"),
        ("turning tool", {"shank": "3/16", "shank_shape": "square"}, "takes shanks from 1/4 in up"),
        ("boring bar", {"shank": "1/2", "shank_shape": "round"}, "takes square shanks"),
        ("live center", {}, "does not sit in a holder"),
    ],
)
def test_what_does_not_go_into_a_holder_says_why(browser, pair, kind, columns, said):
    factories.piece(kind, tag="T-0200", **columns)

    assert said in put(browser, "H-0078", "T-0200")
    assert not HeldTool.objects.exists()


@pytest.mark.parametrize(("tag", "said"), [("T-9999", "No piece has this tag."), ("", "Tool is empty.")])
def test_a_tag_that_is_none_is_told(browser, pair, tag, said):
    assert said in put(browser, "H-0078", tag)
