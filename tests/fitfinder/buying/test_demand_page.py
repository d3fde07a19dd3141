"""Which bar the shop keeps."""

from html import unescape

import pytest
from django.urls import reverse

from inventory.models import KeptBar
from tests import factories

GOOD = {"size": "3/4", "shape": "round", "grade": "cold-drawn", "weight": "5", "note": "Pump shafts."}


@pytest.fixture
def buyers_browser(client_of, purchasing):
    return client_of(purchasing)


def add(client, **changes):
    return unescape(client.post(reverse("demand_add"), {**GOOD, **changes}, follow=True).content.decode())


def edit(client, bar, **changes):
    address = reverse("demand_edit", args=[bar.pk])
    return unescape(client.post(address, {**GOOD, **changes}, follow=True).content.decode())


def test_a_bar_is_put_on_the_list_as_it_was_typed(buyers_browser, purchasing):
    text = add(buyers_browser)

    bar = KeptBar.objects.get()
    assert (bar.size, bar.grade, bar.weight, bar.entered_by) == ("3/4", "cold-drawn", 5, purchasing)
    assert "3/4 in round, nominal, cold drawn steel, carbon to 0.28 % (1018, 12L14) is on the list." in text
    assert '<span class="phone">weight </span>5' in text


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"size": "three quarters"}, "“three quarters” cannot be read as a length"),
        ({"size": ""}, "Size is empty. Write it like 3/4, 19 mm or 20h9."),
        ({"size": "20"}, "“20” has no unit"),
        ({"size": "9", "grade": "cold-drawn"}, "“9” has no unit"),
        ({"weight": "0"}, "0 was read; write 1 or more."),
        ({"weight": "101"}, "101 was read; write 100 or less."),
        ({"weight": "much"}, "“much” is no whole number."),
        ({"shape": "oval"}, "“oval” is none of the choices here."),
        ({"grade": "oak"}, "“oak” is none of the choices here."),
        ({"size": "2000 mm", "grade": "h9"}, "The tables have no round h9 bar of 2000 mm."),
    ],
)
def test_a_bar_that_cannot_be_read_is_refused_with_a_sentence_and_stays_typed(buyers_browser, changes, sentence):
    text = add(buyers_browser, **changes)

    assert sentence in text
    assert KeptBar.objects.count() == 0
    assert "Pump shafts." in text


@pytest.mark.parametrize(("size", "kept"), [("SW 13", "13 mm"), ("13 mm hex", "13 mm"), ("1-1/8 hex", "1-1/8")])
def test_a_shape_beside_the_size_is_the_shape_of_the_bar(buyers_browser, size, kept):
    add(buyers_browser, size=size, grade="")

    bar = KeptBar.objects.get()
    assert (bar.size, bar.shape) == (kept, "hex")


def test_a_bar_that_is_on_the_list_is_not_put_there_twice(buyers_browser):
    add(buyers_browser)

    assert "This bar is on the list already." in add(buyers_browser)
    assert KeptBar.objects.count() == 1


def test_a_bar_is_changed(buyers_browser):
    bar = factories.kept_bar("1/2")

    edit(buyers_browser, bar, size="9/16", weight="7")

    bar.refresh_from_db()
    assert (bar.size, bar.weight) == ("9/16", 7)


def test_a_bar_cannot_be_changed_into_another_one_on_the_list(buyers_browser):
    factories.kept_bar("3/4")
    bar = factories.kept_bar("1/2")

    text = edit(buyers_browser, bar)

    assert "This bar is on the list already." in text
    bar.refresh_from_db()
    assert bar.size == "1/2"


def test_a_dropped_bar_is_no_longer_listed_and_may_be_put_there_again(buyers_browser):
    add(buyers_browser)
    bar = KeptBar.objects.get()

    text = buyers_browser.post(reverse("demand_drop", args=[bar.pk]), follow=True).content.decode()

    assert "is off the list." in text
    assert "No bar is on the list yet." in text
    add(buyers_browser)
    assert KeptBar.objects.standing().count() == 1


def test_a_bar_that_was_dropped_twice_is_dropped_once(buyers_browser):
    bar = factories.kept_bar()
    buyers_browser.post(reverse("demand_drop", args=[bar.pk]))

    answer = buyers_browser.post(reverse("demand_drop", args=[bar.pk]), follow=True)

    assert "was off the list already" in answer.content.decode()


def test_a_dropped_bar_cannot_be_edited(buyers_browser):
    bar = factories.kept_bar()
    buyers_browser.post(reverse("demand_drop", args=[bar.pk]))

    assert buyers_browser.get(reverse("demand_edit", args=[bar.pk])).status_code == 404


def test_the_form_starts_with_what_the_address_says(buyers_browser):
    text = buyers_browser.get(reverse("demand_add"), {"size": "13/16"}).content.decode()

    assert 'value="13/16"' in text


def test_a_bar_whose_grade_is_lost_says_so_on_the_list(buyers_browser):
    factories.kept_bar(grade="oak")

    assert "“oak” is no stock grade" in unescape(buyers_browser.get(reverse("demand")).content.decode())
