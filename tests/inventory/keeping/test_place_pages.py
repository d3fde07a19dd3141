"""The places: the tree, a place's page, moving and retiring one, and taking all that is in it."""

import uuid

import pytest
from django.urls import reverse

from inventory.models import Loan, Location, Move, Tool
from tests import factories


@pytest.fixture
def crib(db):
    """Crib > Cabinet > A2."""
    outer = factories.place("Crib")
    inner = Location.objects.create(name="Cabinet", parent=outer)
    return outer, inner, Location.objects.create(name="A2", parent=inner)


@pytest.fixture
def keepers_browser(client_of, keeper):
    return client_of(keeper)


def page(client, name, /, *args):
    return client.get(reverse(name, args=args)).content.decode()


def post(client, name, /, *args, **sends):
    return client.post(reverse(name, args=args), sends, follow=True).content.decode()


def edit(client, place, **sends):
    drawn_from = place.history.first().history_id
    return post(client, "place_edit", place.pk, **{"name": place.name, "drawn_from": drawn_from, **sends})


def test_the_tree_counts_all_that_is_inside_a_place(crib, keepers_browser):
    factories.collet(location="A2")
    factories.collet(location="Crib")

    text = page(keepers_browser, "place_list")

    found = [text.index(name) for name in (">Crib</a>", ">Cabinet</a>", "<i>drawer</i> A2</span></a>")]
    assert found == sorted(found)
    assert text.count('2<span class="phone"> pieces') == 1
    assert text.count('1<span class="phone"> piece<') == 2


def test_places_are_put_in_order_and_narrowed_by_words(crib, keepers_browser):
    def listed(**query):
        text = keepers_browser.get(reverse("place_list"), query).content.decode()
        return [name for name in ("Crib", "Cabinet", "drawer</i> A2</span>") if f"{name}</a></th>" in text]

    text = keepers_browser.get(reverse("place_list"), {"order": "-name"}).content.decode()

    assert text.index(">Crib</a></th>") < text.index(">Cabinet</a></th>") < text.index("A2</span></a></th>")
    assert listed(text="drawer a2") == ["drawer</i> A2</span>"]
    assert listed(text="crib") == ["Crib", "Cabinet", "drawer</i> A2</span>"]
    assert "No place is like that" in keepers_browser.get(reverse("place_list"), {"text": "Z9"}).content.decode()


def test_many_places_take_no_more_queries(
    crib, keepers_browser, django_assert_num_queries, django_assert_max_num_queries
):
    with django_assert_max_num_queries(8) as few:
        page(keepers_browser, "place_list")
    for number in range(10):
        Location.objects.create(name=f"Slot {number}", parent=crib[2])
    with django_assert_num_queries(len(few)):
        page(keepers_browser, "place_list")


def test_a_place_is_added_in_another_one(crib, keepers_browser):
    post(keepers_browser, "place_add", name=" Slot  3 ", parent=crib[2].pk)

    assert Location.objects.get(name="Slot 3").path == "Crib, Cabinet, drawer A2, Slot 3"


def test_a_name_that_is_there_already_is_refused(crib, keepers_browser):
    text = post(keepers_browser, "place_add", name="a2")

    assert "There is a place A2 in Crib, Cabinet already. Write another name." in text


@pytest.mark.parametrize("inside", ["Cabinet", "A2"])
def test_a_place_cannot_stand_in_what_stands_in_it(inside, crib, keepers_browser):
    text = edit(keepers_browser, crib[0], parent=Location.objects.get(name=inside).pk)

    assert f"{inside} stands in Crib, so Crib cannot stand in {inside}." in text
    assert Location.objects.get(name="Crib").parent is None


def test_moving_a_drawer_moves_what_is_in_it(crib, keepers_browser):
    tool = factories.collet(tag="C-1", location="A2")
    other = factories.place("Annex")

    text = edit(keepers_browser, crib[2], parent=other.pk)

    assert "It is Annex, drawer A2 now." in text
    assert "Annex, drawer A2" in page(keepers_browser, "tool", "C-1")
    assert tool.moves.count() == 0


