"""What is due and why: on the desk, on its page and on the command line."""

import json
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from inventory.inspections import waiting
from inventory.inspections.due import inspections_due
from inventory.measures.lengths import parse
from inventory.models import Kind, ShopFigures
from tests import factories

TODAY = date(2026, 6, 1)


def why(tool, today=TODAY):
    """The reasons why this piece is due, None where it is not."""
    return next((due.why for due in inspections_due(today=today) if due.pk == tool.pk), None)


def issue_times(tool, times, *, on):
    for _ in range(times):
        at = datetime(on.year, on.month, on.day, 12, tzinfo=UTC)
        loan = factories.loan(tool, at=at)
        type(loan).objects.filter(pk=loan.pk).update(returned_at=at)


@pytest.fixture(autouse=True)
def limits(db):
    """Whatever the table says: 5C collets may run out 0.001 in, and are inspected every year or after 50 issues."""
    return factories.limits(series="5C", limit="0.001", every_days=365, every_uses=50)


@pytest.fixture
def keepers_browser(client_of, keeper):
    return client_of(keeper)


@pytest.mark.parametrize(("days", "is_due"), [(364, False), (365, True), (366, True)])
def test_a_piece_is_due_when_its_interval_is_over(days, is_due, db):
    tool = factories.collet(tir="0.0003", inspected_on=TODAY - timedelta(days=days))

    assert (why(tool) is not None) is is_due


def test_a_collet_that_nobody_looked_at_is_due(db):
    assert why(factories.collet()) == "no dated inspection yet"


def test_what_has_no_interval_is_never_due(db):
    assert why(factories.piece(Kind.LATHE_DOG)) is None


@pytest.mark.parametrize(("times", "is_due"), [(49, False), (50, True)])
def test_a_piece_is_due_after_so_many_issues(times, is_due, db):
    tool = factories.collet(tir="0.0003", inspected_on=TODAY - timedelta(days=30))
    issue_times(tool, 60, on=TODAY - timedelta(days=40))
    issue_times(tool, times, on=TODAY - timedelta(days=20))

    assert (why(tool) is not None) is is_due


def test_a_good_piece_over_its_limit_is_due(db):
    good = factories.collet(tir="0.0012", inspected_on=TODAY)
    worn = factories.collet(tir="0.0012", inspected_on=TODAY, condition="worn")

    assert "over its limit of 0.0010 in" in why(good)
    assert why(worn) is None


def test_a_piece_is_due_two_weeks_before_its_forecast(db):
    tool = factories.collet()
    factories.wearing(tool, "0.0003", "0.0004", "0.0005", "0.0006", "0.0007", "0.0008", last_on=TODAY)
    earliest = TODAY + timedelta(days=180)  # a tenth in 90 days, and two more to go

    assert why(tool, earliest - timedelta(days=15)) is None
    assert "its limit is forecast for" in why(tool, earliest - timedelta(days=14))


@pytest.mark.parametrize(
    "columns",
    [{"condition": "damaged"}, {"missing_since": TODAY}, {"retired_at": timezone.now()}],
    ids=["damaged", "missing", "retired"],
)
def test_what_is_not_in_service_is_not_due(columns, db):
    assert why(factories.collet(**columns)) is None


def test_the_most_urgent_stands_first(db):
    never = factories.collet(tag="C-1")
    late = factories.collet(tag="C-2", tir="0.0003", inspected_on=TODAY - timedelta(days=400))
    later = factories.collet(tag="C-3", tir="0.0003", inspected_on=TODAY - timedelta(days=500))
    over = factories.collet(tag="C-4", tir="0.002", inspected_on=TODAY)

    assert [due.pk for due in inspections_due(today=TODAY)] == [over.pk, later.pk, late.pk, never.pk]


def test_many_pieces_that_are_due_take_no_more_queries(db, django_assert_num_queries, django_assert_max_num_queries):
    factories.wearing(factories.collet(), "0.0003", "0.0004", "0.0005", "0.0006", "0.0007")
    with django_assert_max_num_queries(6) as few:
        inspections_due(today=TODAY)
    for _ in range(5):
        factories.wearing(factories.collet(), "0.0003", "0.0004", "0.0005", "0.0006", "0.0007")
    with django_assert_num_queries(len(few)):
        inspections_due(today=TODAY)


