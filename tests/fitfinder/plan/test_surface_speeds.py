"""The shop's own surface speeds: kept in place of those of the table, in feet or metres, until they are emptied."""

import pytest
from django.urls import reverse

from inventory.measures.lengths import Length
from inventory.models import ShopFigures, SurfaceSpeed
from tests import factories

pytestmark = pytest.mark.django_db
FIELD = "low-carbon-steel-high-speed-steel"


def save(client, **fields):
    return client.post(reverse("surface_speeds"), fields, follow=True).content.decode()


def test_the_shops_own_speed_is_kept_with_who_and_gives_the_speed_of_a_cut(client_of):
    keeper = client_of("keeper")
    assert "1 changed." in save(keeper, **{FIELD: "80"})
    assert "Nothing was changed." in save(keeper, **{FIELD: "80"})
    sheet = factories.setup_sheet(material="low-carbon steel")
    address = f"{reverse('setup_operation_add', args=[sheet.pk])}?does=turning"
    keeper.post(address, {"diameter": "3/4", "edits": 0})

    # 960 / (3.1416 x 0.75) = 407.4
    assert "407 rpm" in keeper.get(sheet.get_absolute_url()).content.decode()
    assert SurfaceSpeed.objects.get().per_minute == Length.inches(960)
    assert "1 changed." in save(keeper, **{FIELD: ""})
    assert not SurfaceSpeed.objects.exists()


def test_a_metric_shop_types_metres(client_of):
    ShopFigures.objects.create(unit="mm")
    page = save(client_of("keeper"), **{FIELD: "30"})

    assert SurfaceSpeed.objects.get().per_minute == Length.mm(30_000)
    assert "In m/min. The table: 30 m/min." in page


@pytest.mark.parametrize("typed", ["fast", "0", "99999"])
def test_what_is_no_speed_is_told_and_nothing_kept(client_of, typed):
    assert "Not saved yet" in save(client_of("keeper"), **{FIELD: typed})
    assert not SurfaceSpeed.objects.exists()
