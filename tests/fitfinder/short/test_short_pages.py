"""What is short, as a page with its one taps; the lead time; and blank or buy."""

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from fitfinder.short import shortfalls
from inventory.models import CountedItem, Kind, ShopFigures, Tool, Want
from tests import factories


def page(client, name="short"):
    return client.get(reverse(name)).content.decode()


def rack():
    """A lathe with its closer and one collet."""
    factories.lathe("Lathe 1")
    factories.closer(tag="H-0061")
    return factories.collet("3/4", tag="C-0011")


def tap(client, text):
    """Press the first "Put it on the order list" of a page."""
    form = re.search(r'<form method="post" action="([^"]*)">(.*?)</form>', text[text.index("</h1>") :], re.S)
    names = dict(re.findall(r'name="([^"]*)" value="([^"]*)"', form[2]))
    return client.post(form[1], names, follow=True).content.decode()


def test_with_nothing_short_the_page_says_what_would_be_here(client_of):
    rack()

    assert "Nothing is short." in page(client_of("machinist"))


def test_a_missing_size_in_demand_is_asked_for_with_one_tap(client_of, machinist):
    rack()
    factories.kept_bar("1/2", grade="")
    browser = client_of(machinist)

    after = tap(browser, page(browser))

    want = Want.objects.get()
    assert (str(want.size), want.asked_by) == ("1/2 round 5C", machinist)
    assert want.why.startswith("Nothing here holds 1/2 in round")
    assert "Put it on the order list" not in after


def test_a_missing_link_is_asked_for_with_its_seats(client_of):
    rack()
    factories.lathe("Lathe 2", nose="1-1/2-8", headstock=None, tailstock=None)
    browser = client_of("machinist")

    text = page(browser)
    tap(browser, text)

    assert "H-0061, which takes 5C, does not fit Lathe 2" in text
    assert "1 size, 1 piece on hand" in text
    want = Want.objects.get()
    assert (want.what, want.kind, want.mount, want.takes) == ("5C closer for 1-1/2-8", "closer", "1-1/2-8", "5C")


def test_what_is_counted_and_low_is_asked_for_with_one_tap(client_of):
    factories.counted("Way oil", A4=1)
    browser = client_of("machinist")

    tap(browser, page(browser))

    assert Want.objects.get().item == CountedItem.objects.get()


def test_a_collet_that_wears_toward_its_limit_is_short(client_of):
    rack()
    today = timezone.localdate()
    factories.limits(series="5C", limit="0.001")
    factories.wearing(
        factories.collet("1/2", tag="C-0022"),
        "0.0004", "0.0005", "0.0007", "0.0008", "0.00095",
        last_on=today - timedelta(days=5), lathe=factories.lathe(),
    )  # fmt: skip

    assert "C-0022 may reach its limit before a new one is here" in page(client_of("machinist"))


def test_the_only_one_of_a_much_used_size_is_short(client_of):
    collet = rack()
    for days in range(2, 12, 2):
        loan = factories.loan(collet, at=timezone.now() - timedelta(days=days))
        loan.returned_at = timezone.now() - timedelta(days=days - 1)
        loan.save()

    assert "C-0011 is the only one of its size, and was issued 5 times in 90 days." in page(client_of("machinist"))


def test_loans_of_long_ago_make_nothing_short(client_of):
    collet = rack()
    for days in range(100, 110):
        loan = factories.loan(collet, at=timezone.now() - timedelta(days=days))
        loan.returned_at = timezone.now() - timedelta(days=days - 1)
        loan.save()

    assert "Nothing is short." in page(client_of("machinist"))


def test_a_series_whose_last_blank_is_bored_is_short_of_blanks(client_of):
    rack()
    factories.bored("0.4", tag="C-0049")

    assert "No 5C blank is left to bore: C-0049 is bored to 0.4000 in." in page(client_of("machinist"))


def test_a_key_that_is_lost_is_a_missing_link(client_of):
    factories.chuck(tag="K-0081")
    factories.piece("key", tag="H-0089", fits="K-0081, D1-4", missing_since=timezone.localdate())

    assert "No key for K-0081: H-0089 is missing since" in page(client_of("machinist"))


def test_the_missing_page_leads_with_what_is_short(client_of):
    rack()
    factories.kept_bar("1/2", grade="")

    text = page(client_of("machinist"), "buying")

    assert text.index("size not held <small>1") < text.index(">Order list <small>")
    assert "1/2 round 5C" in text
    assert '<details class="fold" open' not in text


def test_what_is_short_stands_by_its_reason_in_tables_that_are_put_in_order_and_narrowed(client_of):
    rack()
    for size in ("1/2", "9/16"):
        factories.kept_bar(size, grade="")
    browser = client_of("machinist")

    text = browser.get(reverse("short"), {"order": "-what"}).content.decode()
    narrowed = browser.get(reverse("short"), {"text": "9/16 held"}).content.decode()

    assert "Size not held <small>2" in text
    assert 'id="list-size-not-held"' in text and '?order=what#list-size-not-held"' in text
    assert text.index(">9/16 round 5C</th>") < text.index(">1/2 round 5C</th>")
    assert ">9/16 round 5C</th>" in narrowed and ">1/2 round 5C</th>" not in narrowed
    assert "None of the 2 is like that" in browser.get(reverse("short"), {"text": "hex"}).content.decode()