def test_a_forecast_follows_a_new_inspection_and_a_new_limit(limits):
    tool = factories.collet()
    factories.wearing(tool, "0.0003", "0.0004", "0.0005", "0.0006", "0.0007", "0.0008", last_on=TODAY)
    day = TODAY + timedelta(days=170)
    assert "forecast" in why(tool, day)

    limits.limit = parse("0.005")
    limits.save()
    assert why(tool, day) is None

    limits.limit = parse("0.001")
    limits.save()
    tool.record(tir=parse("0.0003"), taken_on=TODAY + timedelta(days=1), by=None, is_bare=True)
    assert why(tool, day) is None


def test_all_that_is_due_is_told_once_the_most_urgent_first(db):
    pieces = [
        factories.collet(tag="C-1", tir="0.0012", inspected_on=TODAY),
        factories.collet(tag="C-2", tir="0.0003", inspected_on=TODAY - timedelta(days=400)),
        factories.collet(tag="C-3", tir="0.0012", inspected_on=TODAY - timedelta(days=500)),
        factories.chuck(tag="K-1", tir="0.0012", inspected_on=TODAY - timedelta(days=380)),
        factories.collet(tag="C-4"),
        factories.piece(Kind.LATHE_DOG),
    ]
    issue_times(pieces[1], 50, on=TODAY - timedelta(days=20))

    due = inspections_due(today=TODAY)

    assert [piece.tag for piece in due] == ["C-3", "C-1", "C-2", "K-1", "C-4"]
    assert [row.tool.tag for row in waiting.to_inspect(due[1:3])] == ["C-1", "C-2"]


def test_all_reasons_of_a_piece_are_said(db):
    tool = factories.collet(tir="0.0012", inspected_on=TODAY - timedelta(days=500))

    assert why(tool).startswith("called good, but reads")
    assert "; last inspected 2025-01-17; inspected every 365 days" in why(tool)


@pytest.mark.parametrize(("due_on", "is_late"), [(TODAY, False), (TODAY - timedelta(days=1), True), (None, False)])
def test_a_loan_is_overdue_from_the_day_after(due_on, is_late, db):
    factories.loan(factories.collet(), due_on=due_on)

    assert waiting.overdue(today=TODAY).exists() is is_late


def test_the_command_prints_lists_for_programs(db, capsys, machinist):
    today = timezone.localdate()
    factories.loan(
        factories.collet(tag="C-1", tir="0.0003", inspected_on=today), to=machinist, due_on=today - timedelta(days=2)
    )
    factories.collet(tag="C-2", missing_since=today)
    factories.closer(tag="H-1", through=None, tir="0.0001", inspected_on=today)
    factories.collet(tag="C-3")

    call_command("due", "--json")
    lists = json.loads(capsys.readouterr().out)

    assert {name: [row["tag"] for row in rows] for name, rows in lists.items()} == {
        "inspections": ["C-3"],
        "out": ["C-1"],
        "overdue": ["C-1"],
        "missing": ["C-2"],
        "details_missing": ["H-1"],
    }
    assert lists["overdue"][0] == {
        "tag": "C-1",
        "what": "3/4 round 5C collet",
        "why": f"out to {machinist}, was expected back {today - timedelta(days=2)}",
        "since": f"{today - timedelta(days=2)}",
    }


def test_the_command_says_the_same_in_words(db, capsys):
    factories.collet(tag="C-3")

    call_command("due")
    said = capsys.readouterr().out

    assert "To inspect: 1\n  C-3  3/4 round 5C collet: no dated inspection yet\n" in said
    assert "Overdue: nothing" in said


def test_what_is_due_is_told_with_its_reason(keepers_browser, machinist):
    factories.collet(tag="C-0003")
    factories.loan(factories.collet(tag="C-0004"), to=machinist, due_on=date(2026, 2, 1))

    late = {"desk": "expected back 2026-02-01", "due": '<td data-head="was due"><span class="tag-word out">2026-02-01<'}
    for name in ("desk", "due"):
        page = keepers_browser.get(reverse(name)).content.decode()
        assert "no dated inspection yet" in page
        assert late[name] in page
        assert reverse("inspect", args=["C-0003"]) in page


