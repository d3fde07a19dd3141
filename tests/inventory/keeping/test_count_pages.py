"""The page of a count, from the drawer's label to its end."""

from datetime import date

import pytest
from django.urls import reverse

from inventory.models import Count, Tool
from tests import factories


@pytest.fixture
def browser(client_of, keeper):
    return client_of(keeper)


@pytest.fixture
def pieces(db):
    return [factories.collet(tag=f"C-{number}", location="A2") for number in range(1, 4)]


def post(browser, name, /, *args, **sends):
    return browser.post(reverse(name, args=args), sends, follow=True).content.decode()


@pytest.fixture
def count(browser, pieces):
    post(browser, "count_begin", pieces[0].location_id)
    return Count.objects.get()


def test_a_count_goes_from_the_drawer_to_its_end(browser, pieces, count):
    first = post(browser, "count_say", count.pk, answer="here", piece=[pieces[0].pk, pieces[1].pk])
    last = post(browser, "count_close", count.pk, unsaid=[pieces[2].pk])

    assert "2 here, 0 not here, 1 to look for" in first
    assert "Close: the one that nobody saw is missing" in first
    assert "The count of drawer A2 is closed. C-3: missing." in last
    assert [tool.tag for tool in Tool.objects.exclude(missing_since=None)] == ["C-3"]


def test_counting_again_goes_on_with_the_open_count(browser, pieces, count):
    post(browser, "count_begin", pieces[0].location_id)

    assert Count.objects.count() == 1
    assert "Go on with its count" in browser.get(reverse("place", args=[pieces[0].location_id])).content.decode()


def test_an_extra_piece_is_named_with_where_it_belongs(browser, count):
    factories.collet(tag="C-9", location="B2")

    assert "C-9 is written down as here. It belongs in drawer B2." in post(
        browser, "count_extra", count.pk, tag="c-9", answer="goes back"
    )
    assert "No piece has the tag" in post(browser, "count_extra", count.pk, tag="C-77", answer="move in")


@pytest.mark.parametrize("piece", ["x", "9" * 30, "²", ""])
def test_what_is_no_key_is_left_out(piece, browser, count):
    assert "Nothing was ticked" in post(browser, "count_say", count.pk, answer="here", piece=[piece])


def test_a_dropped_count_stays_readable(browser, pieces, count):
    post(browser, "count_say", count.pk, answer="not here", piece=[pieces[0].pk])

    text = post(browser, "count_drop", count.pk)

    assert "Nothing was changed." in text
    assert "C-1" in text


def test_the_desk_and_the_list_of_counts_tell_an_open_count(browser, count):
    assert reverse("count", args=[count.pk]) in browser.get(reverse("desk")).content.decode()
    assert reverse("count", args=[count.pk]) in browser.get(reverse("count_list")).content.decode()


def test_all_but_the_missing_are_here_in_one_press(browser, pieces, count):
    shown = [tool.pk for tool in pieces]

    page = post(browser, "count_say", count.pk, answer="all but", shown=shown, piece=[pieces[1].pk])

    assert "2 here, 1 not here: written down." in page
    assert "2 here, 1 not here, 0 to look for" in page
    assert not Tool.objects.exclude(missing_since=None).exists()


def test_what_was_missing_before_is_not_found_by_a_word_for_all(browser, pieces, count):
    Tool.objects.filter(pk=pieces[2].pk).update(missing_since=date(2026, 3, 18))
    shown = [tool.pk for tool in pieces]

    assert "What was missing before stays missing" in browser.get(reverse("count", args=[count.pk])).content.decode()
    page = post(browser, "count_say", count.pk, answer="all but", shown=shown)
    assert "2 here, 0 not here: written down." in page
    assert "Missing before, and left so: C-3." in page

    post(browser, "count_close", count.pk, unsaid=[pieces[2].pk])
    assert Tool.objects.get(tag="C-3").missing_since == date(2026, 3, 18)


def test_what_was_missing_before_is_found_on_its_own_line(browser, pieces, count):
    pieces[2].missing_since = date(2026, 3, 18)
    pieces[2].save()

    post(browser, "count_say", count.pk, answer="here", piece=[tool.pk for tool in pieces])
    post(browser, "count_close", count.pk)

    assert Tool.objects.get(tag="C-3").missing_since is None


def test_a_drawer_is_counted_along_the_rack(browser, pieces, count):
    for size, tag in (("1/2", "C-9"), ("7/8", "C-0"), ("9/16", "C-7")):
        factories.collet(size, tag=tag, location="A2")
    along = ["C-9", "C-7", "C-1", "C-2", "C-3", "C-0"]

    drawer = browser.get(reverse("count", args=[count.pk])).context["drawer"]
    assert [tool.tag for tool in drawer.unseen] == along
    post(browser, "count_say", count.pk, answer="here", piece=[tool.pk for tool in drawer.unseen])

    here = browser.get(reverse("count", args=[count.pk])).context["here"]
    assert [line.tool.tag for line in here] == along


def test_what_came_into_the_drawer_meanwhile_is_to_look_for(browser, pieces, count):
    shown = [tool.pk for tool in pieces]
    factories.collet(tag="C-8", location="A2")

    assert "3 here, 0 not here, 1 to look for" in post(browser, "count_say", count.pk, answer="all but", shown=shown)


def test_a_count_that_is_over_tells_first_what_it_put_right(browser, pieces, count):
    post(browser, "count_say", count.pk, answer="here", piece=[pieces[0].pk, pieces[1].pk])
    page = post(browser, "count_close", count.pk, unsaid=[pieces[2].pk])

    assert "Put right <small>1</small>" in page
    assert "As Gripbook says: 2" in page


def test_the_longest_uncounted_is_offered_first(browser, pieces, count):
    factories.collet(tag="C-9", location="B2")
    factories.collet(tag="C-10", location="B3")
    post(browser, "count_drop", count.pk)
    post(browser, "count_begin", Tool.objects.get(tag="C-9").location_id)
    post(browser, "count_close", Count.objects.open().get().pk, unsaid=[Tool.objects.get(tag="C-9").pk])

    offered = browser.get(reverse("count_list")).context["to_count"]

    assert [(place.name, place.pieces, place.counted_at is None) for place in offered] == [
        ("A2", 3, True),
        ("B3", 1, True),
        ("B2", 1, False),
    ]


def test_a_drawer_in_count_is_not_offered_again(browser, count):
    assert not browser.get(reverse("count_list")).context["to_count"]
