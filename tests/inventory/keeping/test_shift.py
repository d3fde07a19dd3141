"""From shift to shift: what is out, came back damaged, runs, waits, is over its limit; and notes, never edited."""

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.keeping.shift import since_when
from inventory.measures.lengths import parse
from inventory.models import Condition, Inspection, Loan, ShiftNote
from tests import factories

NOW = datetime(2026, 5, 12, 14, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture
def tool(db):
    return factories.collet(tag="C-0011", location="A2")


@pytest.fixture
def browser(client_of, machinist):
    return client_of(machinist)


def note(text, *, at=None, by=None):
    return ShiftNote.objects.create(text=text, written_by=by or factories.user(), written_at=at or timezone.now())


def report(browser, **asked):
    return browser.get(reverse("shift"), asked).context["report"]


def text(answer):
    return " ".join(answer.content.decode().split())


def test_what_is_out_stands_by_person_and_job_and_what_is_late_says_so(tool, browser, machinist):
    sheet = factories.setup_sheet(tool, title="Idler shaft")
    factories.loan(tool, to=machinist, sheet=sheet, due_on=timezone.localdate() - timedelta(days=1))

    page = browser.get(reverse("shift"))

    (person,) = page.context["report"].out
    assert (person.person, [piece.loan.tool.tag for piece in person.pieces]) == (machinist, ["C-0011"])
    assert person.pieces[0].is_late
    assert [row.sheet for row in page.context["report"].running] == [sheet]
    assert "Idler shaft" in text(page)


@pytest.mark.parametrize(("hours_ago", "is_told"), [(11, True), (13, False)])
def test_what_came_back_damaged_within_the_shift_says_from_whom_and_which_job(hours_ago, is_told, tool, browser):
    sheet = factories.setup_sheet(tool, title="Idler shaft")
    at = timezone.now() - hours_ago * HOUR
    loan = factories.loan(tool, at=at - HOUR, sheet=sheet)
    Loan.objects.filter(pk=loan.pk).update(returned_at=at, returned_by=loan.borrower)
    tool.record(tir=None, taken_on=timezone.localdate(), by=loan.borrower, verdict=Condition.DAMAGED, note="Cracked.")
    Inspection.objects.update(recorded_at=at)

    found = report(browser).damage

    assert [(row.inspection.tool, row.loan) for row in found] == ([(tool, loan)] if is_told else [])
    assert len(report(browser, hours="24").damage) == 1


def test_a_piece_called_damaged_twice_stands_once_by_what_was_said_last(tool, browser, keeper):
    tool.record(tir=None, taken_on=timezone.localdate(), by=keeper, verdict=Condition.DAMAGED, note="Came back so.")
    tool.record(tir=None, taken_on=timezone.localdate(), by=keeper, verdict=Condition.SCRAPPED, note="Cracked.")

    assert [row.inspection.note for row in report(browser).damage] == ["Cracked."]


def test_what_waits_says_from_when_and_who_has_a_piece_of_it(tool, browser, keeper):
    factories.reservation(tool, sheet=factories.setup_sheet(tool, title="Gland nut"))
    factories.reservation(starts_at=timezone.now() + timedelta(days=9))
    factories.loan(tool, to=keeper)

    (row,) = report(browser).waiting

    assert row.job.sheet.title == "Gland nut"
    assert row.when.startswith("tomorrow ")
    assert row.away == f"C-0011 is out to {keeper}"


def test_what_reads_over_its_limit_is_there(tool, browser, keeper):
    tool.record(tir=parse("0.02"), taken_on=timezone.localdate(), by=keeper)

    assert [row.tool for row in report(browser).over] == [tool]


def test_an_empty_shop_says_so(browser, db):
    page = text(browser.get(reverse("shift")))

    assert "Nothing is lent." in page
    assert "Nobody has written one." in page


# Notes ----------------------------------------------------------------------------------------------------------------


def test_a_note_stands_with_who_and_when_and_a_tap_that_is_sent_again_adds_none(browser, machinist):
    sent = {"token": uuid.uuid4(), "text": "The coolant pump of Lathe 2 drips."}

    browser.post(reverse("shift_note"), sent)
    page = browser.post(reverse("shift_note"), sent, follow=True)

    written = ShiftNote.objects.get()
    assert (written.written_by, written.text) == (machinist, sent["text"])
    assert "The coolant pump of Lathe 2 drips." in text(page)


def test_a_note_without_a_word_is_refused_and_says_so(browser, db):
    page = text(browser.post(reverse("shift_note"), {"token": uuid.uuid4(), "text": "  "}))

    assert "Write what the next shift has to know." in page
    assert not ShiftNote.objects.exists()


def test_a_note_cannot_be_made_to_run_anything(browser, db):
    browser.post(reverse("shift_note"), {"token": uuid.uuid4(), "text": "<script>x</script>"})

    assert "<script>x" not in browser.get(reverse("shift")).content.decode()


def test_notes_are_found_by_the_day_of_the_shop_and_by_words(browser, settings, db):
    settings.TIME_ZONE, settings.TIME_ZONE_IS_FIXED = "America/New_York", True
    note("Bar stock is short.", at=datetime(2026, 5, 12, 3, 30, tzinfo=UTC))
    note("Belt of Lathe 1 squeals.", at=datetime(2026, 5, 12, 14, tzinfo=UTC))

    def shown(**asked):
        return [one.text for one in browser.get(reverse("shift_notes"), asked).context["page"]]

    assert shown(day="2026-05-11") == ["Bar stock is short."]
    assert shown(day="2026-05-12") == ["Belt of Lathe 1 squeals."]
    assert shown(words="squeals lathe") == ["Belt of Lathe 1 squeals."]
    assert shown(words="nothing") == []
    assert "“32” is not a day." in text(browser.get(reverse("shift_notes"), {"day": "32"}))


@pytest.mark.parametrize(("hours_ago", "expected"), [(None, 12), (2, 12), (11, 12), (30, 30), (24 * 40, 24 * 7)])
def test_nothing_falls_between_two_shifts(hours_ago, expected, db):
    """Twelve hours, or as far back as the last note; a week at most."""
    if hours_ago is not None:
        note("Seen.", at=NOW - hours_ago * HOUR)

    assert since_when(at=NOW) == NOW - expected * HOUR
