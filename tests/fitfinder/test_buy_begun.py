"""A buy list that takes longer than a moment: shown as begun, gone on with, and found again."""

import re
from datetime import timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from fitfinder.buying import buy_begun
from inventory.models import BuySum, KeptBar
from tests import factories


@pytest.fixture
def tangled(db):
    """Demand that sets cover here and there, so that it takes the solver."""
    factories.lathe("Lathe 1")
    factories.closer()
    factories.price(cents=2850)
    for size in ("1/4", "3/8", "1/2", "5/8", "3/4"):
        factories.kept_bar(size)
    factories.price_set("1/4", "1/2", "3/4", name="Odd", cents=6000)
    factories.price_set("3/8", "1/2", "5/8", name="Even", cents=6100)
    factories.price_set("1/4", "5/8", name="Two", cents=4000)


@pytest.fixture
def slow(tangled, monkeypatch):
    """As if each part took longer than a moment."""
    monkeypatch.setattr(buy_begun, "MOMENT", 0)
    monkeypatch.setattr(buy_begun, "STEP_SECONDS", 0)


@pytest.fixture
def client(client_of):
    return client_of("purchasing")


def page(client, **asked):
    return unescape(client.get(reverse("buy"), asked).content.decode())


def looked_at_until_found(client, **asked):
    pages = [page(client, **asked)]
    while "Working out" in pages[-1]:
        pages.append(page(client, **asked))
    return pages


def test_a_list_that_is_there_in_a_moment_is_kept_nowhere(tangled, client):
    assert "Buy " in page(client)
    assert BuySum.objects.count() == 0


def test_a_long_list_says_that_it_is_worked_on_how_far_and_how_long_it_has(slow, client):
    text = page(client, budget="100")

    assert "Working out the most for $100.00" in text
    assert '<progress id="far" value="0" max="5">' in text
    assert re.search(r"It has \d+ s more at most", text)
    assert "You can leave it" in text


def test_its_page_asks_again_by_itself_for_the_same_list(slow, client):
    assert '<meta http-equiv="refresh" content="0;url=/missing/buy/?budget=100">' in page(client, budget="100")


def test_each_look_gets_on_and_the_last_one_shows_the_list(slow, client, monkeypatch):
    *working, found = looked_at_until_found(client)

    assert ['value="0"' in working[0], 'value="1"' in working[1], 'value="2"' in working[2]] == [True] * 3
    monkeypatch.setattr(buy_begun, "MOMENT", 60)
    BuySum.objects.all().delete()
    at_once = page(client)
    assert re.findall(r'name="line" value="([^"]*)"', found) == re.findall(r'name="line" value="([^"]*)"', at_once)


def test_a_list_is_found_again_without_being_worked_out(slow, client, monkeypatch):
    looked_at_until_found(client)
    kept = BuySum.objects.get()

    text = page(client)

    assert "nothing that it hangs on has changed since" in text
    assert BuySum.objects.get().worked_ms == kept.worked_ms


def test_another_page_of_the_list_names_what_was_worked_out_before(slow, client):
    looked_at_until_found(client, budget="100")

    text = page(client, budget="a lot")

    assert "Worked out before" in text
    assert 'href="/missing/buy/?budget=100.00"' in text


def test_a_list_that_was_left_is_named_as_not_finished(slow, client):
    page(client, budget="100")

    text = page(client, budget="a lot")

    assert "not finished" in text
    assert "open it to go on" in text


@pytest.mark.parametrize("change", ["a bar", "a price", "a lathe", "a piece"])
def test_a_change_of_the_book_makes_it_another_list(slow, client, change):
    looked_at_until_found(client)
    match change:
        case "a bar":
            KeptBar.objects.filter(size="3/4").update(weight=7)
        case "a price":
            factories.price("1/4", cents=100)
        case "a lathe":
            factories.lathe("Lathe 2")
        case "a piece":
            factories.collet("3/4")

    text = page(client)

    assert "nothing that it hangs on has changed" not in text
    assert "the book has changed since" in page(client, budget="a lot")


def test_what_does_not_bear_on_the_list_leaves_it_as_it_is(slow, client):
    looked_at_until_found(client)
    factories.place("B9")

    assert "nothing that it hangs on has changed since" in page(client)


def test_another_budget_is_another_list(slow, client):
    looked_at_until_found(client, budget="100")

    assert "Working out the most for $90.00" in page(client, budget="90")
    assert BuySum.objects.count() == 2


def test_two_that_look_at_once_do_not_both_work_on_it(slow, client):
    page(client)
    BuySum.objects.update(busy_until=timezone.now() + timedelta(seconds=30))

    text = page(client)

    assert 'content="2;url=/missing/buy/"' in text
    assert BuySum.objects.get().solved == []


def test_a_look_that_was_lost_is_gone_on_with(slow, client):
    page(client)
    BuySum.objects.update(busy_until=timezone.now() - timedelta(seconds=1))

    page(client)

    kept = BuySum.objects.get()
    assert (len(kept.solved), kept.busy_until) == (1, None)


def test_when_its_time_is_used_up_the_best_so_far_is_shown(slow, client):
    page(client, budget="100")
    BuySum.objects.update(worked_ms=60_000)

    text = page(client, budget="100")

    assert "Buy " in text
    assert "the best that was found in the time allowed" in text


def test_lists_of_last_month_are_forgotten_when_another_is_begun(slow, client):
    page(client)
    BuySum.objects.update(begun_at=timezone.now() - timedelta(days=31))

    page(client, budget="100")

    assert [kept.budget_cents for kept in BuySum.objects.all()] == [10_000]


def test_how_long_the_last_one_took_is_told(slow, client):
    looked_at_until_found(client, budget="100")
    BuySum.objects.update(worked_ms=4200)

    assert "The last such list took 4.2 s." in page(client, budget="90")
