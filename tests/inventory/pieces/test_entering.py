"""Entering, changing and retiring a piece."""

import re
from datetime import timedelta

import pytest
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from inventory.measures.lengths import parse
from inventory.models import Kind, Tool
from inventory.pieces.form import PieceForm
from inventory.pieces.words import KIND_OF_SLUG
from inventory.views.entering import _keep
from tests import factories

COLLET = {"tag": "C-0011", "series": "5C", "shape": "round", "size": "3/4", "condition": "good"}


@pytest.fixture
def keepers_browser(client_of, keeper):
    return client_of(keeper)


def add(client, slug="collet", **typed):
    return client.post(reverse("tool_add", args=[slug]), typed)


def test_every_kind_has_a_form_and_a_link_to_it(keepers_browser):
    page = keepers_browser.get(reverse("tool_add")).content.decode()

    assert len(KIND_OF_SLUG) == len(Kind)
    for slug in KIND_OF_SLUG:
        address = reverse("tool_add", args=[slug])
        assert f'"{address}"' in page
        assert keepers_browser.get(address).status_code == 200


def test_a_kind_that_there_is_not_is_answered_with_a_page(keepers_browser):
    assert keepers_browser.get(reverse("tool_add", args=["hammer"])).status_code == 404


def test_an_entered_collet_is_in_the_book(keepers_browser):
    answer = add(keepers_browser, **COLLET, location="A2", tir=".0005", inspected_on="2026-03-18")

    tool = Tool.objects.get()
    assert answer.url == tool.get_absolute_url()
    assert (tool.what, tool.location.name) == ("3/4 round 5C collet", "A2")
    assert tool.tir == parse("0.0005")


def test_an_entered_closer_has_its_seats(keepers_browser):
    add(keepers_browser, "closer", tag="H-0061", mount="D1-4", takes="5C", through="1-1/16", condition="good")

    tool = Tool.objects.get()
    assert (tool.mounts_in.code, tool.offers.code, tool.through) == ("D1-4", "5C", parse("1-1/16"))


def test_what_was_typed_stays_when_the_size_is_missing(keepers_browser):
    page = add(keepers_browser, **{**COLLET, "size": ""}, notes="From the old drawer").content.decode()

    assert not Tool.objects.exists()
    assert 'value="C-0011"' in page
    assert "From the old drawer" in page
    assert 'href="#id_size"' in page


def test_a_tag_that_is_on_another_piece_is_refused_in_any_case(keepers_browser):
    factories.collet(tag="C-0011")

    page = add(keepers_browser, **{**COLLET, "tag": "c-0011"}).content.decode()

    assert "C-0011 is on another piece already." in page


def test_a_tag_that_somebody_else_used_a_moment_ago_is_refused_as_well(keeper):
    form = PieceForm(COLLET, kind=Kind.COLLET)
    assert form.is_valid()
    factories.collet(tag="C-0011")

    with transaction.atomic():
        tool = _keep(form, keeper)

    assert tool is None
    assert "already" in str(form.errors)


def test_the_next_piece_starts_with_what_it_shares_with_the_last(keepers_browser):
    answer = add(keepers_browser, **COLLET, location="A2", another="yes")

    page = keepers_browser.get(answer.url).content.decode()

    assert 'name="location" value="A2"' in page
    assert 'name="series" value="5C"' in page
    assert 'value="C-0011"' not in page


def test_an_edit_is_kept_under_the_keepers_name(keepers_browser, keeper):
    tool = factories.collet(tag="C-0011")

    keepers_browser.post(reverse("tool_edit", args=["c-0011"]), {**COLLET, "condition": "worn"})

    tool.refresh_from_db()
    assert tool.condition == "worn"
    assert tool.history.first().history_user == keeper


def test_the_edit_page_starts_with_what_is_in_the_book(keepers_browser):
    factories.collet("3/4", tag="C-0011", location="A2")

    page = keepers_browser.get(reverse("tool_edit", args=["C-0011"])).content.decode()

    assert 'value="3/4 in"' in page
    assert 'value="A2"' in page


def test_an_edit_of_a_tag_to_that_of_another_piece_says_so(keepers_browser):
    factories.collet(tag="C-0011")
    factories.collet(tag="C-0012")

    page = keepers_browser.post(reverse("tool_edit", args=["C-0012"]), {**COLLET, "tag": "C-0011"}).content.decode()

    assert "C-0011 is on another piece already." in page
    assert Tool.objects.tagged("C-0012").exists()


def test_a_retired_piece_stays_in_the_book_and_can_be_taken_back(keepers_browser):
    tool = factories.collet(tag="C-0011")

    keepers_browser.post(reverse("tool_retire", args=["C-0011"]))
    assert not Tool.objects.in_book().exists()
    assert "retired" in keepers_browser.get(tool.get_absolute_url()).content.decode()

    keepers_browser.post(reverse("tool_unretire", args=["C-0011"]))
    assert Tool.objects.in_book().exists()


def test_a_piece_that_is_out_is_not_retired(keepers_browser, machinist):
    tool = factories.collet(tag="C-0011")
    factories.loan(tool, to=machinist)

    page = keepers_browser.post(reverse("tool_retire", args=["C-0011"]), follow=True).content.decode()

    tool.refresh_from_db()
    assert tool.retired_at is None
    assert f"C-0011 is out to {machinist}. Have it returned, then retire it." in page


