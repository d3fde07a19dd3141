"""Filling in what is missing, one piece after the other."""

import pytest
from django.urls import reverse

from inventory.measures.lengths import parse
from inventory.models import Kind, Tool
from tests import factories


@pytest.fixture
def keepers_browser(client_of, keeper):
    return client_of(keeper)


def details_page(client, **address):
    return client.get(reverse("details_missing"), address).content.decode()


def fill(client, tag, **typed):
    return client.post(reverse("details_missing"), {"tag": tag, **typed}, follow=True).content.decode()


def test_a_piece_is_shown_with_only_what_it_lacks_and_what_the_sheet_said(keepers_browser):
    factories.piece(Kind.LATHE_DOG, tag="D-1", outside_smallest="1/4", notes="size: up to about two")

    page = details_page(keepers_browser)

    assert "1 left" in page
    assert "size: up to about two" in page
    assert 'name="outside_max"' in page
    assert 'name="outside_min"' not in page
    assert 'name="condition"' not in page


def test_save_and_next_fills_in_and_goes_on(keepers_browser):
    factories.piece(Kind.SLEEVE, tag="S-1", mount="MT5", notes="old")
    factories.piece(Kind.SLEEVE, tag="S-2", mount="MT5")

    page = fill(keepers_browser, "S-1", takes="Morse 3")

    tool = Tool.objects.get(tag="S-1")
    assert (tool.offers.code, tool.mounts_in.code, tool.notes) == ("MT3", "MT5", "old")
    assert "S-1 is filled in." in page
    assert "1 left" in page
    assert "S-2" in page


def test_skip_goes_to_the_next_and_behind_the_last_begins_again(keepers_browser):
    factories.piece(Kind.SLEEVE, tag="S-1")
    factories.piece(Kind.SLEEVE, tag="S-2")

    assert "after=S-2" in details_page(keepers_browser, after="S-1")
    assert "after=S-1" in details_page(keepers_browser, after="S-2")


def test_what_is_left_empty_stays_missing_and_that_is_said(keepers_browser):
    factories.piece(Kind.SLEEVE, tag="S-1")

    assert "Nothing was filled in for S-1" in fill(keepers_browser, "S-1", takes="", mount="")
    assert "S-1 is filled in. Still missing: takes." in fill(keepers_browser, "S-1", mount="MT5", takes="")


def test_a_largest_below_the_smallest_that_is_in_the_book_is_refused(keepers_browser):
    factories.piece(Kind.LATHE_DOG, tag="D-1", outside_smallest="1")

    page = fill(keepers_browser, "D-1", outside_max=".9999")

    assert "0.9999 in is below the smallest size, 1 in." in page
    assert 'value=".9999"' in page


def test_a_blank_without_its_series_may_keep_it_missing(keepers_browser):
    factories.piece(Kind.MACHINABLE_COLLET, tag="C-1")

    fill(keepers_browser, "C-1", pilot="1/16", series="")
    assert Tool.objects.get().pilot == parse("1/16")
    fill(keepers_browser, "C-1", series="5C")

    assert Tool.objects.get().mounts_in.code == "5C"
    assert not Tool.objects.details_missing().exists()


def test_a_bored_blank_without_a_pilot_lacks_nothing(db):
    tool = factories.bored("1/2", pilot=None)

    assert tool.missing_details == ()
    assert not Tool.objects.details_missing().exists()


def test_soft_jaws_that_are_not_bored_lead_to_their_own_form(keepers_browser):
    chuck = factories.chuck(tag="K-1", outside=None)
    jaws = factories.jaws(of=chuck, kind="soft", outside=None, is_in=True)

    assert reverse("jaws_edit", args=["K-1", jaws.pk]) in details_page(keepers_browser)


def test_where_nothing_is_missing_that_is_said(keepers_browser):
    factories.collet()

    assert "Every piece has its details" in details_page(keepers_browser)


def test_the_desk_leads_a_keeper_to_it(keepers_browser):
    factories.piece(Kind.SLEEVE, tag="S-1")

    assert reverse("details_missing") in keepers_browser.get(reverse("desk")).content.decode()
