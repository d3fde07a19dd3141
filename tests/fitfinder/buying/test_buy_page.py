"""The buy list as a page, and how it gets onto the order list."""

import re
from html import unescape

import pytest
from django.urls import reverse

from fitfinder.views import buy
from inventory.models import Want
from tests import factories


@pytest.fixture
def shop(db):
    factories.lathe("Lathe 1")
    factories.closer()
    factories.price(cents=2850)
    factories.kept_bar("3/4", weight=5)
    factories.kept_bar("1/2", weight=9)


@pytest.fixture
def buyers_browser(client_of, purchasing):
    return client_of(purchasing)


def page(client, **asked):
    return unescape(client.get(reverse("buy"), asked).content.decode())


def boxes(text):
    return re.findall(r'name="line" value="([^"]*)"', text)


def order(client, lines):
    return client.post(reverse("buy_want"), {"line": lines}, follow=True).content.decode()


def test_the_list_stands_with_its_reasons_its_proof_and_the_time(shop, buyers_browser):
    text = page(buyers_browser)

    assert "Buy 2 things for $57.00" in text
    assert "Proved: no choice among these prices that holds as much costs less than $57.00." in text
    assert "Holds 3/4 in round (in stock, weight 5)" in text
    assert re.search(r"Worked out in</dt><dd>\d+\.\d s", text)


def test_a_list_that_time_ran_out_on_says_that_it_is_not_proved(shop, buyers_browser, monkeypatch):
    monkeypatch.setattr(buy, "ALLOWED_SECONDS", 0)

    text = page(buyers_browser)

    assert "<b>Not proved:</b> the best that was found in the time allowed." in text
    assert "$0.00; not reached in time" in text


def test_a_budget_stands_in_the_address(shop, buyers_browser):
    text = page(buyers_browser, budget="30")

    assert "Buy 1 thing for $28.50 of $30.00" in text
    assert "not within the budget: 3/4 round 5C would hold it for $28.50" in text


def test_a_budget_that_cannot_be_read_is_said_beside_the_field_and_stays(shop, buyers_browser):
    text = page(buyers_browser, budget="a lot")

    assert "“a lot” is not an amount of money" in text
    assert 'value="a lot"' in text
    assert "Buy 2 things" not in text


def test_a_size_without_a_price_leads_to_where_it_is_entered(shop, buyers_browser):
    factories.kept_bar("1/2", shape="hex")

    assert "prices/?series=5C&shape=hex&size=1/2" in page(buyers_browser)


def test_the_ticked_lines_become_wants(shop, buyers_browser, purchasing):
    lines = boxes(page(buyers_browser))

    answer = order(buyers_browser, lines)

    assert "2 sizes put on the order list." in answer
    assert sorted(str(want.size) for want in Want.objects.all()) == ["1/2 round 5C", "3/4 round 5C"]
    assert {want.asked_by for want in Want.objects.all()} == {purchasing}
    assert Want.objects.first().why.startswith("holds ")


def test_a_list_that_is_sent_twice_is_ordered_once(shop, buyers_browser):
    lines = boxes(page(buyers_browser))
    order(buyers_browser, lines)

    answer = order(buyers_browser, lines)

    assert "0 sizes put on the order list; 2 stood there already." in answer
    assert Want.objects.count() == 2


def test_a_set_becomes_a_want_for_each_of_its_sizes(shop, buyers_browser):
    factories.price_set("1/4", "1/2", "3/4", name="Three", cents=5000)

    order(buyers_browser, boxes(page(buyers_browser)))

    assert Want.objects.count() == 3
    assert {want.in_set for want in Want.objects.all()} == {"Three"}


def test_each_size_of_a_set_says_what_it_holds_itself(shop, buyers_browser):
    factories.price_set("1/4", "1/2", "3/4", name="Three", cents=5000)

    order(buyers_browser, boxes(page(buyers_browser)))

    why = {str(want.size): want.why for want in Want.objects.all()}
    assert why["1/4 round 5C"] == "part of the set Three"
    assert why["1/2 round 5C"].startswith("holds 1/2 in round") and "3/4" not in why["1/2 round 5C"]
    assert why["3/4 round 5C"].startswith("holds 3/4 in round") and "1/2" not in why["3/4 round 5C"]


def test_the_wants_of_a_set_share_its_price_to_the_cent(shop, buyers_browser):
    factories.price_set("1/4", "1/2", "3/4", name="Three", cents=5000)

    order(buyers_browser, boxes(page(buyers_browser)))

    assert sorted(want.price_cents for want in Want.objects.all()) == [1666, 1667, 1667]


def test_what_came_from_the_buy_list_stands_ticked_on_the_order_list(shop, buyers_browser):
    answer = order(buyers_browser, boxes(page(buyers_browser)))

    assert len(re.findall(r'name="line"[^>]* checked', answer)) == 2
    assert "$57.00 in all" in answer


def test_only_what_was_just_added_stands_ticked_and_what_it_exceeds_is_said(shop, buyers_browser):
    factories.want(factories.size("1/4"), price_cents=900)

    sent = {"line": boxes(page(buyers_browser)), "budget": "50"}
    answer = buyers_browser.post(reverse("buy_want"), sent, follow=True).content.decode()

    assert len(re.findall(r'name="line"[^>]* checked', answer)) == 2
    assert len(re.findall(r'name="line"', answer)) == 3
    assert "<b>$7.00 over the budget</b> of $50.00: 2 lines for $57.00." in answer


@pytest.mark.parametrize(
    "line",
    ["", "5C", "5C|round|one", "5C|round|-5", "9Z|round|19050000|", "5C|round|999999999999|", "5C|round|19050000,|"],
)
def test_a_line_that_cannot_be_read_orders_nothing(shop, buyers_browser, line):
    good = boxes(page(buyers_browser))

    order(buyers_browser, [*good, line])

    assert Want.objects.count() == 0


def test_with_nothing_ticked_the_page_says_so(shop, buyers_browser):
    assert "no line was ticked" in order(buyers_browser, [])


def test_a_keeper_sees_the_list_and_is_offered_no_button(shop, client_of):
    text = page(client_of("keeper"))

    assert "Buy 2 things" in text
    assert "Put these on the order list" not in text


def test_what_people_asked_for_can_be_left_out(shop, buyers_browser, client_of):
    client_of("machinist").get(reverse("find"), {"size": "13/16"})

    assert "13/16 round 5C" in page(buyers_browser)
    assert "13/16 round 5C" not in page(buyers_browser, kept_only="on")
