"""Dates as the shop writes them."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from inventory.measures import day_words
from inventory.measures.days import DayInput
from inventory.measures.display import DayOrder, Display, shown_as

APRIL, MARCH = date(2026, 4, 3), date(2026, 3, 4)


@pytest.mark.parametrize(
    ("order", "shown"),
    [
        (None, "2026-04-03"),
        (DayOrder.ISO, "2026-04-03"),
        (DayOrder.DAY_MONTH_DOTS, "03.04.2026"),
        (DayOrder.DAY_MONTH, "03/04/2026"),
        (DayOrder.MONTH_DAY, "04/03/2026"),
    ],
)
def test_a_day_is_shown_as_the_shop_writes_it(order, shown):
    with shown_as(Display(days=order)):
        assert day_words.shown(APRIL) == shown


@pytest.mark.parametrize(
    ("order", "text", "day"),
    [
        (DayOrder.DAY_MONTH_DOTS, "3.4.2026", APRIL),
        (DayOrder.DAY_MONTH, "3/4/2026", APRIL),
        (DayOrder.MONTH_DAY, "3/4/2026", MARCH),
        (DayOrder.MONTH_DAY, "30.4.2026", date(2026, 4, 30)),
        (DayOrder.DAY_MONTH, "2026-04-03", APRIL),
    ],
)
def test_a_day_is_read_in_the_shops_order(order, text, day):
    with shown_as(Display(days=order)):
        assert DayInput().clean(text) == day


def test_where_the_shop_did_not_say_a_day_that_could_be_two_is_asked_back():
    with pytest.raises(ValidationError, match="could be 2026-03-04 or 2026-04-03"):
        DayInput().clean("3/4/2026")


@given(st.dates(date(1950, 1, 1), date(2100, 1, 1)), st.sampled_from([None, *DayOrder]))
def test_a_day_in_a_field_is_read_back_to_the_same(day, order):
    with shown_as(Display(days=order)):
        field = DayInput()
        assert field.clean(field.prepare_value(day)) == day
