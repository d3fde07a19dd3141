"""The shop's own working minutes: kept by a keeper, counted in every plan."""

from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection
from django.urls import reverse

from inventory.models import WorkingMinutes
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

    assert "Not saved yet" in page
    assert f'value="{typed}"' in page


@pytest.mark.parametrize(("whole", "holes", "dog"), [(800, 700, 100), (150, 75, 75), (3, 2, 1)])
def test_minutes_that_a_shop_set_for_work_between_centers_become_those_of_holes_and_dog(keeper, whole, holes, dog):
    in_two = import_module("inventory.migrations.0021_minutes_of_centers_in_two")
    WorkingMinutes.objects.create(step="between centers", hundredths=whole, changed_by=keeper)

    in_two.in_two(apps, SimpleNamespace(connection=connection))
    assert dict(WorkingMinutes.objects.values_list("step", "hundredths")) == {
        "two centers drilled": holes,
        "dog on and off": dog,
    }

    in_two.in_one(apps, SimpleNamespace(connection=connection))
    assert dict(WorkingMinutes.objects.values_list("step", "hundredths")) == {"between centers": whole}
