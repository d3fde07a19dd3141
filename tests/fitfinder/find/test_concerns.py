"""What Find says to one person before they ask: only where there is something."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models import Loan, Want
from tests import factories

DAY = timedelta(days=1)


@pytest.fixture
def tool(db):
    return factories.collet(tag="C-0011", location="A2")


@pytest.fixture
def browser(client_of, machinist):
    return client_of(machinist)


def concerns(browser):
    return [one.words for one in browser.get(reverse("find")).context["concerns"]]


def test_most_people_are_told_nothing(tool, browser, machinist, keeper):
    factories.loan(tool, to=machinist)
    factories.loan(factories.collet(tag="C-2"), to=keeper, due_on=timezone.localdate())

    assert concerns(browser) == []
    assert "What concerns you" not in browser.get(reverse("find")).content.decode()


@pytest.mark.parametrize(("days", "words"), [(-1, "expected back"), (0, "due today"), (1, None)])
def test_my_pieces_that_are_due(days, words, tool, browser, machinist):
    factories.loan(tool, to=machinist, due_on=timezone.localdate() + days * DAY)

    found = concerns(browser)

    assert len(found) == (words is not None)
    assert all(words in one and "You have C-0011" in one for one in found)


def test_a_piece_that_i_need_came_back_until_it_is_out_again(tool, browser, machinist, keeper):
    loan = factories.loan(tool, to=keeper, at=timezone.now() - DAY)
    loan.calls.create(by=machinist)
    assert concerns(browser) == []

    Loan.objects.open().end(by=keeper, at=timezone.now())
    assert [one[:35] for one in concerns(browser)] == ["C-0011, which you need, came back. "]

    factories.loan(tool, to=machinist)
    assert concerns(browser) == []


@pytest.mark.parametrize(("days", "is_told"), [(2, True), (4, False)])
def test_what_i_asked_for_has_come(days, is_told, browser, machinist):
    factories.want(by=machinist, state=Want.State.RECEIVED, received_at=timezone.now() - days * DAY)

    assert bool(concerns(browser)) is is_told


def test_what_is_reserved_for_my_job_and_somebody_took_all_the_same(tool, browser, machinist, keeper):
    factories.reservation(tool, sheet=factories.setup_sheet(tool, title="Idler shaft"), by=machinist)
    assert concerns(browser) == []

    factories.loan(tool, to=keeper)

    (words,) = concerns(browser)
    assert words.startswith("C-0011, reserved for your Idler shaft tomorrow ")
    assert words.endswith(f"is out to {keeper}.")
