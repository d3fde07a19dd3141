"""A browser that runs no script asks, is answered, issues and returns like any other."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import follow, sign_in

pytestmark = pytest.mark.browser


@pytest.fixture
def plain(window):
    return sign_in(window(java_script_enabled=False), "machinist")


def ask(page, size):
    page.get_by_label("Size", exact=True).fill(size)
    follow(page.get_by_role("button", name="Find what holds it"))


def test_a_question_is_answered(plain):
    ask(plain, "0.7485")

    expect(plain.get_by_role("heading", level=1)).to_have_text("3/4 round, 5C")


def test_the_rest_of_the_question_unfolds(plain):
    plain.get_by_text("Low and high, a bar's label, TIR, millimetres").click()
    plain.get_by_label("TIR needed").fill(".0005")
    ask(plain, "3/4")

    expect(plain).to_have_url(re.compile("tir=.0005"))
    expect(plain.get_by_role("heading", level=1)).to_have_text("Independent chuck, 4 jaws")


def test_a_piece_is_issued_from_the_answer_and_returned_from_its_page(plain):
    ask(plain, "0.7485")
    follow(plain.get_by_role("button", name="Take C-0011"))
    expect(plain.get_by_role("status")).to_have_text("C-0011 is issued to you.")
    follow(plain.get_by_role("main").get_by_role("link", name="C-0011", exact=True))
    follow(plain.get_by_role("button", name="Bring back"))

    expect(plain.get_by_role("status")).to_contain_text("C-0011 is returned")
    expect(plain.get_by_role("button", name="Take it")).to_be_visible()


def test_the_list_of_tooling_is_narrowed(plain):
    follow(plain.get_by_role("link", name="Tooling"))
    plain.get_by_label("Size, tag, drawer or word").fill("3/4")
    follow(plain.get_by_role("button", name="Look up"))
    expect(plain.get_by_role("heading", name="Pieces")).to_be_visible()
    plain.get_by_text(re.compile("^Drawer, size, kind")).click()
    plain.get_by_label("Kind").select_option("collet")
    follow(plain.get_by_role("button", name="Show", exact=True))

    expect(plain.get_by_role("main")).to_contain_text("C-0011")
    expect(plain.get_by_role("link", name="T-0101")).to_have_count(0)
    expect(plain.get_by_role("link", name="C-0001")).to_have_count(0)
