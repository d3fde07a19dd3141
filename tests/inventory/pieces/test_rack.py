"""A rack of collets entered at once, and one more piece like another."""

import re

import pytest
from django.urls import reverse

from inventory.measures.lengths import parse
from inventory.models import Tool
from tests import factories

RACK = {
    "series": "5C", "shape": "round", "smallest": "1/4", "largest": "5/16", "step": "1/64",
    "location": "A2", "prefix": "C-",
}  # fmt: skip


@pytest.fixture
def browser(client_of, keeper):
    return client_of(keeper)


def shown(browser, **typed):
    return browser.get(reverse("rack_add"), {**RACK, **typed}).content.decode()


def enter(browser, collets, **typed):
    return browser.post(reverse("rack_add"), {**RACK, **typed, "collet": collets})


def rows(page):
    """Each row's size and tag, and whether it is ticked."""
    found = re.findall(r'name="collet" value="([^"]+)\|([^"]+)" id="[^"]+"( checked)?', page)
    return [(size, tag, bool(checked)) for size, tag, checked in found]


def ticked(page):
    return [f"{size}|{tag}" for size, tag, is_ticked in rows(page) if is_ticked]


def test_the_kinds_of_piece_lead_to_the_rack(browser):
    assert f'"{reverse("rack_add")}"' in browser.get(reverse("tool_add")).content.decode()


def test_an_empty_form_complains_of_nothing_and_lists_nothing(browser):
    page = browser.get(reverse("rack_add")).content.decode()

    assert 'value="C-"' in page
    assert 'role="alert"' not in page
    assert rows(page) == []


def test_a_run_in_64ths_lists_every_size_ticked_with_its_tag(browser):
    assert rows(shown(browser)) == [
        ("1/4 in", "C-0001", True),
        ("17/64 in", "C-0002", True),
        ("9/32 in", "C-0003", True),
        ("19/64 in", "C-0004", True),
        ("5/16 in", "C-0005", True),
    ]


def test_a_run_in_millimetres_ends_at_the_last_whole_step(browser):
    page = shown(browser, series="ER32", smallest="3 mm", largest="5.5 mm", step="1 mm")

    assert [size for size, _, _ in rows(page)] == ["3 mm", "4 mm", "5 mm"]


def test_the_whole_usual_set_of_5c_by_64ths_is_one_list(browser):
    # 1/16 to 1-1/8 by 64ths is 69 collets: (72 - 4) + 1, counted in 64ths. Common practice, no source.
    assert len(rows(shown(browser, smallest="1/16", largest="1-1/8"))) == 69


def test_a_size_that_is_in_the_book_says_so_is_not_ticked_and_takes_no_number_away(browser):
    factories.collet("9/32", tag="OLD-1")

    page = shown(browser)

    assert "In Gripbook already: OLD-1" in page
    assert ("9/32 in", "C-0005", False) in rows(page)
    assert [pick[-6:] for pick in ticked(page)] == ["C-0001", "C-0002", "C-0003", "C-0004"]


def test_a_retired_collet_is_not_in_the_book_and_keeps_its_number(browser, keeper):
    tool = factories.collet("9/32", tag="C-0041")
    tool.retired_at = "2026-03-18T08:00Z"
    tool.save()

    assert ("9/32 in", "C-0044", True) in rows(shown(browser))


def test_the_numbers_follow_the_highest_with_this_prefix_only(browser):
    for tag in ("C-0007", "C-0012", "C-0012B", "CX-0099"):
        factories.chuck(tag=tag)

    assert rows(shown(browser, prefix="c-"))[0][1] == "C-0013"


def test_the_ticked_ones_come_into_the_book_with_their_history(browser, keeper):
    answer = enter(browser, ["1/4 in|C-0001", "5/16 in|C-0005"])

    assert answer.url == f"{reverse('tool_list')}?location=A2"
    assert "2 collets are in Gripbook: C-0001, C-0005." in browser.get(answer.url).content.decode()
    assert [(tool.tag, tool.what, tool.location.name) for tool in Tool.objects.for_list()] == [
        ("C-0001", "1/4 round 5C collet", "A2"),
        ("C-0005", "5/16 round 5C collet", "A2"),
    ]
    assert {entry.history_user for entry in Tool.history.all()} == {keeper}
    assert Tool.history.count() == 2


def test_one_collet_is_told_of_as_one(browser):
    answer = enter(browser, ["1/4 in|C-0001"])

    assert "1 collet is in Gripbook: C-0001." in browser.get(answer.url).content.decode()


