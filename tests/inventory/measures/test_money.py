"""Amounts in the shop's currency: what is shown can be typed, and what is typed is read as this shop writes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.measures import money
from inventory.measures.display import Currency, Display, shown_as

DOLLARS = Currency()
POUNDS = Currency(sign="£")
EUROS = Currency(sign="€", is_after=True, has_comma=True)
FRANCS = Currency(sign="CHF")
YEN = Currency(sign="¥", places=0)
DINARS = Currency(sign="KWD", places=3)
currencies = st.builds(
    Currency,
    sign=st.sampled_from(["$", "€", "CHF", "kr", "Kč"]),
    places=st.sampled_from([0, 2, 3]),
    is_after=st.booleans(),
    has_comma=st.booleans(),
)


@pytest.mark.parametrize(
    ("currency", "amount", "shown", "typed"),
    [
        (DOLLARS, 123450, "$1,234.50", "1234.50"),
        (DOLLARS, 5, "$0.05", "0.05"),
        (POUNDS, 450, "£4.50", "4.50"),
        (EUROS, 123450, "1.234,50 €", "1234,50"),
        (FRANCS, 2800, "CHF 28.00", "28.00"),
        (YEN, 2800, "¥2,800", "2800"),
        (DINARS, 1250, "KWD 1.250", "1.250"),
    ],
)
def test_an_amount_is_shown_as_the_shop_writes_it(currency, amount, shown, typed):
    with shown_as(Display(currency=currency)):
        assert money.shown(amount) == shown
        assert money.typed(amount) == typed


@pytest.mark.parametrize(
    ("currency", "text", "amount"),
    [
        (DOLLARS, "17.20", 1720),
        (DOLLARS, "17,20", 1720),
        (DOLLARS, "1,234", 123400),
        (DOLLARS, "$ 4.5", 450),
        (POUNDS, "£4.50", 450),
        (EUROS, "17,20", 1720),
        (EUROS, "1.234,50", 123450),
        (EUROS, "1.234", 123400),
        (EUROS, "17.20 €", 1720),
        (EUROS, "€ 4,50", 450),
        (EUROS, "1\u202f234,50", 123450),
        (FRANCS, "chf 12", 1200),
        (FRANCS, "1'200.50", 120050),
        (YEN, "2,800", 2800),
        (YEN, "2800.00", 2800),
        (DINARS, "1.25", 1250),
    ],
)
def test_an_amount_is_read_as_the_shop_writes_it(currency, text, amount):
    with shown_as(Display(currency=currency)):
        assert money.parse(text) == amount


@pytest.mark.parametrize(
    ("currency", "text"),
    [
        (DOLLARS, "£4.50"),
        (DOLLARS, "4.505"),
        (DOLLARS, "-4"),
        (DOLLARS, "$"),
        (DOLLARS, "1.2.3"),
        (EUROS, "1.23.456,00"),
        (EUROS, "$5"),
        (YEN, "12.5"),
        (DINARS, "1.2345"),
        (DOLLARS, "9" * 5_000),
    ],
)
def test_what_is_no_amount_of_this_currency_is_refused_with_an_example(currency, text):
    with shown_as(Display(currency=currency)), pytest.raises(money.MoneyError, match="Write it like 31"):
        money.parse(text)


@given(st.integers(0, 2**31 - 1), currencies)
def test_what_is_shown_or_begins_a_field_is_read_back_to_the_same_amount(amount, currency):
    with shown_as(Display(currency=currency)):
        assert money.parse(money.shown(amount)) == amount
        assert money.parse(money.typed(amount)) == amount
