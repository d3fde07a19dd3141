"""Choosing labels, their sheets, and the page that a code opens."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models import Kind, Location, Tool
from tests import factories

SITE = "http://crib.example:8000"


@pytest.fixture
def browser(client_of, settings):
    settings.PUBLIC_URL = SITE
    return client_of("machinist")


def test_the_labels_page_says_what_the_piece_itself_carries(browser):
    page = browser.get(reverse("labels")).content.decode()

    assert "Nothing sticks to an oily collet" in page
    assert "etched or stamped" in page


def test_what_the_address_of_the_labels_page_says_is_filled_in(browser, drawer):
    page = browser.get(reverse("labels"), {"place": drawer.pk, "tags": "C-0011", "columns": 3}).content.decode()

    assert re.search(rf'value="{drawer.pk}"[^>]*checked', page)
    assert "C-0011</textarea>" in page
    assert re.search(r'name="columns" value="3"', page)


def printed(browser, **choice):
    return browser.get(reverse("labels_print"), choice).content.decode()


def test_the_whole_choice_is_in_the_address_of_the_sheet(browser, drawer):
    page = printed(browser, place=drawer.pk, tags="c-0012, K-0081", paper="letter", columns=3, rows=6)

    assert "3 labels on 1 sheet" in page
    assert re.findall(r'font-weight="600"><text[^>]*>([^<]*)', page) == ["A2", "1/2", "K-0081"]
    assert 'class="paper paper-letter"' in page
    assert 'width="215.900mm" height="279.400mm"' in page


def test_all_pieces_of_a_drawer_get_a_label_once(browser, drawer):
    page = printed(browser, drawers="a2", tags="C-0011")

    assert "5 labels on 1 sheet" in page


def test_margins_are_millimetres_or_what_is_written_with_them(browser, drawer):
    page = printed(browser, place=drawer.pk, left="12", top="1/2 in", gap_down="0", edges="on")

    assert re.search(r'<rect x="12\.000" y="12\.700"', page)


def test_edges_are_drawn_where_they_are_asked_for(browser, drawer):
    assert "<rect" not in printed(browser, place=drawer.pk)


def test_a_single_label_has_a_sheet_of_its_own(browser, drawer):
    page = printed(browser, place=drawer.pk, tags="C-0011", paper="small", first=9)

    assert "2 labels on 2 sheets" in page
    assert page.count('class="paper paper-small"') == 2


REFUSED = {
    "nothing": ({}, "Nothing is chosen"),
    "no such tag": ({"tags": "C-9999"}, "No piece is tagged C-9999"),
    "no such drawer": ({"drawers": "Z9"}, "There is no place called Z9"),
    "no such place": ({"place": 99_999}, "A place is no longer in Gripbook"),
    "a place that no database can number": ({"place": 10**30}, "A place is no longer in Gripbook"),
    "too small": ({"tags": "C-0011", "columns": 9}, "Its name and code need 40 mm × 20 mm"),
    "margins larger than the sheet": ({"tags": "C-0011", "left": "140", "right": "140"}, "A label would be 0 mm"),
    "a margin that is none": ({"tags": "C-0011", "top": "wide"}, "“wide”"),
    "a margin that is too large": ({"tags": "C-0011", "top": "400"}, "it accepts 0 to"),
    "no columns": ({"tags": "C-0011", "columns": 0}, "0 was read; write 1 or more"),
    "a position that the sheet has not": ({"tags": "C-0011", "first": 15}, "A sheet has 14 labels"),
    "no such paper": ({"tags": "C-0011", "paper": "a5"}, "“a5” is none of the choices"),
}


@pytest.mark.parametrize(("choice", "sentence"), REFUSED.values(), ids=REFUSED)
def test_a_choice_that_cannot_be_printed_is_answered_with_a_sentence(choice, sentence, browser, drawer):
    assert sentence in printed(browser, **choice)


def test_the_last_label_of_the_sheet_can_be_the_first_that_is_used(browser, drawer):
    assert "1 label on 1 sheet" in printed(browser, tags="C-0011", first=14)


@pytest.mark.parametrize(
    ("pieces", "sentence"), [(500, "500 labels on"), (501, "501 labels are chosen. Take at most 500")]
)
def test_more_labels_than_anybody_cuts_are_refused(pieces, sentence, browser):
    place = factories.place("Wall")
    Tool.objects.bulk_create(Tool(tag=f"D-{n}", kind=Kind.LATHE_DOG, location=place) for n in range(pieces))

    assert sentence in printed(browser, drawers="wall")


def test_the_next_labels_begin_with_the_paper_of_the_last(browser, drawer):
    browser.get(reverse("labels_print"), {"place": drawer.pk, "paper": "letter", "columns": "3", "first": "5"})

    form = browser.get(reverse("labels")).context["form"]

    assert (form["paper"].value(), form["columns"].value(), form["first"].value()) == ("letter", "3", 1)


def test_a_paper_that_is_no_longer_known_is_forgotten(browser, drawer):
    browser.cookies["label_sheet"] = "paper=foolscap&columns=9"

    form = browser.get(reverse("labels")).context["form"]

    assert (form["paper"].value(), form["columns"].value()) == ("a4", 2)


def test_a_page_that_no_phone_could_open_is_told(client_of, settings, drawer):
    settings.PUBLIC_URL = None
    page = client_of("machinist").get(reverse("labels_print"), {"place": drawer.pk}, headers={"host": "localhost:8000"})

    assert "No phone can open http://localhost:8000" in page.content.decode()


def test_a_sheet_carries_nothing_that_the_policy_would_stop(browser, drawer):
    page = printed(browser, place=drawer.pk, tags="C-0011", edges="on")

    assert not re.search(r"<[^>]* (style|on[a-z]+)=", page)
    assert "<script" not in page


def test_more_labels_cost_no_more_queries(browser, drawer, django_assert_max_num_queries):
    for number in range(30, 50):
        drawer = factories.collet("3/4", tag=f"C-00{number}", location=f"D{number}").location
        Location.objects.filter(pk=drawer.pk).update(parent=Location.objects.get(name="Cabinet A"))
    everything = [place.pk for place in Location.objects.all()]
    with django_assert_max_num_queries(16):
        page = printed(browser, drawers="A2", tags="C-0030, C-0031", place=everything)

    assert "29 labels" in page


def test_the_page_of_a_place_tells_what_belongs_there_and_who_has_the_rest(browser, drawer, keeper):
    factories.loan(drawer.tools.get(tag="C-0011"), to=keeper)
    lathe = factories.lathe("Lathe 1")
    drawer.tools.filter(tag="K-0081").update(mounted_on=lathe)
    drawer.tools.filter(tag="C-0012").update(missing_since="2026-03-18")

    page = browser.get(reverse("place", args=[drawer.pk])).content.decode()

    away, here = page.split("<h2>In it")
    assert "5C round 1/2 to 3/4, 3 pcs" in away
    assert f"out to <b>{keeper}</b>" in away
    assert "on <b>Lathe 1</b>" in away
    assert "since 2026-03-18" in away
    assert "C-0013" in here and "C-0021" in here
    assert "C-0011" not in here


def test_a_place_leads_to_what_it_stands_in_and_to_what_is_inside_it(browser, drawer):
    assert reverse("place", args=[drawer.parent_id]) in browser.get(reverse("place", args=[drawer.pk])).content.decode()
    assert reverse("place", args=[drawer.pk]) in browser.get(reverse("place", args=[drawer.parent_id])).content.decode()


def test_an_empty_place_says_how_something_comes_there(browser):
    place = Location.objects.create(name="B7")

    assert "Nothing belongs here yet" in browser.get(reverse("place", args=[place.pk])).content.decode()


@pytest.mark.parametrize(("name", "leads_to"), [("place", "labels"), ("tool", "labels"), ("tool", "place")])
def test_pages_of_places_and_pieces_lead_to_labels_and_places(name, leads_to, browser, drawer):
    page = browser.get(reverse(name, args=[drawer.pk if name == "place" else "C-0011"])).content.decode()

    assert reverse(leads_to, args=[drawer.pk] if leads_to == "place" else []) in page


def test_labels_of_the_pieces_that_came_in_lately_are_a_tap_away(browser):
    factories.collet(tag="C-0101")
    old = factories.collet(tag="C-0102")
    old.history.update(history_date=timezone.now() - timedelta(days=9))

    assert browser.get(reverse("labels")).context["new_tags"] == ["C-0101"]
