"""Which counted item a tool of a setup sheet is, by its name."""

import pytest
from django.urls import reverse

from inventory.keeping.tools_by_name import name_key
from tests import factories


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("No. 3 center drill", "Center drill No. 3"),
        ("center drill #3", "Center drill No.3"),
        ("centre drills nr 3", "Center drill 3"),
        ("A 3,15 mm center drill", "Center drill A 3.15 mm"),
        ("1/8 parting blade", "Parting blade 1/8"),
    ],
)
def test_a_name_is_known_in_another_order(one, other):
    assert name_key(one) == name_key(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Center drill No. 3", "Center drill No. 4"),
        ("Center drill No. 3", "Drill No. 3"),
        ("O-ring 2 x 10", "O-ring 10 x 2"),
        ("Parting blade 1/8", "Parting blade 1/16"),
    ],
)
def test_what_is_another_thing_has_another_name(one, other):
    assert name_key(one) != name_key(other)


@pytest.mark.django_db
def test_a_sheet_says_what_of_its_tools_without_a_tag_lies_where_and_what_is_missing(client_of):
    browser = client_of(factories.user("machinist"))
    sheet = factories.setup_sheet(factories.collet(), factories.chuck())
    sheet.operations.create(order=1, does="center drilling", tool_words="No. 3 center drill")
    page = browser.get(sheet.get_absolute_url()).content.decode()
    assert "The 2 pieces are to be had today; missing beside them: No. 3 center drill." in page

    factories.counted("Center drill No. 3", E4=0)
    page = browser.get(sheet.get_absolute_url()).content.decode()
    assert "missing beside them: Center drill No. 3." in page and "not in the crib" not in page

    factories.counted("Center drill #3", E5=2)
    sheet.operations.update(tool_words="center drill #3")
    page = browser.get(sheet.get_absolute_url()).content.decode()
    assert "All 2 pieces are to be had today." in page and "2 left in drawer E5" in page


@pytest.mark.django_db
def test_the_jobs_of_tomorrow_have_the_counted_tools_too(client_of):
    piece = factories.chuck()
    sheet = factories.setup_sheet(piece)
    sheet.operations.create(order=1, does="center drilling", tool_words="#3 center drill")
    sheet.operations.create(order=2, does="facing", tool_words="facing tool")
    factories.counted("Center drill No. 3", E4=2)
    factories.reservation(piece, sheet=sheet)

    page = client_of(factories.user("keeper")).get(reverse("lay_out")).content.decode()

    assert "Center drill No. 3, 2 left in drawer E4" in page and "facing tool, for facing" in page
