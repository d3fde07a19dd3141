"""Money, whole numbers, days and the swing of an indicator, as they are typed."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from inventory.measures.days import AmbiguousDay, DayInput, read_day
from inventory.measures.inputs import CountInput, MoneyInput, TirInput
from inventory.measures.lengths import Length, parse


@pytest.mark.parametrize(
    ("text", "cents"),
    [
        ("28", 2800),
        ("31.50", 3150),
        ("$28", 2800),
        ("$ 1,250.00", 125000),
        ("31,50", 3150),
        ("1.250,5", 125050),
        ("1,250", 125000),
        (".5", 50),
        ("0", 0),
        ("", None),
    ],
)
def test_an_amount_of_money_is_read_to_the_cent(text, cents):
    assert MoneyInput(required=False).clean(text) == cents


@pytest.mark.parametrize("text", ["about 30", "-5", "1.234", "1,2,3", "1e3", "nan", "99999999", "12.5.1", "²"])
def test_what_is_no_amount_is_refused_with_what_is_accepted(text):
    with pytest.raises(ValidationError, match="Write it like 31.50"):
        MoneyInput().clean(text)


@pytest.mark.parametrize(
    ("text", "count"), [("3", 3), ("2,500 rpm", 2500), ("2500", 2500), ("60°", 60), ("3 jaws", 3), ("", None)]
)
def test_a_whole_number_is_read_with_what_it_counts(text, count):
    assert CountInput(required=False).clean(text) == count


@pytest.mark.parametrize("text", ["-3", "9" * 30])
def test_a_whole_number_out_of_range_is_told_the_range(text):
    with pytest.raises(ValidationError, match=f"“{text}” was read; write 0 to 9,999,999"):
        CountInput().clean(text)


@pytest.mark.parametrize("text", ["three", "2.5", "2,5"])
def test_what_is_no_whole_number_is_refused_with_what_is_accepted(text):
    with pytest.raises(ValidationError, match="Write it in figures"):
        CountInput().clean(text)


@pytest.mark.parametrize("text", ["0", ".0", "0.0000 in", "0 mm", '0"'])
def test_an_indicator_can_stand_still(text):
    assert TirInput().clean(text) == Length(0)


@pytest.mark.parametrize(("text", "is_read"), [("1/4", True), (".2501", False), ("5", False), ("12 mm", False)])
def test_a_swing_above_a_quarter_inch_is_asked_back(text, is_read):
    if is_read:
        assert TirInput().clean(text) == parse(text)
        return
    with pytest.raises(ValidationError, match="a TIR is the indicator's swing, like .0005"):
        TirInput().clean(text)


def test_a_day_that_is_still_to_come_is_refused_and_today_is_not():
    field = DayInput(today=date(2026, 3, 18))

    assert field.clean("2026-03-18") == date(2026, 3, 18)
    with pytest.raises(ValidationError, match="“2026-03-19” is still to come: today is 2026-03-18"):
        field.clean("2026-03-19")


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("2026-03-18", None, date(2026, 3, 18)),
        ("2026-03-18 14:30:00", None, date(2026, 3, 18)),
        ("3/18/2026", None, date(2026, 3, 18)),
        ("18.3.2026", None, date(2026, 3, 18)),
        ("3/3/2026", None, date(2026, 3, 3)),
        ("3/4/2026", "mdy", date(2026, 3, 4)),
        ("3/4/2026", "dmy", date(2026, 4, 3)),
        ("3/18/2026", "dmy", date(2026, 3, 18)),
        ("31/31/2026", None, None),
        ("2026-02-30", None, None),
        ("yesterday", None, None),
        ("٣/٤/٢٠٢٦", None, None),
    ],
)
def test_a_date_is_read_in_the_order_that_is_said_or_that_is_the_only_one(text, order, day):
    assert read_day(text, order) == day


def test_a_date_that_could_be_two_days_is_asked_back_with_both():
    with pytest.raises(AmbiguousDay) as asked:
        read_day("3/4/2026", None)

    assert "2026-03-04 or 2026-04-03" in asked.value.messages[0]


@pytest.mark.parametrize("text", ["#80", "B", "letter F", "no. 7"])
def test_a_drill_typed_as_a_swing_is_answered_with_a_sentence_or_taken(text):
    try:
        assert TirInput().clean(text).nm > 0
    except ValidationError as error:
        assert "TIR" in error.messages[0]
