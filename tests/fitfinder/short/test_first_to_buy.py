"""What purchasing does first: what is late, then what is approved, then what is short."""

from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from inventory.models import Want
from tests import factories


def first_of(client):
    page = client.get(reverse("buying")).content.decode()
    return page.partition('<ol class="first">')[2].partition("</ol>")[0]


def wanted(what, state, **more):
    return Want.objects.create(what=what, asked_by=factories.user("purchasing"), state=state, **more)


def test_a_late_order_comes_first_and_an_approved_one_next(client_of):
    factories.collet()
    wanted("MT3 drawbar", Want.State.APPROVED)
    today = timezone.localdate()
    late = wanted("chuck key", Want.State.ORDERED, supplier="Tool dealer", expected_on=today - timedelta(days=9))

    first = first_of(client_of("purchasing"))

    assert first.index("Chase chuck key: 9 days late") < first.index("Order MT3 drawbar")
    assert reverse("want_receive", args=[late.pk]) in first


def test_who_may_not_buy_is_not_asked_to_order(client_of):
    factories.collet()
    wanted("MT3 drawbar", Want.State.APPROVED)

    assert "Order MT3 drawbar" not in first_of(client_of("machinist"))
