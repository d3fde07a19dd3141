"""What a keeper does first, of all that waits."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.inspections.do_first import MOST, first_things
from tests import factories


@pytest.fixture
def late_loan(db):
    loan = factories.loan(factories.collet(tag="C-0001"))
    loan.due_on = timezone.localdate() - timedelta(days=3)
    loan.save()
    return loan


def test_nothing_that_waits_is_nothing_to_do():
    assert first_things(due=(), overdue=(), missing=(), low=()) == []


def test_the_first_of_each_list_comes_before_the_second_of_any(db):
    late = [factories.loan(factories.collet(tag=f"C-000{number}")) for number in (1, 2)]
    lost = [factories.collet(tag=f"C-001{number}", missing_since=date(2026, 2, 1)) for number in (1, 2, 3)]

    things = first_things(due=(), overdue=late, missing=lost, low=())

    assert [thing.what.rpartition(" ")[2] for thing in things] == ["C-0001", "C-0011", "C-0002", "C-0012"]
    assert len(things) == MOST


def test_each_says_why_and_leads_to_where_it_is_done(late_loan, client_of):
    page = client_of("keeper").get(reverse("desk")).content.decode()
    first = page.partition('<ol class="first">')[2].partition("</ol>")[0]

    assert "C-0001" in first
    assert f"With {late_loan.borrower}, expected back" in first
    assert f'href="{late_loan.tool.get_absolute_url()}"' in first
