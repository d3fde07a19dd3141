"""Old addresses lead to where their page is now: what stood under Missing to Buying, the time zone to the shop."""

import pytest
from django.urls import reverse

from inventory.models import ShopFigures, Want


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("/missing/", "/buying/"),
        ("/missing/board/5C/hex/?pick=10318750", "/buying/board/5C/hex/?pick=10318750"),
        ("/missing/orders/?approved=1&ticked=a%20b", "/buying/orders/?approved=1&ticked=a%20b"),
    ],
)
def test_an_old_address_leads_to_its_page_with_its_query(old, new, client_of):
    answer = client_of("purchasing").get(old)

    assert answer.status_code == 308
    assert answer["Location"] == new


def test_an_old_address_cannot_lead_out_of_the_house(client_of):
    assert client_of("purchasing").get("/missing//example.com/")["Location"] == "/buying//example.com/"


def test_a_form_on_a_page_left_open_still_arrives(client_of):
    sent = {"what": "H-0091 drawbar", "quantity": "1", "name": "MT3 drawbar"}

    answer = client_of("purchasing").post("/missing/want/thing/", sent, follow=True)

    assert answer.request["PATH_INFO"] == reverse("buying")
    assert Want.objects.count() == 1


def test_the_zone_of_a_form_left_open_still_arrives(client_of):
    browser = client_of("administrator")

    browser.post("/desk/time-zone/", {"time_zone": "asia/tokyo"}, follow=True)

    assert ShopFigures.objects.now().time_zone == "Asia/Tokyo"
    assert browser.get("/desk/time-zone/")["Location"] == reverse("the_shop")
