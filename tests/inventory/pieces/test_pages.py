"""The list of pieces, and the page of one."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models import Kind, Tool
from tests import factories


@pytest.fixture
def machinists_browser(client_of):
    return client_of("machinist")


def list_page(client, **narrowed_by):
    return client.get(reverse("tool_list"), narrowed_by).content.decode()


def piece_page(client, tag):
    return client.get(reverse("tool", args=[tag])).content.decode()


def test_an_empty_book_says_what_would_be_here_and_how_to_begin(client_of):
    page = list_page(client_of("keeper"))

    assert "Here every collet, chuck, center and holder" in page
    assert reverse("tool_add") in page


def test_a_row_says_tag_size_and_drawer(machinists_browser):
    factories.collet("3/4", tag="C-0011", location="A2")

    page = list_page(machinists_browser)

    assert "C-0011" in page
    assert '<th scope="row">3/4</th>\n<td>round 5C collet</td>' in page
    assert "<i>drawer</i> A2" in page


def test_a_row_says_in_words_what_is_the_matter(machinists_browser, machinist):
    factories.loan(factories.collet(condition="worn"), to=machinist)
    factories.piece(Kind.LATHE_DOG, missing_since=date(2026, 2, 1))

    page = list_page(machinists_browser)

    for words in ("worn", f"out to {machinist}", ">missing<", "details to fill in"):
        assert words in page


@pytest.mark.parametrize(
    ("narrowed_by", "expected"),
    [
        ({"size": "3/4"}, "C-0001"),
        ({"size": ".75"}, "C-0001"),
        ({"size": "12 mm"}, "C-0002"),
        ({"series": "ER32"}, "C-0002"),
        ({"shape": "hex"}, "C-0003"),
        ({"kind": "universal chuck"}, "K-0001"),
        ({"condition": "worn"}, "C-0003"),
        ({"location": "b7"}, "C-0002"),
        ({"text": "k-00"}, "K-0001"),
        ({"text": "B7"}, "C-0002"),
        ({"text": "burr"}, "C-0003"),
        ({"state": "out"}, "C-0002"),
        ({"state": "missing"}, "C-0001"),
        ({"state": "details"}, "D-0001"),
        ({"state": "retired"}, "X-0001"),
    ],
    ids=str,
)
def test_the_list_is_narrowed_to(narrowed_by, expected, machinists_browser):
    factories.collet("3/4", tag="C-0001", missing_since=date(2026, 2, 1))
    factories.loan(factories.collet("12 mm", series="ER32", tag="C-0002", location="B7"))
    factories.collet("1/2", shape="hex", tag="C-0003", condition="worn", notes="burr on the key")
    factories.chuck(tag="K-0001")
    factories.piece(Kind.LATHE_DOG, tag="D-0001")
    factories.collet("1/4", tag="X-0001", retired_at=timezone.now())

    page = list_page(machinists_browser, **narrowed_by)

    tags = {"C-0001", "C-0002", "C-0003", "K-0001", "D-0001", "X-0001"}
    assert {tag for tag in tags if f"<b>{tag}</b>" in page} == {expected}


def test_a_size_that_cannot_be_read_is_said_beside_its_field(machinists_browser):
    factories.collet(tag="C-0001")

    page = list_page(machinists_browser, size="three quarters")

    assert "“three quarters” cannot be read as a length" in page
    assert 'value="three quarters"' in page


def test_a_narrowed_list_without_a_piece_leads_back_to_all(machinists_browser):
    factories.collet()

    assert "No piece is like that" in list_page(machinists_browser, text="nothing has this")


def test_a_retired_piece_is_not_in_the_list(machinists_browser):
    factories.collet(tag="X-0001", retired_at=timezone.now())

    assert "X-0001" not in list_page(machinists_browser)


def test_the_second_page_keeps_how_the_list_was_narrowed(machinists_browser):
    for _ in range(51):
        factories.collet()
    factories.chuck(tag="K-0001")

    first = list_page(machinists_browser, series="5C")
    second = list_page(machinists_browser, series="5C", page="2")

    assert "?series=5C&amp;page=2" in first
    assert "page 2 of 2" in second


def test_the_list_takes_as_many_queries_for_many_pieces_as_for_few(machinists_browser, django_assert_num_queries):
    def fill(pieces):
        for _ in range(pieces):
            factories.loan(factories.collet(), to=borrower)
            factories.closer()

    borrower = factories.user("machinist")
    fill(1)
    with django_assert_num_queries(9):
        list_page(machinists_browser, condition="good")
    with django_assert_num_queries(11) as few:
        list_page(machinists_browser)
    fill(15)
    with django_assert_num_queries(9):
        list_page(machinists_browser, condition="good")
    with django_assert_num_queries(len(few)):
        list_page(machinists_browser)


def test_a_piece_is_found_by_its_tag_in_any_case(machinists_browser):
    factories.collet(tag="C-0011")

    assert "3/4 round 5C collet" in piece_page(machinists_browser, "c-0011")


@pytest.mark.parametrize("address", ["/t/C-9999/", "/t/%00/", "/t/%3Cb%3E/", "/t/" + "9" * 500 + "/"])
def test_a_tag_that_is_on_no_piece_is_answered_with_a_page(address, machinists_browser):
    answer = machinists_browser.get(address)

    assert answer.status_code == 404
    assert "There is no page at this address" in answer.content.decode()


def test_a_collet_shows_its_clamping_range_and_true_zone_in_both_units(machinists_browser):
    # 5C: grips 0.005 in to either side of nominal, true from 0.002 in under; common practice, no source.
    factories.collet("3/4", tag="C-0011")

    page = piece_page(machinists_browser, "C-0011")

    assert "0.7450 in (18.923 mm) to 0.7550 in (19.177 mm)" in page
    assert "0.7480 in (18.999 mm) to 3/4 in (19.050 mm)" in page


def test_a_piece_shows_its_tir_and_when_it_was_read(machinists_browser):
    factories.collet(tag="C-0011", tir="0.0005", inspected_on=date(2026, 3, 18))

    page = piece_page(machinists_browser, "C-0011")

    assert "0.0005 in (0.013 mm) TIR" in page
    assert "read 2026-03-18" in page


def test_a_piece_says_which_details_are_missing(machinists_browser):
    factories.closer(tag="H-0061", through=None)

    assert "largest bar that passes" in piece_page(machinists_browser, "H-0061")


def test_a_change_is_told_with_the_words_before_and_after(machinists_browser):
    tool = factories.collet(tag="C-0011", location="A2")
    tool.location, tool.condition = factories.place("B1"), "worn"
    tool.save()

    page = piece_page(machinists_browser, "C-0011")

    assert "drawer: A2 → B1" in page
    assert "condition: good → worn" in page


def test_a_change_is_told_in_the_words_of_the_trade(machinists_browser):
    tool = factories.collet(tag="C-0011", location=None)
    tool.location, tool.cost_cents, tool.retired_at = factories.place("B7"), 900, timezone.now()
    tool.save()

    page = piece_page(machinists_browser, "C-0011")

    assert "drawer: empty → B7" in page
    assert "paid: empty → $9.00" in page
    assert "; retired" in page or "retired; " in page
    assert "pk=None" not in page


def test_what_is_the_matter_with_a_piece_is_said_once(machinists_browser):
    factories.collet(tag="C-0011", condition="damaged", finding="bell-mouthed")

    page = piece_page(machinists_browser, "C-0011")

    assert "damaged, bell-mouthed" in page
    assert page.count("damaged") == 1


def test_one_field_for_all_stands_before_the_folded_rest(machinists_browser):
    factories.collet()

    before_the_rest, rest = list_page(machinists_browser).split("<details")

    assert "Size, tag, drawer or word" in before_the_rest
    assert 'name="location"' in rest


def test_what_narrows_the_list_stands_outside_the_fold_each_with_the_way_to_be_without_it(machinists_browser):
    factories.collet("3/4", tag="C-0001", location="A2", condition="worn")

    outside = list_page(machinists_browser, location="A2", condition="worn", kind="").partition("<details")[0]

    assert 'href="/tooling/?condition=worn">drawer A2' in outside
    assert 'href="/tooling/?location=A2">condition worn' in outside


def test_the_fold_is_open_where_something_in_it_cannot_be_read(machinists_browser):
    factories.collet(tag="C-0001")

    assert '<details class="side" open>' in list_page(machinists_browser, size="three quarters")
    assert '<details class="side" open>' not in list_page(machinists_browser, size="3/4")


def test_blanks_of_one_series_are_told_apart_by_their_pilots(machinists_browser):
    factories.blank("1/16", tag="C-0046")

    assert '<th scope="row">5C</th>\n<td>machinable collet, pilot 1/16</td>' in list_page(machinists_browser)


def test_a_choice_that_there_is_not_is_refused_with_what_there_is(machinists_browser):
    assert "“oval” is none of the choices here. Choose round, hex, square." in list_page(
        machinists_browser, shape="oval"
    )


def test_the_button_says_for_whom_a_piece_is_returned(client_of, machinist, keeper):
    factories.loan(factories.collet(tag="C-0011"), to=machinist)

    assert f">Bring back for {machinist}<" in piece_page(client_of(keeper), "C-0011")
    assert ">Bring back<" in piece_page(client_of(machinist), "C-0011")


def test_buttons_that_a_role_may_not_press_are_not_shown(client_of):
    factories.collet(tag="C-0011")

    page = piece_page(client_of("purchasing"), "C-0011")

    assert "Take it" not in page
    assert "Edit" not in page
    assert "Retire" not in page


def test_a_note_that_looks_like_markup_is_shown_as_it_was_typed(machinists_browser):
    factories.collet(tag="C-0011", notes="<script>alert(1)</script>")

    page = piece_page(machinists_browser, "C-0011")

    assert "<script>" not in page
    assert "&lt;script&gt;" in page


def test_a_range_and_a_thread_of_its_own_stand_on_the_pieces_page(client_of):
    factories.collet("1", tag="C-0900", stop_thread=True)
    size = Tool.objects.get(tag="C-0900").size
    type(size).objects.filter(pk=size.pk).update(is_marked=True)

    said = client_of("machinist").get(reverse("tool", args=["C-0900"])).content.decode()

    assert "marked on this piece" in said and "<dd>cut inside</dd>" in said


def test_a_whole_tag_leads_to_its_piece(db, client_of):
    tool = factories.collet(tag="C-0011")
    factories.collet(tag="C-00110")

    assert client_of("keeper").get(reverse("tool_list"), {"text": "c-0011 "})["Location"] == tool.get_absolute_url()


def test_a_tag_beside_another_condition_narrows_the_list(db, client_of):
    factories.collet(tag="C-0011")

    answer = client_of("keeper").get(reverse("tool_list"), {"text": "C-0011", "condition": "worn"})

    assert answer.context["page"].paginator.count == 0
