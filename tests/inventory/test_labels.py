import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from inventory.labels import drawing, wording
from inventory.labels.grid import PAPERS, LabelGrid, single
from inventory.labels.wording import Belonging, Label
from inventory.measures.lengths import Length
from inventory.models import Kind, Location, Tool
from tests import factories

SITE = "http://crib.example:8000"


@pytest.fixture
def browser(client_of, settings):
    settings.PUBLIC_URL = SITE
    return client_of("machinist")


@pytest.fixture
def drawer(db):
    """A2 in cabinet A, with collets of two sorts and a chuck."""
    drawer = factories.place("A2")
    drawer.parent = factories.place("Cabinet A")
    drawer.save()
    for number, size in enumerate(("3/4", "1/2", "5/8"), start=11):
        factories.collet(size, tag=f"C-00{number}", location="A2")
    factories.collet("1/2", shape="hex", tag="C-0021", location="A2")
    factories.chuck(tag="K-0081", location="A2")
    return drawer


def fetched(drawer):
    return Location.objects.prefetch_related(*wording.WITH_BELONGINGS).get(pk=drawer.pk)


def words(belongings):
    return [belonging.words for belonging in belongings]


# What stands on one.


def test_a_drawer_names_its_collets_by_series_and_range_and_the_rest_by_tag(drawer):
    assert words(wording.belongings(fetched(drawer))) == [
        "5C hex 1/2",
        "5C round 1/2 to 3/4, 3 pcs",
        "K-0081 universal chuck",
    ]


def test_what_is_more_than_asked_for_is_counted_by_pieces(drawer):
    label = wording.of_place(fetched(drawer), most=1)

    assert words(label.belongings) == ["5C hex 1/2", "and 4 more"]


def test_a_retired_piece_belongs_nowhere(drawer):
    factories.piece(Kind.FACEPLATE, tag="F-0001", location="A2", retired_at=timezone.now())

    assert "F-0001" not in str(wording.belongings(fetched(drawer)))


def test_a_cabinet_names_the_drawers_in_it(drawer):
    label = wording.of_place(fetched(drawer.parent))

    assert words(label.belongings) == ["A2"]
    assert label.stands_in == ""


def test_a_label_of_a_piece_has_its_tag_its_size_and_its_place(drawer):
    label = wording.of_piece(drawer.tools.get(tag="C-0011"))

    assert (label.name, words(label.belongings), label.stands_in, label.path) == (
        "C-0011", ["3/4 round 5C collet"], "in Cabinet A, A2", "/t/C-0011/",
    )  # fmt: skip


# How it is drawn.


def drawn(label, paper="small"):
    ((sheet,),) = [drawing.sheets([label], single(PAPERS[paper]), site=SITE)]
    return sheet.labels[0]


def a_label(name="A2", lines=(), stands_in="in Crib"):
    return Label(name, tuple(Belonging(line) for line in lines), stands_in, "/places/1/")


@given(
    st.text(st.characters(categories=["L", "N", "P"]), min_size=1, max_size=60),
    st.lists(st.text(min_size=1, max_size=60), max_size=8),
    st.sampled_from(["large", "small"]),
)
def test_whatever_stands_on_a_label_stays_on_it_and_the_name_is_large(name, lines, paper):
    made = drawn(a_label(name, lines), paper)

    # 14 points are 4.94 mm; ISO 80000 has the inch at 25.4 mm, and the point of print is 1/72 of it.
    assert all(float(line.size) >= 4.94 for line in made.lines if line.is_name)
    assert made.lines[0].is_name
    for line in made.lines:
        assert float(made.top) < float(line.y) <= float(made.top) + float(made.height)


def test_what_has_no_room_on_a_small_label_is_counted():
    made = drawn(a_label(lines=[f"K-00{number} chuck" for number in range(10, 30)], stands_in=""))

    told = [line.text for line in made.lines if not line.is_name]
    assert told == ["K-0010 chuck", "K-0011 chuck", "K-0012 chuck", "and 17 more"]


def test_a_long_name_is_wrapped_and_not_made_smaller():
    made = drawn(a_label("Second cabinet on the left behind the horizontal mill"), "large")

    names = [line for line in made.lines if line.is_name]
    assert len(names) > 1
    assert " ".join(line.text for line in names) == "Second cabinet on the left behind the horizontal mill"


def test_labels_begin_at_the_first_free_one_and_go_on_to_the_next_sheet():
    none = Length(0)
    margins = dict.fromkeys(("top", "bottom", "left", "right", "gap_across", "gap_down"), none)
    grid = LabelGrid(paper=PAPERS["a4"], columns=1, rows=3, **margins)
    made = drawing.sheets([a_label(str(number)) for number in range(4)], grid, site=SITE, first=3)

    assert [[drawn.label.name for drawn in sheet.labels] for sheet in made] == [["0"], ["1", "2", "3"]]


# The pages.


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
    assert re.findall(r'font-weight="700"><text[^>]*>([^<]*)', page) == ["A2", "C-0012", "K-0081"]
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
    "no such place": ({"place": 99_999}, "A place is no longer in the book"),
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


# The place that a code opens.


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