def test_purchasing_is_offered_no_inspection(client_of):
    factories.collet(tag="C-0003")

    assert reverse("inspect", args=["C-0003"]) not in client_of("purchasing").get(reverse("due")).content.decode()


def test_what_is_due_is_put_in_order_by_the_heads_of_its_tables(keepers_browser):
    for tag, size in (("C-0001", "3/4"), ("C-0002", "1/4"), ("C-0003", "1/2")):
        factories.collet(size, tag=tag)

    page = keepers_browser.get(reverse("due"), {"order": "size"}).content.decode()

    assert page.index("C-0002") < page.index("C-0003") < page.index("C-0001")
    assert 'aria-sort="ascending"' in page


def test_what_is_due_is_narrowed_by_words_and_one_piece_stands_beside_it(keepers_browser):
    for tag, size in (("C-0001", "3/4"), ("C-0002", "1/4")):
        factories.collet(size, tag=tag, location="A2")

    page = keepers_browser.get(reverse("due"), {"text": "1/4 a2", "piece": "c-0002"}).content.decode()

    listed, beside = page.split('id="beside"')
    assert "C-0002" in listed and "C-0001" not in listed and "To inspect <small>1</small>" in listed
    assert "Runs as marked" in beside and reverse("inspect", args=["C-0002"]) in beside
    assert "None is like that." in keepers_browser.get(reverse("due"), {"text": "hex"}).content.decode()


def test_the_piece_beside_what_is_due_is_read_at_once(keepers_browser, django_assert_max_num_queries):
    factories.collet("3/4", tag="C-0001", location="A2")

    with django_assert_max_num_queries(14):
        keepers_browser.get(reverse("due"), {"piece": "C-0001"})


def test_what_reads_over_its_limit_now_has_no_forecast_from_readings_taken_otherwise(keepers_browser):
    tool = factories.collet(tag="C-0007")
    factories.wearing(tool, "0.0003", "0.0004", "0.0005", "0.0006", "0.0007", "0.0008", last_on=TODAY)
    assert "forecast for" in why(tool, TODAY + timedelta(days=170))
    factories.reading(tool, "0.0020", taken_on=TODAY + timedelta(days=1))

    assert "over its limit" in why(tool, TODAY + timedelta(days=170))
    assert "forecast for" not in why(tool, TODAY + timedelta(days=170))
    for name in ("tool", "wear"):
        assert "forecast for" not in keepers_browser.get(reverse(name, args=["C-0007"])).content.decode()


def test_a_command_says_its_days_in_iso_whatever_the_shop_writes(keeper, capsys):
    factories.loan(factories.collet(tag="C-0099"), at=datetime(2026, 3, 18, 12, tzinfo=UTC), due_on=date(2026, 3, 20))
    ShopFigures.objects.create(day_order="d.m.y", changed_by=keeper)

    call_command("due")

    said = capsys.readouterr().out
    assert "was expected back 2026-03-20" in said
    assert "20.03.2026" not in said


def test_who_goes_through_the_due_list_is_led_on_to_the_next_piece(keepers_browser):
    for tag in ("C-0091", "C-0092"):
        factories.collet(tag=tag, location="A2")
    address = reverse("inspect", args=["C-0091"]) + "?from=due"
    assert f'href="{address}"' in keepers_browser.get(reverse("due")).content.decode()
    sent = {"verdict": "good", "taken_on": timezone.localdate().isoformat(), "tir": ".0002"}

    page = keepers_browser.post(address, {**sent, "token": uuid4()}, follow=True).content.decode()
    assert "Inspect the next that is due: C-0092" in page and "drawer A2" in page

    following = reverse("inspect", args=["C-0092"]) + "?from=due"
    page = keepers_browser.post(following, {**sent, "token": uuid4()}, follow=True).content.decode()
    assert "No other piece is due" in page
