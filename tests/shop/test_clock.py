"""Time as a shop has it: its own zone, a clock that is set back, and both ends of daylight saving."""

import uuid
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.urls import reverse
from django.utils import timezone

from inventory.models import Count, Inspection, Loan, ShopFigures, Tool
from shop import environment
from tests import factories

NOON = datetime(2026, 5, 12, 12, tzinfo=UTC)
# New York's clocks go from 2:00 to 3:00 on 2026-03-08 and from 2:00 back to 1:00 on 2026-11-01, at 7:00 and 6:00 UTC.
SPRING, AUTUMN = datetime(2026, 3, 8, 6, 50, tzinfo=UTC), datetime(2026, 11, 1, 5, 50, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


@pytest.fixture
def clock(monkeypatch):
    """Sets the clock of the machine to this moment."""
    yield lambda moment: monkeypatch.setattr(timezone, "now", lambda: moment)
    timezone.deactivate()


@pytest.fixture
def browser(client_of, keeper):
    return client_of(keeper)


def issued(browser, tool):
    browser.post(reverse("tool_issue", args=[tool.tag]), {"token": uuid.uuid4()})
    return Loan.objects.open().get(tool=tool)


@pytest.mark.parametrize(("before", "after"), [
    (NOON, NOON - HOUR), (NOON, NOON - DAY), (SPRING, SPRING + HOUR / 3), (AUTUMN, AUTUMN + HOUR / 3),
    (AUTUMN + HOUR / 3, AUTUMN),
], ids=["an hour back", "a day back", "spring", "autumn", "autumn and back"])  # fmt: skip
class TestMovedClock:
    @pytest.fixture(autouse=True)
    def _in_new_york(self, settings):
        settings.TIME_ZONE, settings.TIME_ZONE_IS_FIXED = "America/New_York", True

    def test_every_piece_is_returned_and_issued_again(self, browser, clock, before, after):
        tool = factories.collet(tag="C-1")
        clock(before)
        loan = issued(browser, tool)
        clock(after)

        answer = browser.post(reverse("tool_return", args=[tool.tag]), {"token": loan.token})

        loan.refresh_from_db()
        assert answer.status_code == 302
        assert loan.returned_at == max(before, after)
        assert issued(browser, tool)
        assert browser.get(reverse("tool", args=[tool.tag])).status_code == 200
        assert browser.get(reverse("tool_history", args=[tool.tag])).status_code == 200

    def test_a_drawer_is_counted_to_its_end(self, browser, clock, before, after):
        tool = factories.collet(tag="C-1", location="A2")
        clock(before)
        browser.post(reverse("count_begin", args=[tool.location.pk]))
        count = Count.objects.get()
        clock(after)

        browser.post(reverse("count_say", args=[count.pk]), {"answer": "here", "piece": tool.pk})
        answer = browser.post(reverse("count_close", args=[count.pk]))

        count.refresh_from_db()
        assert answer.status_code == 302
        assert not count.is_open
        assert count.lines.get().answer == "here"

    def test_a_piece_is_inspected_and_edited(self, browser, clock, before, after):
        clock(before)
        tool = factories.collet(tag="C-1", tir="0.0002", inspected_on=timezone.localdate(before))
        clock(after)
        form = browser.get(reverse("inspect", args=[tool.tag])).context["form"]
        sent = {name: value for name, value in form.initial.items() if value is not None}

        answer = browser.post(reverse("inspect", args=[tool.tag]), {**sent, "token": uuid.uuid4(), "tir": ".0004"})
        edited = browser.post(
            reverse("tool_edit", args=[tool.tag]),
            {"tag": "C-1", "series": "5C", "shape": "round", "size": "3/4", "condition": "worn", "tir": ".0002",
             "inspected_on": timezone.localdate(before).isoformat()},
        )  # fmt: skip

        assert answer.status_code == edited.status_code == 302
        assert Inspection.objects.filter(tool=tool).count() >= 2
        assert Tool.objects.get(pk=tool.pk).condition == "worn"

    def test_what_somebody_else_changed_meanwhile_is_still_seen(self, browser, clock, before, after):
        clock(before)
        lathe = factories.lathe("Lathe A")
        drawn = browser.get(reverse("lathe_edit", args=[lathe.pk])).context["drawn_from"].initial or {}
        drawn_from = lathe.history.order_by("-history_id").first().history_id
        clock(after)
        lathe.name = "Lathe B"
        lathe.save()

        page = browser.post(
            reverse("lathe_edit", args=[lathe.pk]), {**drawn, "drawn_from": drawn_from, "name": "Lathe C"}
        )

        lathe.refresh_from_db()
        assert "Changed meanwhile" in page.content.decode()
        assert lathe.name == "Lathe B"


def test_the_day_begins_when_it_does_where_the_shop_is(client_of, clock, settings):
    settings.TIME_ZONE_IS_FIXED = False
    clock(datetime(2026, 5, 12, 23, 30, tzinfo=UTC))
    browser = client_of("administrator")
    factories.loan(factories.collet(tag="C-1"), at=NOON, due_on=NOON.date())
    settings.TIME_ZONE = "UTC"
    assert browser.get(reverse("due")).context["overdue"].count == 0

    browser.post(reverse("the_shop"), {"time_zone": "asia/tokyo"})
    page = browser.get(reverse("due"))

    assert ShopFigures.objects.now().time_zone == "Asia/Tokyo"
    assert timezone.localdate() == NOON.date() + DAY
    assert page.context["overdue"].count == 1


def test_what_is_no_zone_is_refused_in_a_sentence(client_of):
    page = client_of("administrator").post(reverse("the_shop"), {"time_zone": "Middle Earth"}).content.decode()

    assert "“Middle_Earth” is no time zone here." in page
    assert ShopFigures.objects.now().time_zone == ""


def test_the_environment_counts_before_what_was_chosen(client_of, settings):
    ShopFigures.objects.create(time_zone="Asia/Tokyo")
    settings.TIME_ZONE, settings.TIME_ZONE_IS_FIXED = "Europe/Vienna", True

    page = client_of("administrator").get(reverse("the_shop")).content.decode()

    assert "It is set to Europe/Vienna" in page
    assert timezone.get_current_timezone_name() == "Europe/Vienna"


def test_a_zone_of_a_restored_book_that_is_not_known_here_stops_nothing(client_of, settings):
    settings.TIME_ZONE_IS_FIXED = False
    ShopFigures.objects.create(time_zone="Mars/Olympus")

    assert client_of("machinist").get(reverse("desk")).status_code == 200


def test_the_zone_of_the_environment_is_checked_at_the_start(monkeypatch):
    monkeypatch.setenv("TIME_ZONE", "America/Chicago")
    assert environment.time_zone() == ("America/Chicago", True)
    for wrong in ("Chicago", "../etc/passwd", "/etc/localtime"):
        monkeypatch.setenv("TIME_ZONE", wrong)
        with pytest.raises(ImproperlyConfigured, match="TIME_ZONE is"):
            environment.time_zone()


def test_without_one_the_machine_s_own_counts(monkeypatch):
    monkeypatch.delenv("TIME_ZONE", raising=False)
    name, is_fixed = environment.time_zone()

    assert ZoneInfo(name)
    assert not is_fixed
