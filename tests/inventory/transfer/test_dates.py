from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.datetime import from_excel

from inventory.transfer import dates

TODAY = date(2026, 6, 1)


def odd(text, *, order=None, chosen=None):
    return dates.odd_day(text, order=order or chosen, chosen=chosen, today=TODAY)


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        (["3/4/2026", "3/18/2026"], "mdy"),
        (["18.3.2026"], "dmy"),
        (["3/18/2026", "18/3/2026"], None),
        (["3/4/2026", "5/5/2026"], None),
        (["31/31/2026", "2026-03-18", "soon"], None),
        ([], None),
    ],
)
def test_the_order_is_what_the_certain_dates_agree_on(texts, order):
    assert dates.order_of(texts) == order


@pytest.mark.parametrize(("chosen", "text"), [("mdy", "13/4/2026"), ("dmy", "4/13/2026")])
def test_a_date_of_the_other_order_than_was_chosen_is_odd(chosen, text):
    assert "2026-04-13" in odd(text, chosen=chosen)


@pytest.mark.parametrize("text", ["4/13/2026", "2026-04-13", "5/5/2026", "31/31/2026", "soon", ""])
def test_what_the_chosen_order_can_read_or_nothing_can_is_not_odd(text):
    assert odd(text, chosen="mdy") is None


@pytest.mark.parametrize("text", ["2026-06-02", "6/30/2026", "2.6.2026"])
def test_a_day_after_today_is_odd(text):
    assert "after today, 2026-06-01" in odd(text, order="dmy")


@pytest.mark.parametrize("text", ["2026-06-01", "1/6/2026", "30.5.2026"])
def test_today_and_days_before_are_not_odd(text):
    assert odd(text, order="dmy") is None


def test_a_date_of_two_readings_is_left_to_the_form():
    assert odd("7/8/2026") is None


@given(st.integers(min_value=30_000, max_value=79_999))
def test_a_day_as_a_number_is_the_day_that_a_spreadsheet_means(number):
    # openpyxl reads such numbers by the 1900 date system of ECMA-376.
    day = from_excel(number).date()

    assert dates.serial_day(str(number)) == (day.isoformat() if day.year >= 2000 else "")


@pytest.mark.parametrize("text", ["", "461", "2026", "46099.5", "460990", "-46099", "x"])
def test_another_number_is_no_day(text):
    assert dates.serial_day(text) == ""
