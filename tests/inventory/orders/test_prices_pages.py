"""What collets cost."""

from html import unescape

import pytest
from django.urls import reverse

from inventory.measures.lengths import parse
from inventory.models import Price, SetPrice
from inventory.models.prices import last_paid
from tests import factories

GOOD = {"series": "5C", "shape": "round", "size": "3/4", "price": "28.50"}
SET = {"name": "Three", "series": "5C", "shape": "round", "sizes": "1/4; 1/2; 3/4", "price": "75"}


@pytest.fixture
def buyers_browser(client_of, purchasing):
    return client_of(purchasing)


def keep(client, **changes):
    return unescape(client.post(reverse("prices"), {**GOOD, **changes}, follow=True).content.decode())


def keep_set(client, **changes):
    return unescape(client.post(reverse("price_set"), {**SET, **changes}, follow=True).content.decode())


def test_the_price_of_a_size_is_kept(buyers_browser, purchasing):
    text = keep(buyers_browser, series="5-c")

    price = Price.objects.get()
    assert (str(price), price.nominal, price.cents, price.entered_by) == ("5C round", parse("3/4"), 2850, purchasing)
    assert "$28.50" in text


def test_a_price_without_a_size_counts_for_the_rest_of_the_series(buyers_browser):
    text = keep(buyers_browser, size="")

    assert Price.objects.get().nominal is None
    assert "any other size" in text


@pytest.mark.parametrize("size", ["3/4", ""])
def test_a_price_that_is_entered_again_takes_the_place_of_the_old_one(buyers_browser, size):
    keep(buyers_browser, size=size)
    keep(buyers_browser, size=size, price="31")

    assert [price.cents for price in Price.objects.all()] == [3100]


def test_a_blank_has_a_price_beside_that_of_the_size_of_its_pilot(buyers_browser):
    keep(buyers_browser, size="1/16")
    keep(buyers_browser, size="1/16", is_blank="on", price="46")

    assert sorted((price.is_blank, price.cents) for price in Price.objects.all()) == [(False, 2850), (True, 4600)]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"price": "0"}, "A price of nothing was read."),
        ({"price": ""}, "Price is empty. Write it like 28.50."),
        ({"price": "dear"}, "“dear” is not an amount of money."),
        ({"series": "9Z"}, "“9Z” is no series here. Write one of 16C, 2J"),
        ({"series": ""}, "Series is empty. Write it like 5C or ER32."),
        ({"size": "2"}, "2 in was read; 5C round collets go from 1/32 to 1-1/8."),
        ({"size": "big"}, "“big” cannot be read as a length"),
        ({"series": "ER32", "shape": "hex", "size": ""}, "ER32 has no hex collets here."),
        ({"shape": "hex", "is_blank": "on", "size": ""}, "Only round blanks are bored to a size."),
    ],
)
def test_a_price_that_cannot_be_read_is_refused_with_a_sentence(buyers_browser, changes, sentence):
    assert sentence in keep(buyers_browser, **changes)
    assert Price.objects.count() == 0


def test_a_price_is_dropped(buyers_browser):
    price = factories.price("3/4")

    buyers_browser.post(reverse("price_drop", args=[price.pk]))

    assert Price.objects.count() == 0


def test_what_was_last_paid_is_listed_until_a_price_is_entered(buyers_browser):
    factories.collet("3/4", cost_cents=2650)
    assert "$26.50" in buyers_browser.get(reverse("prices")).content.decode()

    assert "$26.50" not in keep(buyers_browser)


def test_last_paid_is_what_the_piece_entered_last_cost(db):
    factories.collet("3/4", cost_cents=2000)
    factories.collet("3/4", cost_cents=2650)
    factories.collet("3/4")
    factories.collet("1/2", cost_cents=0)

    assert last_paid() == {("5C", "round"): {parse("3/4"): 2650}}


def test_a_set_is_kept_with_its_sizes(buyers_browser):
    text = keep_set(buyers_browser)

    assert [size.nominal for size in SetPrice.objects.get().sizes.all()] == [parse("1/4"), parse("1/2"), parse("3/4")]
    assert "5C: 1/4, 1/2, 3/4" in text


@pytest.mark.parametrize(
    ("sizes", "series", "count"),
    [
        ("1/16 to 1-1/16 by 1/16", "5C", 17),
        ("2 mm to 20 mm by 1 mm", "ER32", 19),
        ("1/4, 1/2\n3/4 to 1 by 1/8", "5C", 5),
        ("1/4; 1/4", "5C", 1),
    ],
)
def test_the_sizes_of_a_set_are_read_one_by_one_or_as_runs(buyers_browser, sizes, series, count):
    keep_set(buyers_browser, sizes=sizes, series=series)

    assert SetPrice.objects.get().sizes.count() == count


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"sizes": ""}, "Sizes is empty."),
        ({"sizes": "many"}, "“many” cannot be read as a length"),
        ({"sizes": ";;"}, "No size was given."),
        ({"sizes": "1/4; 2"}, "2 in was read; 5C round collets go from 1/32 to 1-1/8."),
        ({"sizes": "1 to 1/2 by 1/16"}, "is no run of at most 200 sizes"),
        ({"sizes": "1/16 to 1 by 1 mm; 0.001 to 1 by 0.001"}, "is no run of at most 200 sizes"),
        ({"name": ""}, "Name is empty. Write it like 5C by sixteenths."),
    ],
)
def test_a_set_that_cannot_be_read_is_refused_with_a_sentence(buyers_browser, changes, sentence):
    assert sentence in keep_set(buyers_browser, **changes)
    assert SetPrice.objects.count() == 0


def test_a_set_of_the_same_name_takes_the_place_of_the_old_one(buyers_browser):
    keep_set(buyers_browser)
    keep_set(buyers_browser, name="THREE", sizes="1/8", price="9")

    kept = SetPrice.objects.get()
    assert (kept.name, kept.cents, kept.sizes.count()) == ("THREE", 900, 1)


def test_a_set_is_dropped(buyers_browser):
    kept = factories.price_set()

    buyers_browser.post(reverse("price_set_drop", args=[kept.pk]))

    assert SetPrice.objects.count() == 0
