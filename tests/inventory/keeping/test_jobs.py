"""What a job took, told by its sheet: loans, readings and damage while it had the pieces, and what that costs."""

import uuid
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.keeping.jobs import job_report
from inventory.measures.lengths import parse
from inventory.models import Inspection, Loan, SetupRun
from tests import factories

HOUR = timedelta(hours=1)


@pytest.fixture
def tool(db):
    return factories.collet(tag="C-0011", location="A2")


@pytest.fixture
def now():
    return timezone.now()


def had(tool, sheet, *, since, until=None, by=None):
    loan = factories.loan(tool, at=since, sheet=sheet, to=by)
    if until is not None:
        Loan.objects.filter(pk=loan.pk).update(returned_at=until, returned_by=loan.borrower)
    return loan


def inspected(tool, *, at, **fields):
    made = Inspection.objects.create(**{"tool": tool, "taken_on": timezone.localdate(at), "note": "seen", **fields})
    Inspection.objects.filter(pk=made.pk).update(recorded_at=at)
    return made


def words(report):
    return [found.words for one in report.loans for found in one.inspections]


def test_what_was_read_while_the_job_had_it_stands_with_what_it_read_before(tool, now):
    sheet = factories.setup_sheet(tool)
    inspected(tool, at=now - 50 * HOUR, tir=parse("0.0004"))
    had(tool, sheet, since=now - 10 * HOUR, until=now - 8 * HOUR)
    inspected(tool, at=now - 9 * HOUR, tir=parse("0.0009"))

    report = job_report(sheet, at=now)

    assert words(report) == ["0.0009 in TIR, before 0.0004 in; seen"]
    assert [one.minutes for one in report.loans] == [120]


@pytest.mark.parametrize(("after", "counts"), [(11, True), (12, True), (13, False)])
def test_what_is_found_within_a_shift_after_it_came_back_is_of_the_job(after, counts, tool, now):
    sheet = factories.setup_sheet(tool)
    had(tool, sheet, since=now - 40 * HOUR, until=now - 30 * HOUR)
    inspected(tool, at=now - 30 * HOUR + after * HOUR, verdict="damaged")

    assert bool(job_report(sheet, at=now).spoiled) is counts


def test_what_the_next_one_to_have_it_did_is_not_of_the_job(tool, now):
    sheet, other = factories.setup_sheet(tool), factories.setup_sheet(tool)
    had(tool, sheet, since=now - 10 * HOUR, until=now - 9 * HOUR)
    had(tool, other, since=now - 8 * HOUR, until=now - 7 * HOUR)
    inspected(tool, at=now - 6 * HOUR, verdict="damaged")

    assert job_report(sheet, at=now).spoiled == ()
    assert [one.tool for one in job_report(other, at=now).spoiled] == [tool]


def test_an_older_reading_that_is_written_down_during_the_job_is_not_of_it(tool, now):
    sheet = factories.setup_sheet(tool)
    had(tool, sheet, since=now - HOUR)
    inspected(tool, at=now, taken_on=date(2020, 1, 1))

    assert words(job_report(sheet, at=now)) == []


def test_damage_costs_what_another_piece_costs_where_a_price_is_known(tool, now):
    bare = factories.chuck(tag="K-1", cost_cents=None)
    sheet = factories.setup_sheet(tool, bare)
    factories.price("3/4", cents=3150)
    for piece in (tool, bare):
        had(piece, sheet, since=now - 2 * HOUR)
        inspected(piece, at=now - HOUR, verdict="damaged")

    report = job_report(sheet, at=now)

    assert report.unpriced == 1
    assert report.cents == 3150


def test_the_page_of_a_job_tells_loans_damage_and_runs(tool, now, client_of, machinist):
    sheet = factories.setup_sheet(tool, title="Idler shaft")
    had(tool, sheet, since=now - 2 * HOUR, until=now - HOUR, by=machinist)
    inspected(tool, at=now - HOUR / 2, verdict="damaged", note="Came back damaged.")
    SetupRun.objects.create(
        sheet=sheet, ran_on=timezone.localdate(), parts=4, setup_hundredths=2000, part_hundredths=500,
        written_by=machinist, token=uuid.uuid4(),
    )  # fmt: skip

    page = " ".join(client_of(machinist).get(reverse("setup_job", args=[sheet.pk])).content.decode().split())

    assert "Issued for it</dt><dd>1 time<" in page
    assert "1 run, 4 parts, 40 min" in page
    assert "called damaged; Came back damaged." in page
    assert "1 h" in page


def test_a_job_that_took_nothing_says_how_it_comes_about(client_of, db):
    page = client_of("machinist").get(reverse("setup_job", args=[factories.setup_sheet().pk])).content.decode()

    assert "Nothing was issued for this job yet." in page


def test_a_piece_is_issued_for_one_of_the_jobs_of_late(tool, client_of, machinist):
    sheet = factories.setup_sheet(title="Gland nut")
    gone = factories.setup_sheet(title="Old work", put_away_at=timezone.now())
    browser = client_of(machinist)
    page = browser.get(tool.get_absolute_url()).content.decode()
    assert "Gland nut" in page
    assert "Old work" not in page

    browser.post(reverse("tool_issue", args=[tool.tag]), {"token": uuid.uuid4(), "sheet": gone.pk})
    assert not Loan.objects.exists()
    browser.post(reverse("tool_issue", args=[tool.tag]), {"token": uuid.uuid4(), "sheet": sheet.pk})

    assert Loan.objects.get().sheet == sheet
    assert "for Gland nut" in browser.get(reverse("my_pieces")).content.decode()