def test_the_labels_of_the_rack_are_a_tap_away(browser):
    page = browser.get(enter(browser, ["1/4 in|C-0001", "5/16 in|C-0005"]).url).content.decode()
    address = re.search(r'href="([^"]+)">Print their labels', page)[1]

    assert browser.get(address).context["form"]["tags"].value() == "C-0001 C-0005"


def test_without_a_drawer_the_list_of_the_series_follows(browser):
    assert enter(browser, ["1/4 in|C-0001"], location="").url == f"{reverse('tool_list')}?series=5C"


def test_a_list_that_is_sent_again_makes_nothing_twice(browser):
    collets = ticked(shown(browser))
    enter(browser, collets)

    page = enter(browser, collets).content.decode()

    assert "C-0001 is on another piece already." in page
    assert "Nothing was entered" in page
    assert Tool.objects.count() == 5
    assert ticked(page) == []


def test_one_taken_tag_refuses_all_and_the_ticks_stay_with_fresh_tags(browser):
    collets = ticked(shown(browser))
    factories.chuck(tag="C-0003")

    page = enter(browser, collets, location="Z9").content.decode()

    assert Tool.objects.count() == 1
    assert "C-0003 is on another piece already." in page
    assert ticked(page)[0] == "1/4 in|C-0004"
    assert len(ticked(page)) == 5
    assert 'value="Z9"' in page


def test_nothing_ticked_is_said(browser):
    page = enter(browser, []).content.decode()

    assert "No size is ticked." in page
    assert not Tool.objects.exists()


@pytest.mark.parametrize("pick", ["1/2 in|C-0001", "nonsense", "|", "1/4 in|not a tag"])
def test_what_the_list_did_not_show_is_refused_with_a_sentence(browser, pick):
    page = enter(browser, ["5/16 in|C-0005", pick]).content.decode()

    assert "is not in this list." in page or "is no tag." in page
    assert not Tool.objects.exists()


def test_one_tag_for_two_collets_is_refused(browser):
    page = enter(browser, ["1/4 in|C-0001", "5/16 in|C-0001"]).content.decode()

    assert "C-0001 is on another piece already." in page
    assert not Tool.objects.exists()


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"step": "0"}, "“0” is not above zero."),
        ({"step": "-1/64"}, "“-1/64” is below zero."),
        ({"step": "wide"}, "“wide” cannot be read as a length."),
        ({"step": ""}, "Step is empty."),
        ({"step": "1"}, "A step of 1 in is more than the whole way from 1/4 in to 5/16 in."),
        ({"step": "0.001 mm"}, "That would be 1,588 sizes; at most 200 at once."),
        ({"smallest": "1/2"}, "5/16 in is below where the run begins, 1/2 in."),
        ({"series": "9Z"}, "“9Z” is no series here."),
        ({"series": ""}, "Series is empty."),
        ({"shape": "oval"}, "“oval” is no shape of a collet."),
        ({"largest": "2"}, "“2” was read as 2 in; 5C round collets go from"),
        ({"largest": ""}, "To is empty."),
        ({"prefix": "C 1/"}, "“C 1/” begins no tag."),
        ({"prefix": ""}, "Tags begin with is empty."),
    ],
)
def test_a_run_that_cannot_be_is_refused_with_a_sentence_and_what_was_typed_stays(browser, typed, sentence):
    page = shown(browser, **typed, location="Drawer under the bench")

    assert sentence in page
    assert rows(page) == []
    assert 'value="Drawer under the bench"' in page
    for text in typed.values():
        assert f'value="{text}"' in page or not text or "shape" in typed


def test_a_prefix_whose_numbers_are_used_up_is_refused(browser):
    factories.chuck(tag="C-999999999999999999")

    assert "make tags longer than 20 characters" in shown(browser)


def test_a_refused_run_makes_nothing_when_it_is_sent(browser):
    assert "below zero" in enter(browser, ["1/4 in|C-0001"], step="-1").content.decode()
    assert not Tool.objects.exists()


def test_a_piece_leads_to_another_like_it_with_its_exact_size(browser):
    tool = factories.collet("10.25 mm", series="ER32", tag="C-0001", location="B 7", condition="worn")

    page = browser.get(tool.get_absolute_url()).content.decode()
    address = re.search(r'href="([^"]+)">Enter another like this', page)[1].replace("&amp;", "&")
    form = browser.get(address).context["form"]

    assert parse(form["size"].value()) == parse("10.25 mm")
    assert [form[name].value() for name in ("series", "shape", "location", "condition", "tag")] == [
        "ER32", "round", "B 7", None, "C-0002",
    ]  # fmt: skip


def test_who_may_not_enter_pieces_is_not_led_there(client_of):
    tool = factories.collet(tag="C-0001")

    assert "Enter another like this" not in client_of("machinist").get(tool.get_absolute_url()).content.decode()
