"""The shop's own working minutes: kept by a keeper, counted in every plan."""

import pytest
from django.urls import reverse

from inventory.reference import practice
from tests import factories


@pytest.fixture
def shop(db):
    factories.lathe("Lathe 1")
    factories.closer(tag="H-0061")
    factories.collet("3/4", tag="C-0011")


def test_the_shop_s_own_minutes_count_in_the_plan(client_of, shop):
    client_of("keeper").post(reverse("working_minutes"), {"collet": "2.25", "closer-fit": "4"})
    told = client_of("machinist").get(reverse("plan_json"), {"size": "0.7485"}).json()
    collet = next(way for way in told["ways"] if way["method"] == "collet")

    assert collet["minutes"] == 2.25 + 4 + practice.minutes("collet change").most


def test_emptied_minutes_are_common_practice_again(client_of, db):
    keeper = client_of("keeper")
    keeper.post(reverse("working_minutes"), {"collet": "2.25"})
    page = keeper.post(reverse("working_minutes"), {"collet": ""}, follow=True).content.decode()

    assert "1 changed." in page


@pytest.mark.parametrize("typed", ["0", "-1", "601", "quick", "1.234"])
def test_minutes_that_cannot_be_are_refused_and_stay_in_their_field(client_of, db, typed):
    page = client_of("keeper").post(reverse("working_minutes"), {"collet": typed}).content.decode()

    assert "Not kept yet" in page
    assert f'value="{typed}"' in page
