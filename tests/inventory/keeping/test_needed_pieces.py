"""One tap tells whoever has a piece that somebody else needs it."""

import pytest
from django.urls import reverse

from inventory.models import LoanCall
from tests import factories


@pytest.fixture
def kim(db):
    return factories.user("machinist", name="kim")


@pytest.fixture
def loan(kim):
    return factories.loan(factories.collet("3/4", tag="C-0011"), to=kim)


def need(client):
    return client.post(reverse("tool_need", args=["C-0011"]), follow=True).content.decode()


def test_whoever_has_it_sees_who_needs_it(loan, kim, machinist, client_of, client):
    page = need(client_of("machinist"))
    client.force_login(kim)

    assert "kim sees that you need C-0011" in page
    assert "needed by" in client.get(reverse("my_pieces")).content.decode()
    assert "Needed by" in client.get(reverse("tool", args=["C-0011"])).content.decode()


def test_a_second_tap_changes_nothing(loan, client_of):
    browser = client_of("machinist")
    need(browser)
    need(browser)

    assert LoanCall.objects.count() == 1


def test_what_is_not_out_is_not_called_for(db, client_of):
    factories.collet("3/4", tag="C-0011")

    assert "C-0011 is not out: take it from its place." in need(client_of("machinist"))
    assert not LoanCall.objects.exists()


def test_nobody_calls_for_what_they_have_themselves(loan, kim, client):
    client.force_login(kim)

    assert "C-0011 is out to you." in need(client)
    assert not LoanCall.objects.exists()


def test_it_ends_with_the_loan(loan, kim, client_of, client):
    need(client_of("machinist"))
    loan.returned_at = loan.issued_at
    loan.save()
    newer = factories.loan(loan.tool, to=kim)

    assert newer.needed_by == ""


def test_the_answer_offers_the_tap(loan, client_of):
    factories.lathe("Lathe 1")
    factories.closer()

    page = client_of("machinist").get(reverse("find"), {"size": "3/4"}).content.decode()

    assert reverse("tool_need", args=["C-0011"]) in page
    assert "I need C-0011" in page
