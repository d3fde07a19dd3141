"""Tooling is found by what it is: one text, read by the readers that read sizes, seats and kinds elsewhere."""

from datetime import timedelta

import pytest
from django.db.models import CharField, TextField
from django.urls import reverse
from django.utils import timezone

from inventory.models import Kind, OtherName, Series, Tool
from inventory.pieces.search import SEARCHED_AS_TEXT, read_search
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def crib():
    factories.collet("3/4", tag="C-0011", location="A2")
    factories.collet("7/16", tag="C-0012", location="B12", condition="worn")
    factories.collet("1/2", shape="hex", tag="C-0013", location="A3", notes="burr on the key")
    factories.collet("20 mm", series="ER32", tag="C-0014", location="A2")
    factories.center(kind=Kind.DEAD_CENTER, mount="MT3", tag="D-0001", location="C1")
    factories.center(kind=Kind.LIVE_CENTER, mount="MT2", tag="D-0002", location="C1")
    factories.closer(tag="H-0001", location="D1")
    factories.chuck(tag="K-0001", jaws=3, location="D1")
    factories.piece(Kind.REAMER, tag="T-0001", location="B1", cuts="3/4")
    factories.blank(tag="B-0001", location="A3")


def tags_for(text):
    return sorted(Tool.objects.filter(read_search(text).means).values_list("tag", flat=True))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("3/4", ["C-0011", "T-0001"]),
        (".75", ["C-0011", "T-0001"]),
        ('3/4" collet', ["C-0011"]),
        ("hex", ["C-0013"]),
        ("1/2 A/F", ["C-0013"]),
        ("7/16 5C", ["C-0012"]),
        ("5 c, 7/16", ["C-0012"]),
        ("20 mm ER32", ["C-0014"]),
        ("er-32 20", ["C-0014"]),
        ("dead center MT3", ["D-0001"]),
        ("morse 3 dead centre", ["D-0001"]),
        ("centers", ["D-0001", "D-0002"]),
        ("Morse", ["D-0001", "D-0002"]),
        ("5C closer", ["H-0001"]),
        ("3-jaw chuck", ["K-0001"]),
        ("emergency 5C", ["B-0001"]),
        ("drawer A2", ["C-0011", "C-0014"]),
        ("a2 ER32", ["C-0014"]),
        ("worn 5C", ["C-0012"]),
        ("burr", ["C-0013"]),
        ("c11", ["C-0011"]),
        ("7/16 1/2 5C", ["C-0012", "C-0013"]),
        ("the 3/4 in A2", ["C-0011"]),
        ("5C nothing-has-this", []),
    ],
)
def test_a_piece_is_found_by_what_is_said_of_it(text, expected, crib):
    assert tags_for(text) == expected


def test_a_word_is_looked_for_in_every_column_of_free_text():
    written = {
        column.name
        for column in Tool._meta.concrete_fields
        if isinstance(column, CharField | TextField) and not column.choices
    }

    assert written <= set(SEARCHED_AS_TEXT)


def test_a_name_that_is_of_a_drawer_and_of_a_taper_is_looked_for_as_both(crib):
    factories.piece(Kind.DRILL_CHUCK, mounts_in=factories.seat("B12"), tag="K-0009")

    assert tags_for("B12") == ["C-0012", "K-0009"]
    assert read_search("B12").parts[0].words == "B12 or drawer B12"


def test_a_whole_number_without_a_unit_is_looked_for_in_both(crib):
    assert tags_for("20") == ["C-0014"]
    assert read_search("20").parts[0].words == "20 in or 20 mm"


def test_a_series_is_found_by_the_name_that_the_shop_gave_it(crib):
    OtherName.objects.create(text="Lathe collets", series=Series.objects.get(code="5C"))

    assert tags_for("lathe collets 7/16") == ["C-0012"]


def test_what_was_read_is_told_each_part_with_the_way_to_be_without_it(crib, client_of):
    page = client_of("machinist").get(reverse("tool_list"), {"text": "7/16 5C"}).content.decode()

    assert 'href="/tooling/?text=5C">7/16' in page
    assert 'href="/tooling/?text=7%2F16">5C' in page


def test_what_was_not_understood_is_told_with_what_may_have_been_meant(crib, client_of):
    page = client_of("machinist").get(reverse("tool_list"), {"text": "5X 7/16"}).content.decode()

    assert "“5X” is no size, series, kind or drawer here" in page
    assert 'href="/tooling/?text=5C+7%2F16"' in page


def test_the_text_of_a_tag_leads_to_its_piece_however_it_is_typed(crib, client_of):
    browser = client_of("machinist")

    for text in ("C-0011", "c-0011", "c11", "C 0011"):
        assert browser.get(reverse("tool_list"), {"text": text}).headers.get("Location") == "/t/C-0011/", text


def test_a_size_that_no_piece_has_leads_on_to_what_holds_it(crib, client_of):
    page = client_of("machinist").get(reverse("tool_list"), {"text": ".7485"}).content.decode()

    assert 'href="/?size=0.7485+in&amp;shape=round"' in page


def test_what_is_counted_is_found_by_its_words(crib, client_of):
    factories.counted("Center drill No. 3", A4=7)

    assert (
        "Center drill No. 3"
        in client_of("machinist").get(reverse("tool_list"), {"text": "drill no. 3"}).content.decode()
    )


def test_a_long_text_is_read_as_far_as_a_person_would_type(crib):
    assert len(read_search("5C " * 5_000).words) <= 16


@pytest.mark.parametrize("text", ["%", "😀", "'\"", "0", "000", ";", "- %"])
def test_signs_and_zeros_alone_could_not_be_read_and_mean_no_piece(text, crib, client_of, machinist):
    page = client_of(machinist).get(reverse("tool_list"), {"text": text}).content.decode()

    assert tags_for(text) == []
    assert "could not be read" in page


def test_a_sign_beside_a_size_is_passed_over(crib):
    assert tags_for("7/16 %") == ["C-0012"]


def test_all_that_is_out_stands_by_its_due_day_until_another_order_is_asked_for(crib, client_of, machinist):
    today = timezone.localdate()
    for tag, days in (("C-0011", None), ("C-0012", 9), ("C-0013", 2)):
        factories.loan(Tool.objects.get(tag=tag), due_on=days and today + timedelta(days=days))

    def tags(**asked):
        answer = client_of(machinist).get(reverse("tool_list"), {"state": "out", **asked})
        return [row.tool.tag for row in answer.context["rows"]]

    assert tags() == ["C-0013", "C-0012", "C-0011"]
    assert tags(order="tag") == ["C-0011", "C-0012", "C-0013"]
