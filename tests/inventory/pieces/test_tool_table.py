"""Tooling as a table: put in order by its heads, one piece beside it, and what it begins with."""

import re
from datetime import date

import pytest
from django.urls import reverse

from inventory.models import Kind, Loan
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def machinists_browser(client_of):
    return client_of("machinist")


def page_of(client, **asked):
    return client.get(reverse("tool_list"), asked).content.decode()


def tags_of(page):
    return re.findall(r'<a class="all" href="/t/[^"]+"><b>([^<]+)</b>', page)


@pytest.fixture
def three():
    factories.collet("3/4", tag="C-0001", location="A9", tir="0.0005")
    factories.collet("1/4", tag="C-0002", location="A1")
    factories.piece(Kind.LATHE_DOG, tag="D-0001", location="B1", tir="0.0001")


@pytest.mark.parametrize(
    ("order", "expected"),
    [
        ("", ["C-0001", "C-0002", "D-0001"]),
        ("size", ["C-0002", "C-0001", "D-0001"]),
        ("-size", ["C-0001", "C-0002", "D-0001"]),
        ("drawer", ["C-0002", "C-0001", "D-0001"]),
        ("tir", ["D-0001", "C-0001", "C-0002"]),
        ("-tir", ["C-0001", "D-0001", "C-0002"]),
        ("-tag", ["D-0001", "C-0002", "C-0001"]),
    ],
)
def test_the_table_is_in_the_order_of_its_address_and_what_is_not_known_stands_last(
    order, expected, three, machinists_browser
):
    assert tags_of(page_of(machinists_browser, order=order)) == expected


def test_the_head_says_the_order_and_turns_it_around_with_all_else_of_the_address(three, machinists_browser):
    page = page_of(machinists_browser, series="5C", order="size")

    assert 'aria-sort="ascending"><a href="?series=5C&amp;order=-size#list-pieces">Size ▲</a>' in page
    assert 'id="list-pieces"' in page
    assert '<a href="?series=5C&amp;order=tag#list-pieces">Tag</a>' in page


def test_an_order_that_there_is_not_is_told(three, machinists_browser):
    assert "“weight” is none of the choices" in page_of(machinists_browser, order="weight")


def test_one_piece_is_shown_beside_the_list(three, machinists_browser):
    beside = page_of(machinists_browser, piece="C-0001").partition('id="beside"')[2]

    assert "3/4 round 5C collet" in beside
    assert "0.7450 in" in beside


def test_a_piece_is_taken_from_its_row_and_twice_sent_taken_once(three, machinists_browser):
    form = page_of(machinists_browser).partition('action="/t/C-0001/issue/"')[2]
    token = re.search(r'name="token" value="([^"]+)"', form)[1]

    for _ in range(2):
        machinists_browser.post("/t/C-0001/issue/", {"token": token, "next": "/tooling/"})

    assert Loan.objects.get().tool.tag == "C-0001"
    assert 'action="/t/C-0001/issue/"' not in page_of(machinists_browser)


def test_a_row_says_when_what_is_out_is_due(three, machinists_browser):
    loan = factories.loan(factories.collet(tag="C-0009"), due_on=date(2026, 3, 1))

    page = page_of(machinists_browser)

    assert f'out to {loan.borrower}, due <span class="day">2026-03-01</span>' in page


def test_tooling_begins_with_the_families_and_the_drawers(three, machinists_browser):
    page = page_of(machinists_browser)

    assert 'href="/tooling/?series=5C&amp;shape=round">5C round <b>2</b>' in page
    assert "5C round 3/4" in page.partition('id="drawers"')[2]


def test_the_rack_of_a_family_stands_above_its_rows_and_below_those_of_one_size(three, machinists_browser):
    family = page_of(machinists_browser, series="5C", shape="round")
    one_size = page_of(machinists_browser, text="5C round 3/4")

    assert family.index('class="rack"') < family.index('class="list"')
    assert one_size.index('class="rack"') > one_size.index('class="list"')


def test_what_was_opened_lately_is_a_tap_away(three, machinists_browser):
    machinists_browser.get("/t/D-0001/")
    machinists_browser.get("/?size=3/4")

    lately = re.search(r'<nav class="counts" aria-label="Lately">(.*?)</nav>', page_of(machinists_browser), re.S)[1]

    assert 'href="/t/D-0001/"' in lately
    assert 'href="/?size=3%2F4">3/4</a>' in lately
