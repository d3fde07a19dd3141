"""A piece that is not in its drawer, and one that turns up."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models.kinds import Place
from tests import factories


@pytest.fixture
def tool(db):
    return factories.collet(tag="C-0011")


@pytest.fixture
def browser(client_of, machinist):
    return client_of(machinist)


def press(client, name):
    return client.post(reverse(name, args=["C-0011"]), follow=True).content.decode()


def test_a_piece_that_is_not_in_its_drawer_is_missing_from_today_and_the_history_says_by_whom(tool, browser, machinist):
    page = press(browser, "tool_missing")

    tool.refresh_from_db()
    assert tool.missing_since == timezone.localdate()
    assert "C-0011 is missing." in page
    assert tool.history.first().history_user == machinist
    assert "Found</button>" in page


def test_pressed_again_it_stays_missing_since_the_first_day(tool, browser):
    type(tool).objects.update(missing_since=date(2026, 2, 1))

    page = press(browser, "tool_missing")

    tool.refresh_from_db()
    assert "missing since 2026-02-01 already" in page
    assert tool.missing_since == date(2026, 2, 1)


def test_a_piece_that_is_out_is_not_missing(tool, browser):
    factories.loan(tool, to=factories.user("machinist", name="pat"))

    page = press(browser, "tool_missing")

    tool.refresh_from_db()
    assert "C-0011 is out to pat" in page
    assert tool.missing_since is None


def test_a_piece_that_is_missing_from_its_lathe_is_on_no_lathe_any_more(tool, browser):
    type(tool).objects.update(mounted_on=factories.lathe(), mounted_at=Place.SPINDLE)

    page = press(browser, "tool_missing")

    tool.refresh_from_db()
    assert "C-0011 is missing." in page
    assert (tool.mounted_on, tool.mounted_at) == (None, "")


def test_a_piece_that_turns_up_is_found_and_its_place_is_named(tool, browser):
    type(tool).objects.update(missing_since=date(2026, 2, 1))

    page = press(browser, "tool_found")

    tool.refresh_from_db()
    assert "C-0011 is found; its place is drawer A2." in page
    assert tool.missing_since is None


def test_what_was_found_already_stays_found(tool, browser):
    assert "it was found already" in press(browser, "tool_found")


def test_purchasing_is_not_offered_to_write_it_down(tool, client_of):
    assert "Not in its drawer" not in client_of("purchasing").get(tool.get_absolute_url()).content.decode()