def edit(client, *, drawn=None, **typed):
    """Keep the edit page of C-0011, as it was drawn from the entry of the history `drawn`."""
    given = {**COLLET, **typed} if drawn is None else {**COLLET, **typed, "drawn_from": drawn}
    return client.post(reverse("tool_edit", args=["C-0011"]), given, follow=True).content.decode()


def drawn(client):
    """Which entry of the history the edit page of C-0011 was drawn from."""
    page = client.get(reverse("tool_edit", args=["C-0011"])).content.decode()
    return re.search(r'name="drawn_from" value="([0-9]+)"', page)[1]


def test_of_two_open_edit_pages_the_second_is_told_what_the_first_changed(client_of, keeper):
    tool = factories.collet(tag="C-0011", location=None)
    first, second = client_of(keeper), client_of("keeper")
    first_drawn, second_drawn = drawn(first), drawn(second)

    edit(first, drawn=first_drawn, condition="worn")
    page = edit(second, drawn=second_drawn, notes="Second thoughts")

    tool.refresh_from_db()
    assert f"Changed meanwhile by {keeper}: condition: good → worn; look, then save again." in page
    assert "Second thoughts" in page
    assert (tool.condition, tool.notes) == ("worn", "")


def test_what_was_looked_at_is_kept_when_it_is_kept_again(keepers_browser):
    tool = factories.collet(tag="C-0011", location=None)
    too_old = drawn(keepers_browser)
    edit(keepers_browser, drawn=too_old, condition="worn")
    page = edit(keepers_browser, drawn=too_old, notes="Second thoughts")

    again = re.search(r'name="drawn_from" value="([0-9]+)"', page)[1]
    edit(keepers_browser, drawn=again, notes="Second thoughts")

    tool.refresh_from_db()
    assert tool.notes == "Second thoughts"


def test_a_page_that_is_kept_twice_by_a_double_tap_is_no_quarrel(keepers_browser):
    factories.collet(tag="C-0011", location=None)
    once = drawn(keepers_browser)

    edit(keepers_browser, drawn=once, condition="worn")
    page = edit(keepers_browser, drawn=once, condition="worn")

    assert "Nothing was changed." in page
    assert "meanwhile" not in page


def test_a_page_with_a_mistake_in_it_is_told_as_well_what_was_changed_meanwhile(keepers_browser):
    factories.collet(tag="C-0011", location=None)
    too_old = drawn(keepers_browser)

    edit(keepers_browser, drawn=too_old, condition="worn")
    page = edit(keepers_browser, drawn=too_old, size="three quarters")

    assert "Changed meanwhile by" in page
    assert "cannot be read" in page


def test_an_edit_without_a_change_says_so(keepers_browser):
    factories.collet(tag="C-0011", location=None)

    page = edit(keepers_browser)

    assert "Nothing was changed." in page
    assert "is changed" not in page
    assert "C-0011 is changed." in edit(keepers_browser, notes="Polished")


def test_a_reading_that_is_emptied_on_the_edit_page_is_kept_and_that_is_said(keepers_browser):
    tool = factories.collet(tag="C-0011", location=None, tir=".0005")

    page = edit(keepers_browser, tir="", inspected_on="")

    tool.refresh_from_db()
    assert "readings stay, and a new reading corrects them." in page
    assert tool.tir == parse(".0005")


def test_a_seat_that_no_table_knows_is_kept_and_that_is_said_once(keepers_browser):
    typed = {"tag": "H-0061", "mount": "Q9-9", "takes": "5-C", "through": "1", "condition": "good"}

    page = keepers_browser.post(reverse("tool_add", args=["closer"]), typed, follow=True).content.decode()

    assert page.count("Q9-9 is no seat known here: saved as the shop&#39;s own; nothing else mounts on it yet.") == 1
    assert "5C is no seat" not in page


def test_a_day_of_inspection_that_is_still_to_come_is_refused(keepers_browser):
    tomorrow = (timezone.localdate() + timedelta(days=1)).isoformat()

    page = add(keepers_browser, **COLLET, tir=".0005", inspected_on=tomorrow).content.decode()

    assert f"“{tomorrow}” is still to come" in page
    assert not Tool.objects.exists()


def test_the_next_free_tag_stands_in_the_form(keepers_browser):
    factories.collet(tag="C-0011")

    page = keepers_browser.get(reverse("tool_add", args=["collet"])).content.decode()

    assert 'value="C-0012"' in page


def test_a_place_that_is_made_by_its_name_is_told(keepers_browser):
    page = keepers_browser.get(add(keepers_browser, **COLLET, location="Z9").url).content.decode()

    assert "Z9 is a new place, which stands by itself so far." in page


def test_a_place_that_was_there_before_is_not_told_of(keepers_browser):
    factories.collet(tag="C-0001", location="A2")

    page = keepers_browser.get(add(keepers_browser, **COLLET, location="a2").url).content.decode()

    assert "new place" not in page


def test_what_is_seldom_known_is_unfolded_where_it_has_something_to_show(keepers_browser):
    empty = keepers_browser.get(reverse("tool_add", args=["collet"]))
    wrong = add(keepers_browser, **COLLET, cost="much")

    assert not empty.context["is_unfolded"]
    assert wrong.context["is_unfolded"]


def test_the_two_ends_of_a_range_stand_beside_each_other(keepers_browser):
    rows = keepers_browser.get(reverse("tool_add", args=["universal-chuck"])).context["rows"]

    assert ["outside_min", "outside_max"] in [[field.name for field in row] for row in rows]
    assert len([name for row in rows for name in row]) == len({field.name for row in rows for field in row})