def test_purchasing_changes_the_lead_time_and_empties_it_again(client_of, purchasing):
    browser = client_of(purchasing)

    text = browser.post(reverse("lead_time"), {"lead_days": "45"}, follow=True).content.decode()

    assert "within 45 days" in text
    assert ShopFigures.objects.now().changed_by == purchasing
    assert "within 21 days" in browser.post(reverse("lead_time"), {"lead_days": ""}, follow=True).content.decode()


@pytest.mark.parametrize("days", ["0", "366", "soon"])
def test_a_lead_time_that_cannot_be_is_refused_with_a_sentence(client_of, days):
    text = client_of("purchasing").post(reverse("lead_time"), {"lead_days": days}).content.decode()

    assert 'class="errors"' in text
    assert ShopFigures.objects.now().lead_days is None


def test_an_ask_leads_to_keeping_such_bar(client_of):
    rack()
    client_of("machinist").get(reverse("find"), {"size": "13/16"})
    text = page(client_of("keeper"), "buying")

    address = re.search(r'href="([^"]*demand/add/[^"]*)"', text)[1].replace("&amp;", "&")

    assert 'value="13/16"' in client_of("keeper").get(address).content.decode()


def test_a_missing_size_on_the_board_leads_to_its_line(client_of):
    rack()
    want = factories.want(factories.size("1/2"))

    text = client_of("keeper").get(reverse("board", args=["5C", "round"]), {"pick": want.size.nominal.nm})

    assert reverse("want", args=[want.pk]) in text.content.decode()


def test_blank_or_buy_weighs_the_blank_against_the_price(client_of):
    rack()
    factories.blank(tag="C-0046")
    factories.kept_bar("1/2", grade="")
    factories.price("1/2", cents=2850)

    text = page(client_of("purchasing"), "blanks")

    assert "Bore 1 of 1 blank: 15 min" in text
    assert "Buy 1/2 round 5C: $28.50." in text
    assert "common practice, no source" in text


def test_without_blanks_the_page_says_that_all_is_to_be_bought(client_of):
    rack()
    factories.kept_bar("1/2", grade="")

    assert "No blank is left to bore" in page(client_of("purchasing"), "blanks")


def test_with_nothing_that_waits_the_page_says_so(client_of):
    rack()
    factories.kept_bar("3/4")

    assert "Nothing waits" in page(client_of("purchasing"), "blanks")


def test_without_any_bar_the_page_of_blanks_says_how_to_begin(client_of):
    rack()

    text = page(client_of("purchasing"), "blanks")

    assert "No bar is on the list yet" in text
    assert "Nothing waits" not in text


def test_without_any_bar_the_missing_page_says_how_to_begin(client_of):
    rack()

    text = page(client_of("purchasing"), "buying")

    assert "No bar is on the list yet" in text
    assert "Nothing is short" not in text


def test_of_an_empty_book_the_missing_page_says_how_to_begin(client_of):
    assert "Nothing is in Gripbook yet" in page(client_of("keeper"), "buying")


def test_a_blank_that_is_bored_or_damaged_is_not_planned_with(client_of):
    rack()
    factories.bored("0.4", tag="C-0049")
    Tool.objects.filter(pk=factories.blank(tag="C-0046").pk).update(condition="damaged")
    factories.kept_bar("1/2", grade="")

    assert "No blank is left to bore" in page(client_of("purchasing"), "blanks")


def short_of_much(of):
    """Something of each sort that a page of what is short reads; `of` 64ths, so that no two are of one size."""
    factories.wearing(factories.collet(f"{of}/64"), ".0003", ".0005", ".0007", ".0009", ".0011")
    factories.collet(f"{of + 2}/64", condition="damaged")
    much_used = factories.collet(f"{of + 4}/64")
    for _ in range(shortfalls.MUCH_USED):
        factories.loan(much_used)
        much_used.loans.update(returned_at=timezone.now())
    factories.piece(kind=Kind.KEY, fits=f"K-{of}", condition="damaged")
    factories.blank(condition="damaged")
    factories.bored(f"{of}/64")
    factories.closer(mount=f"D1-{of}")
    factories.want(factories.size(f"{of + 6}/64"))
    factories.counted(f"Way oil {of}", A4=1)
    factories.price_set(f"{of}/64", f"{of + 2}/64")


@pytest.mark.parametrize("name", ["short", "buying"])
def test_much_that_is_short_takes_no_more_queries(name, client_of, django_assert_num_queries):
    browser = client_of("administrator")
    rack()
    short_of_much(9)
    page(browser, name)
    with CaptureQueriesContext(connection) as few:
        page(browser, name)
    for of in (17, 25, 33):
        short_of_much(of)

    with django_assert_num_queries(len(few)):
        page(browser, name)
