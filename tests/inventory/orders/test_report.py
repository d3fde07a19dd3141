"""The five figures of a period, each with a picture or with what would have to be for one."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse

from inventory.models import Ask, Tool
from inventory.orders.report import figures
from inventory.orders.report_picture import Amount, bars_of
from tests import factories

FIRST, LAST = date(2026, 1, 1), date(2026, 3, 31)
SPENT, SERIES, UNUSED, ASKED, REPLACED = range(5)


def at(day):
    return datetime(day.year, day.month, day.day, 12, tzinfo=UTC)


def figure(which, *, first=FIRST, last=LAST):
    return figures(first=first, last=last)[which]


def received(day=FIRST, size="3/4", **fields):
    price = {"price_cents": 2850, **fields}
    return factories.want(factories.size(size), state="received", received_at=at(day), **price)


def scrap(tool, day):
    Tool.history.filter(id=tool.pk).update(history_date=at(date(2025, 1, 1)))
    tool.refresh_from_db()
    tool.condition, tool._history_date = "scrapped", at(day)
    tool.save()


def asked(day, times=1, question="size=1"):
    Ask.objects.create(question=question, read_as="1 in round", verdict="chuck", asked_on=day, times=times)


def test_with_an_empty_book_every_figure_says_what_would_appear(db):
    found = figures(first=FIRST, last=LAST)

    assert len(found) == 5
    assert all(one.bars is None and one.otherwise for one in found)


@pytest.mark.parametrize(
    ("day", "cents"),
    [(FIRST - timedelta(days=1), 0), (FIRST, 5700), (LAST, 5700), (LAST + timedelta(days=1), 0)],
    ids=["before", "first", "last", "after"],
)
def test_what_was_received_in_the_period_is_spent(db, day, cents):
    received(day, quantity=2)

    bars = figure(SPENT).bars
    assert (bars.drawn[0].bar.amount if bars else 0) == cents


def test_a_piece_that_was_scrapped_in_the_period_counts_with_its_cost(db):
    scrap(factories.collet(tag="C-0025", cost_cents=2400), date(2026, 2, 1))

    found = figure(SPENT)

    assert "1 piece scrapped that had cost $24.00" in found.headline
    assert found.lines == ("C-0025, 3/4 round 5C collet: $24.00",)


def test_a_piece_that_was_scrapped_before_or_taken_back_does_not_count(db):
    scrap(factories.collet(tag="C-0025", cost_cents=2400), date(2025, 12, 1))
    back = factories.collet(tag="C-0026", cost_cents=2400)
    scrap(back, date(2026, 2, 1))
    back.condition, back._history_date = "good", at(date(2026, 2, 2))
    back.save()

    assert figure(SPENT).bars is None


def test_a_piece_that_came_into_the_book_as_scrapped_was_not_scrapped_here(db):
    tool = factories.collet(tag="C-0025", condition="scrapped", cost_cents=2400)
    Tool.history.filter(id=tool.pk).update(history_date=at(date(2026, 2, 1)))

    assert figure(SPENT).bars is None


def test_the_cost_is_told_by_series_and_the_dearest_first(db):
    received(size="3/4")
    factories.want(factories.size("9 mm", series="ER32"), state="received", received_at=at(FIRST), price_cents=9900)

    assert [drawn.bar.label for drawn in figure(SERIES).bars.drawn] == ["ER32", "5C"]
    assert figure(SERIES).headline == "Most went into ER32: $99.00."


def old(**fields):
    tool = factories.collet(**fields)
    Tool.history.filter(id=tool.pk).update(history_date=at(date(2024, 1, 1)))
    return tool


def test_a_piece_that_lay_for_a_year_is_counted_and_a_new_one_is_not(db):
    old(tag="C-0001")
    new = factories.collet("1/2", tag="C-0002")
    Tool.history.filter(id=new.pk).update(history_date=at(date(2026, 1, 5)))

    assert figure(UNUSED).headline == "1 of 1 piece that have been here for a year."


@pytest.mark.parametrize(
    ("issued", "count"), [(date(2025, 4, 1), 0), (date(2025, 3, 31), 1)], ids=["within the year", "before it"]
)
def test_a_piece_that_was_issued_in_the_year_is_used(db, issued, count):
    loan = factories.loan(old(tag="C-0001"), at=at(issued))
    loan.returned_at = at(issued) + timedelta(days=1)
    loan.save()

    bars = figure(UNUSED).bars
    assert (bars.drawn[0].bar.amount if bars else 0) == count


def test_a_piece_that_is_on_a_lathe_or_out_is_used(db):
    old(tag="C-0001", mounted_on=factories.lathe())
    factories.loan(old(tag="C-0002"), at=at(date(2024, 6, 1)))

    assert figure(UNUSED).bars is None


def test_questions_are_compared_with_as_many_days_before(db):
    asked(FIRST - timedelta(days=90), 4)
    asked(FIRST - timedelta(days=91), 50, "size=2")
    asked(LAST, 3)

    found = figure(ASKED)

    assert [drawn.bar.amount for drawn in found.bars.drawn] == [4, 3]
    assert found.headline == "3 times, less often than in the 90 days before (4)."
    assert found.lines == ("1 in round: 3 times",)


def test_what_wears_out_in_the_quarter_ahead_is_told_with_its_price(db):
    factories.price("3/4", cents=2850)
    factories.limits(series="5C", limit="0.001")
    tool = factories.collet("3/4", tag="C-0022")
    factories.wearing(tool, "0.0004", "0.0005", "0.0007", "0.0008", "0.00095", last_on=LAST, lathe=factories.lathe())

    found = figure(REPLACED)

    assert found.headline == "1 piece by the forecast of wear, about $28.50."
    assert found.lines[0].startswith("C-0022, 3/4 round 5C collet: its limit ")


def test_bars_are_as_long_as_their_amounts():
    bars = bars_of([Amount(label="a", amount=100, words="100"), Amount(label="b", amount=50, words="50")])

    assert [drawn.width for drawn in bars.drawn] == [354, 177]
    assert bars.words == "a: 100; b: 50"


def test_a_small_amount_is_still_seen_and_none_is_not():
    bars = bars_of([Amount(label=str(amount), amount=amount, words="") for amount in (100_000, 1, 0)])

    assert [drawn.width for drawn in bars.drawn] == [354, 2, 0]


@pytest.mark.parametrize("amounts", [(), (0,), (0, 0)])
def test_nothing_above_zero_is_no_picture(amounts):
    assert bars_of([Amount(label="a", amount=amount, words="") for amount in amounts]) is None


def meeting(client_of, **asked_for):
    return client_of("purchasing").get(reverse("meeting"), asked_for).content.decode()


def test_the_page_has_five_figures_and_a_text_for_each_picture(client_of):
    received()

    page = meeting(client_of, **{"from": "2026-01-01", "to": "2026-03-31"})

    assert page.count("<section>") == 5
    assert 'aria-label="Spent: $28.50; Scrapped: $0.00"' in page
    assert "2026-01-01 to 2026-03-31" in page


@pytest.mark.parametrize(
    ("period", "sentence"),
    [
        ({"from": "someday"}, "“someday” is not a date."),
        ({"from": "2026-03-01", "to": "2026-02-01"}, "is before the period begins"),
        ({"from": "2001-01-01", "to": "2020-01-01"}, "at most five years long"),
        ({"to": "2999-01-01"}, "is still to come"),
        ({"to": "1899-12-31"}, "1899-12-31 was read; a period ends on 1900-01-01 or later."),
    ],
)
def test_a_period_that_cannot_be_is_refused_with_a_sentence(client_of, period, sentence):
    page = meeting(client_of, **period)

    assert sentence in page
    assert "<section>" not in page


@pytest.mark.parametrize("day", ["0001-01-01", "0001-03-01", "9999-12-31", "9999-10-01"])
@pytest.mark.parametrize("names", [("from",), ("to",), ("from", "to")])
def test_a_period_at_the_end_of_the_calendar_is_shown_or_refused_in_words(client_of, day, names):
    assert client_of("purchasing").get(reverse("meeting"), dict.fromkeys(names, day)).status_code == 200
