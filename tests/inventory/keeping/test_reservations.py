"""Pieces that are kept for a job: made, changed and lifted on the page of its sheet; asked about; lapsing by itself."""

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from inventory.keeping import reservations
from inventory.models import Loan, Reservation, SetupRun, Tool
from tests import factories

NOW = datetime(2026, 5, 12, 12, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


@pytest.fixture
def tool(db):
    return factories.collet(tag="C-0011", location="A2")


@pytest.fixture
def browser(client_of, machinist):
    return client_of(machinist)


@pytest.fixture
def clock(monkeypatch):
    yield lambda moment: monkeypatch.setattr(timezone, "now", lambda: moment)
    timezone.deactivate()


def text(answer):
    return " ".join(answer.content.decode().split())


def tomorrow():
    return (timezone.localdate() + DAY).isoformat()


def reserve(browser, sheet, *, day=None, at="7:00", lasts="24", tap="", token=None):
    address = reverse("setup_reserve", args=[sheet.pk]) + (f"?tap={tap}" if tap else "")
    sent = {"day": day or tomorrow(), "at": at, "lasts": lasts, "token": token or tap or uuid.uuid4()}
    return browser.post(address, sent, follow=True)


def take(browser, tool, **more):
    address = reverse("tool_issue", args=[tool.tag])
    return browser.post(address, {"token": uuid.uuid4(), **more}, follow=True)


def standing(tool, *, at=None):
    return list(tool.reservations.standing(at=at or timezone.now()))


# Made, changed, lifted ------------------------------------------------------------------------------------------------


def test_all_pieces_of_a_sheet_are_reserved_in_one_tap(tool, browser, machinist):
    chuck = factories.chuck(tag="K-1")
    sheet = factories.setup_sheet(tool, chuck, title="Idler shaft")

    page = text(reserve(browser, sheet))

    assert "Reserved from tomorrow 7:00 on: C-0011, K-1." in page
    rows = Reservation.objects.all()
    assert {(row.tool.tag, row.reserved_by, timezone.localtime(row.starts_at).hour) for row in rows} == {
        ("C-0011", machinist, 7),
        ("K-1", machinist, 7),
    }


def test_what_cuts_is_reserved_with_what_holds(tool, browser):
    sheet = factories.setup_sheet(tool)
    cutter, holder = factories.piece("turning tool", tag="T-1"), factories.piece("tool-post holder", tag="H-1")
    sheet.operations.create(order=1, does="turning", tool=cutter, holder=holder)

    reserve(browser, sheet)

    assert {row.tool.tag for row in Reservation.objects.all()} == {"C-0011", "H-1", "T-1"}


def test_a_tap_that_is_sent_again_reserves_once(tool, browser):
    sheet, token = factories.setup_sheet(tool), uuid.uuid4()

    reserve(browser, sheet, token=token)
    reserve(browser, sheet, token=token)

    assert Reservation.objects.count() == 1


def test_what_is_not_free_is_said_with_why(tool, browser, keeper):
    lent, scrapped = factories.chuck(tag="K-1"), factories.chuck(tag="K-2", condition="scrapped")
    factories.loan(lent, to=keeper)
    factories.reservation(tool, sheet=factories.setup_sheet(tool, title="Gland nut"), by=keeper)
    sheet = factories.setup_sheet(tool, lent, scrapped)

    page = text(reserve(browser, sheet, day=(timezone.localdate() + DAY).isoformat(), lasts="72"))

    assert f"K-1 is out to {keeper}. It is reserved all the same." in page
    assert "K-2 is scrapped, and is not reserved." in page
    assert "C-0011 is reserved for Gland nut, tomorrow" in page
    assert [row.tool.tag for row in sheet.reservations.all()] == ["K-1"]


def test_a_piece_waits_for_one_job_in_the_morning_and_for_another_in_the_afternoon(tool, browser):
    first, second = factories.setup_sheet(tool), factories.setup_sheet(tool)

    reserve(browser, first, at="7:00", lasts="8")
    reserve(browser, second, at="3 pm", lasts="8")

    assert [timezone.localtime(row.starts_at).hour for row in standing(tool)] == [7, 15]


@pytest.mark.parametrize(("at", "says"), [
    ("25:00", "“25:00” is not a time of day. Write it like 7:00, 15:30 or 3:30 pm."),
    ("13 pm", "“13 pm” is not a time"), ("early", "“early” is not a time"), ("7:61", "“7:61” is not a time"),
])  # fmt: skip
def test_what_is_no_time_of_day_is_said_and_nothing_is_reserved(at, says, tool, browser):
    page = text(reserve(browser, factories.setup_sheet(tool), at=at))

    assert says in page
    assert not Reservation.objects.exists()


@pytest.mark.parametrize(("typed", "hour", "minute"), [
    ("7", 7, 0), ("7.30", 7, 30), ("15:05", 15, 5), ("12 am", 0, 0), ("12:30 pm", 12, 30), ("3 PM", 15, 0),
])  # fmt: skip
def test_a_time_is_read_as_a_shop_writes_it(typed, hour, minute, tool, browser):
    reserve(browser, factories.setup_sheet(tool), at=typed)

    begins = timezone.localtime(Reservation.objects.get().starts_at)
    assert (begins.hour, begins.minute) == (hour, minute)


def test_what_would_be_over_already_is_refused(tool, browser):
    page = text(reserve(browser, factories.setup_sheet(tool), day="2020-01-01"))

    assert "From: 2020-01-01 7:00 is over." in page
    assert not Reservation.objects.exists()


def test_a_reservation_is_put_to_another_time_with_all_its_pieces(tool, browser):
    sheet = factories.setup_sheet(tool, factories.chuck())
    reserve(browser, sheet)
    token = Reservation.objects.first().token

    page = text(reserve(browser, sheet, at="15:00", tap=token))

    assert "It is reserved from tomorrow 15:00 on." in page
    assert {timezone.localtime(row.starts_at).hour for row in Reservation.objects.all()} == {15}


def test_a_change_into_the_time_of_another_job_changes_nothing(tool, browser):
    sheet, other = factories.setup_sheet(tool), factories.setup_sheet(tool, title="Gland nut")
    reserve(browser, sheet, lasts="8")
    reserve(browser, other, at="15:00", lasts="8")
    token = sheet.reservations.get().token

    page = text(reserve(browser, sheet, at="14:00", lasts="8", tap=token))

    assert "Nothing was changed: C-0011 is reserved for Gland nut, tomorrow 15:00." in page
    assert timezone.localtime(sheet.reservations.get().starts_at).hour == 7


def test_a_lifted_reservation_frees_the_same_hour_for_another_job(tool, browser, machinist):
    sheet, other = factories.setup_sheet(tool), factories.setup_sheet(tool)
    reserve(browser, sheet)

    page = text(
        browser.post(
            reverse("setup_unreserve", args=[sheet.pk]), {"token": sheet.reservations.get().token}, follow=True
        )
    )

    assert "1 piece is not reserved any more." in page
    assert sheet.reservations.get().lifted_by == machinist
    reserve(browser, other)
    assert [row.sheet for row in standing(tool)] == [other]


# Lapsing --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("after", "stands"), [(DAY - HOUR, True), (DAY, False), (DAY + HOUR, False)])
def test_a_reservation_lapses_by_itself(after, stands, tool):
    row = factories.reservation(tool, starts_at=NOW)

    assert (standing(tool, at=NOW + after) == [row]) is stands


def test_a_job_whose_run_is_written_down_wants_nothing_more(tool, machinist):
    row = factories.reservation(tool, starts_at=timezone.now() - HOUR)
    assert standing(tool) == [row]

    SetupRun.objects.create(
        sheet=row.sheet,
        ran_on=timezone.localdate(),
        parts=4,
        setup_hundredths=100,
        written_by=machinist,
        token=uuid.uuid4(),
    )

    assert standing(tool) == []


def test_an_archived_sheet_wants_nothing_and_is_not_in_the_way(tool, browser):
    sheet, other = factories.setup_sheet(tool), factories.setup_sheet(tool)
    reserve(browser, sheet)
    browser.post(reverse("setup_put_away", args=[sheet.pk]))

    reserve(browser, other)

    assert [row.sheet for row in standing(tool)] == [other]


def test_what_was_issued_for_its_job_and_came_back_is_free(tool, browser, client_of, keeper):
    sheet = factories.setup_sheet(tool)
    reserve(client_of(keeper), sheet)
    browser.post(reverse("setup_issue", args=[sheet.pk]), {"token": uuid.uuid4()})
    Loan.objects.open().end(by=keeper, at=timezone.now())

    assert standing(tool) == []


@pytest.mark.parametrize("back", [HOUR, DAY, 40 * DAY])
def test_a_clock_that_is_set_back_loses_no_reservation_and_lifts_and_takes_it(back, tool, browser, clock):
    sheet = factories.setup_sheet(tool)
    clock(NOW)
    reserve(browser, sheet, day="2026-05-13")
    clock(NOW - back)

    assert len(standing(tool)) == 1
    page = text(browser.post(reverse("setup_issue", args=[sheet.pk]), {"token": uuid.uuid4()}, follow=True))

    assert "Issued to you: C-0011." in page
    assert Reservation.objects.get().taken_at == NOW - back


@pytest.mark.parametrize(("day", "begins"), [
    ("2026-03-08", datetime(2026, 3, 8, 11, tzinfo=UTC)), ("2026-03-07", datetime(2026, 3, 7, 12, tzinfo=UTC)),
    ("2026-11-01", datetime(2026, 11, 1, 12, tzinfo=UTC)),
], ids=["summer time begins", "before it", "it ends"])  # fmt: skip
def test_seven_is_seven_on_the_clock_of_the_shop(day, begins, tool, browser, clock, settings):
    settings.TIME_ZONE, settings.TIME_ZONE_IS_FIXED = "America/New_York", True
    clock(datetime(2026, 3, 6, 12, tzinfo=UTC))

    reserve(browser, factories.setup_sheet(tool), day=day)

    row = Reservation.objects.get()
    assert (row.starts_at, row.lapses_at) == (begins, begins + DAY)


# Issuing --------------------------------------------------------------------------------------------------------------


@pytest.fixture
def wanted(tool, keeper):
    """The piece, which a keeper's job wants from tomorrow on."""
    sheet = factories.setup_sheet(tool, title="Idler shaft", by=keeper)
    row = factories.reservation(tool, sheet=sheet, by=keeper)
    return tool, row


def test_a_piece_that_another_job_wants_takes_one_more_tap(wanted, browser, keeper):
    tool, row = wanted
    page = take(browser, tool)

    assert f"reserved for Idler shaft , tomorrow {timezone.localtime(row.starts_at):%-H:%M} , by {keeper}" in plain(
        page
    )
    assert not Loan.objects.exists()

    page = text(take(browser, tool, agreed=row.pk))

    assert "C-0011 is issued to you." in page
    assert standing(tool) == [row], "the job still waits for it"


def plain(answer):
    """The words of a page without its marks."""
    import re

    return " ".join(re.sub("<[^>]*>", " ", answer.content.decode()).split())


def test_the_page_that_asks_sends_again_all_that_was_said(wanted, browser):
    tool, row = wanted
    page = take(browser, tool, back_in="3", next="/?size=.75")

    sent = dict(page.context["sent"])
    assert sent["back_in"] == "3"
    assert sent["next"] == "/?size=.75"
    assert sent["agreed"] == str(row.pk)
    browser.post(reverse("tool_issue", args=[tool.tag]), sent)
    assert Loan.objects.get().due_on == timezone.localdate() + 3 * DAY


def test_another_reservation_that_was_made_meanwhile_is_asked_about_too(wanted, browser):
    tool, row = wanted
    later = factories.reservation(tool, starts_at=row.lapses_at)

    page = take(browser, tool, agreed=row.pk)

    assert not Loan.objects.exists()
    assert [asked.reservation for asked in page.context["rows"]] == [later]


def test_whose_job_it_is_is_not_asked(wanted, client_of, keeper):
    tool, _ = wanted

    page = text(take(client_of(keeper), tool))

    assert "C-0011 is issued to you." in page


def test_whoever_takes_it_for_that_job_is_not_asked_and_the_loan_knows_it(wanted, browser):
    tool, row = wanted

    page = text(take(browser, tool, sheet=row.sheet.pk))

    assert "C-0011 is issued to you for Idler shaft." in page
    assert Loan.objects.get().sheet == row.sheet
    assert standing(tool) == []


@pytest.mark.parametrize(("days", "is_asked"), [(2, True), (3.1, False), (10, False)])
def test_only_what_a_job_wants_within_three_days_is_asked_about(days, is_asked, tool, browser):
    factories.reservation(tool, starts_at=timezone.now() + days * DAY)

    take(browser, tool)

    assert Loan.objects.exists() is not is_asked


def test_a_piece_that_is_to_come_back_after_a_job_wants_it_is_asked_about(tool, browser):
    factories.reservation(tool, starts_at=timezone.now() + 5 * DAY)

    take(browser, tool, back_in="7")

    assert not Loan.objects.exists()


def test_of_a_drawer_the_free_pieces_are_issued_and_the_others_asked_about(wanted, browser):
    tool, row = wanted
    free = factories.collet("1/2", tag="C-2", location="A2")
    address = reverse("place_issue", args=[tool.location_id])

    page = browser.post(address, {"token": uuid.uuid4(), "piece": [tool.pk, free.pk]})

    assert "Issued to you: C-2." in text(page)
    assert [asked.reservation for asked in page.context["rows"]] == [row]
    browser.post(address, dict(page.context["sent"]))
    assert set(Loan.objects.values_list("tool__tag", flat=True)) == {"C-0011", "C-2"}


def test_a_sheet_asks_before_it_takes_what_another_job_wants(wanted, browser):
    tool, row = wanted
    sheet = factories.setup_sheet(tool, factories.chuck(tag="K-1"))
    address = reverse("setup_issue", args=[sheet.pk])

    page = browser.post(address, {"token": uuid.uuid4()})

    assert list(Loan.objects.values_list("tool__tag", "sheet")) == [("K-1", sheet.pk)]
    browser.post(address, dict(page.context["sent"]))
    assert Loan.objects.get(tool=tool).sheet == sheet


def test_a_piece_that_is_out_says_so_and_asks_nothing(wanted, browser, keeper):
    tool, _ = wanted
    factories.loan(tool, to=keeper)

    assert f"C-0011 is out to {keeper} already" in text(take(browser, tool))


def test_nonsense_that_was_agreed_to_is_no_fault(wanted, browser):
    tool, _ = wanted

    assert take(browser, tool, agreed=["-1", "", "all", "9" * 40, "9" * 5_000]).status_code == 200
    assert not Loan.objects.exists()


def test_the_history_of_a_piece_tells_its_jobs(wanted, client_of, keeper):
    tool, row = wanted
    take(client_of(keeper), tool, sheet=row.sheet.pk)

    told = text(client_of(keeper).get(reverse("tool_history", args=[tool.tag])))

    assert f"issued to {keeper} for {row.sheet}" in told
    assert f"reserved for {row.sheet} from" in told


def test_two_who_reserve_one_piece_at_once_never_both_have_it(tool, machinist, keeper):
    """The second waits for the lock of the first; past that, the database refuses the same moment twice."""
    starts = timezone.now() + DAY
    both = {"starts_at": starts, "lapses_at": starts + DAY, "at": timezone.now()}
    with transaction.atomic():
        first = reservations.reserve(factories.setup_sheet(tool), [tool], by=machinist, token=uuid.uuid4(), **both)
        second = reservations.reserve(factories.setup_sheet(tool), [tool], by=keeper, token=uuid.uuid4(), **both)

    assert [one.tag for one in first.reserved] == ["C-0011"]
    assert second.reserved == []
    assert Tool.objects.get().reservations.count() == 1


# Laying out -----------------------------------------------------------------------------------------------------------


def test_tomorrows_jobs_are_laid_out_by_drawer_with_who_has_what_is_not_there(tool, browser, keeper):
    first, lent = factories.chuck(tag="K-9", location="A1"), factories.chuck(tag="K-1", location="B2")
    sheet = factories.setup_sheet(tool, lent, first, title="Idler shaft")
    reserve(browser, sheet)
    factories.loan(lent, to=keeper)

    page = browser.get(reverse("lay_out"))

    (job,) = page.context["jobs"]
    assert [(piece.tool.tag, piece.place, piece.but) for piece in job.pieces] == [
        ("K-9", "A1", ""), ("C-0011", "A2", ""), ("K-1", "B2", f"out to {keeper}"),
    ]  # fmt: skip
    assert "Tomorrow's jobs" in page.content.decode().replace("&#39;", "'")
    assert "drawer A2 · C-0011" in plain(page)


def test_another_day_is_laid_out_by_its_date_and_what_is_no_day_is_said(tool, browser):
    reserve(browser, factories.setup_sheet(tool))

    assert browser.get(reverse("lay_out"), {"day": timezone.localdate().isoformat()}).context["jobs"] == []
    for nonsense in ("soon", "9999-12-31", "0001-01-01"):
        assert f"“{nonsense}” is not a day." in text(browser.get(reverse("lay_out"), {"day": nonsense}))


# Shown ------------------------------------------------------------------------------------------------------------


def test_the_page_of_a_piece_says_which_job_it_waits_for(tool, browser):
    factories.reservation(tool, sheet=factories.setup_sheet(tool, title="Idler shaft"), by=factories.user(name="pat"))
    page = text(browser.get(tool.get_absolute_url()))

    assert "reserved</span> for" in page and "Idler shaft" in page and "by pat" in page


def test_mine_names_the_jobs_that_one_has_reserved_for(tool, browser, machinist):
    sheet = factories.setup_sheet(tool, title="Idler shaft")
    factories.reservation(tool, sheet=sheet, by=factories.user(name="pat"))
    assert "Reserved for your jobs" not in text(browser.get(reverse("my_pieces")))

    reserve(browser, factories.setup_sheet(factories.chuck(tag="K-0082"), title="Bushing"))
    page = text(browser.get(reverse("my_pieces")))
    assert "Bushing</b></a>, tomorrow 7:00" in page and "K-0082" in page and "Idler shaft" not in page


# Two jobs on one lathe ------------------------------------------------------------------------------------------------


def test_two_jobs_that_want_one_lathe_at_one_time_are_remarked(browser):
    lathe = factories.lathe("Lathe 1")
    shaft = factories.setup_sheet(factories.chuck(), title="Idler shaft", lathe=lathe, setup_hundredths=9000)
    bush = factories.setup_sheet(factories.chuck(), title="Bushing", lathe=lathe)
    reserve(browser, shaft)

    assert "Lathe 1 is wanted then for Idler shaft too, from tomorrow 7:00 on." in text(
        reserve(browser, bush, at="8:00")
    )
    laid_out = text(browser.get(reverse("lay_out")))
    assert "wanted then for Idler shaft too" in laid_out and "wanted then for Bushing too" in laid_out


def test_a_job_after_the_planned_end_of_another_is_not_remarked(browser):
    lathe = factories.lathe("Lathe 1")
    shaft = factories.setup_sheet(factories.chuck(), lathe=lathe, setup_hundredths=9000)
    reserve(browser, shaft)

    later = factories.setup_sheet(factories.chuck(), lathe=lathe)
    assert "is wanted then" not in text(reserve(browser, later, at="8:30"))
