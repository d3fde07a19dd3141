"""All that happened to a piece on one page, and as a sheet."""

import csv
import io
import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.keeping import counting, lending
from inventory.keeping.mounting import mount, take_off
from inventory.models import CountAnswer
from inventory.pieces.timeline import timeline_of
from tests import factories
from tests.reading import Page


@pytest.fixture
def tool(db, keeper, machinist):
    """A chuck to which one of everything happened."""
    tool = factories.chuck(tag="K-0001", location="A1")
    lathe = factories.lathe("Lathe 1")
    tool.notes = "=1+1"
    tool.save()
    lending.issue(tool, to=machinist, by=keeper, at=timezone.now(), token=uuid.uuid4())
    lending.give_back(tool.loans.all(), by=machinist, at=timezone.now())
    factories.reading(tool, "0.002", by=keeper)
    mount(tool, lathe, key="nose", instead_of=None)
    take_off(tool)
    tool.refresh_from_db()
    tool.location = factories.place("A2")
    tool.save()
    count = counting.begin(tool.location, by=keeper, at=timezone.now())
    counting.mark(count, [tool.pk], CountAnswer.HERE, by=keeper, at=timezone.now())
    counting.close(count, unseen=set(), by=keeper, at=timezone.now())
    return tool


def test_everything_is_told_once_in_one_order_of_time(tool):
    events = timeline_of(tool)

    assert [event.sort for event in reversed(events)] == [
        "entered", "edit", "issued", "returned", "inspection", "mounting", "mounting", "moved", "counted",
    ]  # fmt: skip
    assert [event.at for event in events] == sorted((event.at for event in events), reverse=True)


def test_each_line_says_who_and_what(tool, keeper, machinist):
    told = {event.sort: (event.by, event.words) for event in timeline_of(tool)}

    assert told["issued"] == (str(keeper), f"issued to {machinist}")
    assert told["returned"] == (str(machinist), f"returned for {machinist}")
    assert told["moved"][1] == "moved from drawer A1 to drawer A2"
    assert told["counted"][1] == "counted in drawer A2: here"
    assert "notes: empty → =1+1" in told["edit"][1]
    assert "0.0020 in (0.051 mm) TIR" in told["inspection"][1]


def test_the_page_and_the_sheet_have_every_line(tool, client_of):
    browser = client_of("machinist")
    page = Page(browser.get(reverse("tool_history", args=["k-0001"])).content.decode()).all("main")[0].text
    sheet = browser.get(reverse("tool_history_csv", args=["K-0001"]))
    rows = list(csv.reader(io.StringIO(sheet.content.decode("utf-8-sig"))))

    assert rows[0] == ["when", "who", "what", "in words"]
    assert len(rows) - 1 == len(timeline_of(tool))
    assert all(event.words.partition(" →")[0] in page for event in timeline_of(tool))
    assert sheet["Content-Disposition"] == 'attachment; filename="history-K-0001.csv"'


def test_the_page_of_the_piece_leads_to_its_history(tool, client_of):
    page = client_of("machinist").get(tool.get_absolute_url()).content.decode()

    assert reverse("tool_history", args=["K-0001"]) in page