def test_an_edit_drawn_before_somebody_elses_is_refused(crib, keepers_browser):
    drawn_from = crib[2].history.first().history_id
    edit(keepers_browser, crib[2], name="A2-left", parent=crib[1].pk)

    text = post(keepers_browser, "place_edit", crib[2].pk, name="A2", parent=crib[0].pk, drawn_from=drawn_from)

    assert "Changed meanwhile" in text
    assert Location.objects.get(pk=crib[2].pk).name == "A2-left"


def test_a_place_is_retired_when_it_is_empty_and_not_before(crib, keepers_browser):
    tool = factories.collet(location="A2")
    assert "Drawer A2 is not empty: 1 piece. Move what is there first." in post(
        keepers_browser, "place_retire", crib[2].pk
    )
    assert "Cabinet is not empty: 1 place." in post(keepers_browser, "place_retire", crib[1].pk)

    Tool.objects.filter(pk=tool.pk).update(location=None)

    assert "Drawer A2 is retired." in post(keepers_browser, "place_retire", crib[2].pk)
    assert "<i>drawer</i> A2</span>" not in page(keepers_browser, "place_list")


def test_a_piece_takes_its_retired_place_back(crib, keepers_browser):
    post(keepers_browser, "place_retire", crib[2].pk)
    tool = factories.collet(tag="C-1", location="Crib")
    drawn_from = tool.history.first().history_id

    post(keepers_browser, "tool_move", "C-1", to="a2", drawn_from=drawn_from)

    assert Location.objects.get(name="A2").retired_at is None


def test_a_move_is_kept_once_with_who_made_it(crib, keepers_browser, keeper):
    tool = factories.collet(tag="C-1", location="Crib")
    drawn_from = tool.history.first().history_id

    post(keepers_browser, "tool_move", "C-1", to="A2", drawn_from=drawn_from)
    text = post(keepers_browser, "tool_move", "C-1", to="A2", drawn_from=drawn_from)

    move = Move.objects.get()
    assert (move.from_place.name, move.to_place.name, move.by) == ("Crib", "A2", keeper)
    assert "C-1 belongs in Crib, Cabinet, drawer A2 already." in text


def test_all_that_is_in_a_drawer_is_issued_in_one_tap(crib, client_of, machinist):
    pieces = [factories.collet(tag=f"C-{number}", location="A2") for number in range(4)]
    factories.loan(pieces[3])
    browser, token = client_of(machinist), uuid.uuid4()
    offered = page(browser, "place_issue", crib[2].pk)
    ticked = [tool.pk for tool in pieces[:2]]

    post(browser, "place_issue", crib[2].pk, token=token, piece=ticked)
    post(browser, "place_issue", crib[2].pk, token=token, piece=ticked)

    assert "C-3" not in offered
    assert [loan.tool.tag for loan in Loan.objects.filter(borrower=machinist).order_by("tool__tag")] == ["C-0", "C-1"]


def test_no_piece_of_another_drawer_slips_into_the_kit(crib, client_of, machinist):
    other = factories.collet(location="B2")

    post(client_of(machinist), "place_issue", crib[2].pk, token=uuid.uuid4(), piece=[other.pk])

    assert not Loan.objects.exists()


def test_a_drawer_shows_its_pieces_as_they_lie_in_it_the_size_first(crib, keepers_browser):
    factories.collet("3/4", tag="C-1", location="A2")
    factories.sleeve(tag="H-1", location="A2")

    slots = page(keepers_browser, "place", crib[2].pk).partition('class="slots"')[2].partition("</ul>")[0]

    assert "<b>3/4</b> <small>5C round</small> <small>C-1</small>" in slots
    assert '<b class="kind-word">sleeve</b> <small>H-1</small>' in slots
