"""The limits and intervals that hold: the shop's own of a series or a kind, else those of the table."""

import pytest
from django.urls import reverse

from inventory.inspections.limits import limits_of
from inventory.measures.lengths import parse
from inventory.models import Kind, Series, WearLimit
from inventory.reference.wear_limits import wear_figures
from tests import factories

BUILT_IN = wear_figures(Kind.COLLET, series="5C", shape="round")


@pytest.fixture
def keepers_browser(client_of, keeper):
    return client_of(keeper)


def keep_limits(client, name, subject, **texts):
    return client.post(reverse(name, args=[subject]), texts, follow=True)


def test_a_shops_own_limit_of_a_series_goes_first(keepers_browser):
    tool = factories.collet()

    page = keep_limits(keepers_browser, "limits_of_series", "5C", limit=".0006", every_days="90")

    limits = limits_of(tool)
    assert "The limits of 5C collets are saved." in page.content.decode()
    assert (limits.limit, limits.every_days, limits.every_uses) == (parse("0.0006"), 90, BUILT_IN.every_uses)
    assert limits.source == "the shop's own figure"


def test_a_shops_own_limit_of_a_kind_holds_for_that_kind_only(keepers_browser):
    keep_limits(keepers_browser, "limits_of_kind", "live-center", every_days="30")

    assert limits_of(factories.center()).every_days == 30
    assert limits_of(factories.center(kind=Kind.DEAD_CENTER)).every_days == wear_figures(Kind.DEAD_CENTER).every_days


def test_limits_that_are_emptied_are_as_built_in_again(keepers_browser):
    keep_limits(keepers_browser, "limits_of_series", "5C", limit=".0006")
    keep_limits(keepers_browser, "limits_of_series", "5C", limit="")

    assert limits_of(factories.collet()).limit == BUILT_IN.limit
    assert not WearLimit.objects.exists()


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        ({"limit": "0"}, "nothing runs that true"),
        ({"limit": "3/4"}, "a TIR is the indicator&#39;s swing"),
        ({"every_days": "0"}, "0 was read; write 1 or more."),
        ({"every_uses": "often"}, "is no whole number"),
    ],
)
def test_a_limit_that_cannot_be_is_refused(texts, said, keepers_browser):
    assert said in keep_limits(keepers_browser, "limits_of_series", "5C", **texts).content.decode()
    assert not WearLimit.objects.exists()


def test_the_page_of_limits_names_every_series_and_kind(keepers_browser):
    page = keepers_browser.get(reverse("wear_limits")).content.decode()

    assert all(f"<b>{code}</b>" in page for code in Series.objects.values_list("code", flat=True))
    assert all(f"<b>{kind}</b>" in page for kind in Kind if kind != Kind.COLLET)
    assert "ISO 15488, by size" in page


def test_limits_of_what_nobody_knows_are_not_found(keepers_browser):
    assert keepers_browser.get(reverse("limits_of_kind", args=["anvil"])).status_code == 404
    assert keepers_browser.get(reverse("limits_of_series", args=["9Z"])).status_code == 404
