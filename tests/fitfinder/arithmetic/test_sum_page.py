"""The pages of the shop's arithmetic: the list, and one for each sum."""

import html
import re

import pytest
from django.urls import reverse

from fitfinder.arithmetic.sums import SUMS

pytestmark = pytest.mark.one_database("a sum reads nothing; test_every_address.py opens its pages on each database")


@pytest.fixture
def page_of(client_of):
    client = client_of("machinist")

    def page_of(name, texts=None, *, status=200):
        answer = client.get(reverse("arithmetic", args=[name]), texts or {})
        assert answer.status_code == status
        return html.unescape(answer.content.decode())

    return page_of


def test_the_list_leads_to_each_sum(client_of):
    page = client_of("machinist").get(reverse("arithmetic_list")).content.decode()

    assert [name for name in SUMS if f'href="/arithmetic/{name}/"' not in page] == []


@pytest.mark.parametrize("place", ["find", "desk"])
def test_find_and_desk_lead_to_the_arithmetic(place, client_of):
    page = client_of("machinist").get(reverse(place)).content.decode()

    assert f'href="{reverse("arithmetic_list")}"' in page


@pytest.mark.parametrize("name", SUMS)
def test_each_sum_has_a_page_with_a_field_for_each_key_and_how_it_is_done(name, page_of):
    page = page_of(name)

    assert [key.name for key in SUMS[name].keys if f'name="{key.name}"' not in page] == []
    assert SUMS[name].formula in page
    assert SUMS[name].source in page
    assert "errors" not in page.split("<main", 1)[1]


def test_the_address_is_the_whole_question(page_of):
    page = page_of("packing", {"diameter": "1", "throw": "1/8", "unit": "in"})

    assert "0.1756 in <small>4.461 mm</small>" in page
    assert 'value="1/8"' in page


def test_a_picture_stands_with_the_same_in_words(page_of):
    page = page_of("packing", {"diameter": "1", "throw": "1/8"})

    words = "packing of 0.1756 in between jaw 1 and the bar"
    assert 'role="img"' in page
    assert page.count(words) == 2


def test_cautions_stand_with_the_result(page_of):
    page = page_of("unbalance", {"mass": "3lb", "radius": "2", "rpm": "800"})

    assert "Keep below the maximum that is marked" in page
    assert "manuals" in page


def test_millimetres_are_chosen_by_the_address(page_of):
    page = page_of("tir", {"tir": "0.2", "unit": "mm"})

    assert "0.100 mm" in page
    assert 'value="mm" id="id_unit_1" checked' in page


def test_what_cannot_be_read_is_told_beside_its_field_and_stays_there(page_of):
    page = page_of("unbalance", {"mass": "3mm", "radius": "2", "rpm": "800"})

    assert '<a href="#id_mass">Weight off the axis</a>: “3mm” is not a weight' in page
    assert 'id="id_mass_error"' in page
    assert 'value="3mm"' in page
    assert 'aria-label="Result"' not in page


def test_a_form_that_was_sent_empty_says_what_is_missing(page_of):
    assert "Give offset, or tir" in page_of("tir", {"tir": "", "offset": ""})


def test_a_unit_that_is_none_is_told(page_of):
    assert "“ell” is no unit" in page_of("tir", {"tir": ".01", "unit": "ell"})


def test_a_script_in_the_address_is_only_text(client_of):
    answer = client_of("machinist").get(reverse("arithmetic", args=["tir"]), {"tir": "<script>"})

    assert b"<script" not in answer.content


def test_a_sum_that_there_is_not_is_not_found(page_of):
    page_of("thread", status=404)


def test_what_is_wrong_names_fields_by_what_stands_above_them_and_by_no_key(page_of):
    page = page_of("set-over", {"length": "10"})
    said = page.partition('role="alert"')[2].partition("</div>")[0]

    assert "_" not in re.sub(r"<[^>]*>", "", said)
    assert "“taper per foot”" in said
