"""The demo crib in a shop that thinks in millimetres: no page says a length in inches that has no reason to be one."""

import re

import pytest
from django.db import transaction
from django.test import Client

from inventory.models import ShopFigures, User
from tests.walking import starts, walk

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.one_database("how a page writes a length is no matter of the database"),
]

INCHES = re.compile(
    r"(?<![A-Za-z\d.(/-])(?:\d*\.\d{3,}|[2-9]|\d\d+) in(?:ch(?:es)?)?\b"
    r"(?! (?:round|square|hex|universal|independent|all|plain|the|ISO)\b)"
)
"""Inches that lead, as a decimal or a whole number from two on. A fraction is the name of a size, what is in brackets
the other unit, and what goes before a shape or a chuck is a size that is marked in inches or was typed so."""
MAY_SAY_INCHES = {
    "/numbers/": "what the published tables say, as they say it",
    "/seats/": "the names of seats",
    "/series/": "the words of a source",
    "/desk/shop/": "the choice of units",
    "/mine/units/": "the choice of units",
    "/guide/": "pictures of an inch shop, and what may be typed",
    "/plan/sheets/": "a setup sheet stays as it was made",
    "/arithmetic/": "both units of each result",
    "/desk/import/": "the cells of a sheet as they came",
    "/tooling/add/": "what an address fills in, with its unit",
}
OTHER_UNIT = re.compile(
    r"wide[\d.]+ in to [\d.]+ in"  # of a hole, on its second line
    r"|measured ?[\d.]+ in to [\d.]+ in"  # of what was typed in inches and is shown in millimetres before
    r"|0\.4000 in"  # a collet that is marked in decimals of an inch
    r"|, \.002 in, 0\. A hole"  # how a bare number is written in the other unit
    r"|\b12 in\b"  # of the list of what was asked lately, as it was asked
    r"|Pin of 0\.7500 in"  # a note
    r"|\d \.\d{4} in (?=[\d.]+-[\d.]+ drawer)"  # the other unit beside each size of the pocket card
)


@pytest.fixture(scope="module")
def walked(django_db_setup, django_db_blocker, demo_book):
    with django_db_blocker.unblock(), transaction.atomic():
        client = Client()
        demo_book.put_in_place()
        addresses = [_asked_in_inches(address) for address in starts()]
        ShopFigures.objects.update_or_create(pk=1, defaults={"unit": "mm"})
        administrator = User.objects.get(username="administrator")
        client.force_login(administrator, backend="django.contrib.auth.backends.ModelBackend")
        yield list(walk(client, addresses, but=MAY_SAY_INCHES))
        transaction.set_rollback(True)


def _asked_in_inches(address):
    is_asked = "size=" in address or "smallest=" in address
    return f"{address}&unit=in" if is_asked and " in" not in address and "+in" not in address else address


def _texts(page):
    """All that a person reads or hears of it."""
    yield page.all("main")[0].text
    for part in page.all("a", "button", "svg", "img", "input", "textarea", "option"):
        yield from (part[name] or "" for name in ("aria-label", "alt", "placeholder", "value"))


def _inches_in(text):
    """Each with what stands round it."""
    text = OTHER_UNIT.sub("", text)
    return [text[max(0, hit.start() - 40) : hit.end() + 20] for hit in INCHES.finditer(text)]


def test_no_page_says_inches_first(walked):
    found = {
        visit.address: hits
        for visit in walked
        if visit.page and not visit.address.startswith(tuple(MAY_SAY_INCHES))
        if (hits := _inches_in(" | ".join(_texts(visit.page))))
    }

    assert found == {}


def test_the_walk_sees_lengths_in_millimetres(walked):
    texts = " ".join(" ".join(_texts(visit.page)) for visit in walked if visit.page)

    assert len(re.findall(r"\d mm\b", texts)) > 1000
