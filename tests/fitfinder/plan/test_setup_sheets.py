"""Setup sheets: kept from a plan, picked in drawer order, issued in one tap, used again."""

import re
import uuid
from urllib.parse import urlencode

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.measures.lengths import parse
from inventory.models import Loan, SetupSheet, Tool
from tests import factories

JOB = {"size": "0.7485", "parts": "12"}


@pytest.fixture
def shop(db):
    factories.lathe("Lathe 1", tir="0.0001")
    factories.closer(tag="H-0061", tir="0.0002", location="D1")
    factories.collet("3/4", tag="C-0011", location="A2", tir="0.0003")


@pytest.fixture
def machinist(db):
    return factories.user("machinist", name="dana")


@pytest.fixture
def browser(client_of, machinist, shop):
    return client_of(machinist)


def keep(client, slug="collet", token=None, name="", number="", revision="", **job):
    address = f"{reverse('setup_keep', args=[slug])}?{urlencode({**JOB, **job})}"
    typed = {"token": token or uuid.uuid4(), "name": name, "number": number, "revision": revision}
    return client.post(address, typed, follow=True)


def press(client, name, **fields):
    return client.post(
        reverse(name, args=[SetupSheet.objects.get().pk]), {"token": uuid.uuid4(), **fields}, follow=True
    )


def words(answer):
    return answer.content.decode()


def test_a_way_is_kept_with_its_pieces_its_steps_and_its_numbers(browser):
    page = words(keep(browser))
    kept = SetupSheet.objects.get()

    assert [str(piece.tool) for piece in kept.pieces.all()] == ["H-0061", "C-0011"]
    for text in ("0.7485 in round, measured", "H-0061", "Wipe every seat", "it should swing no more than 0.0006"):
        assert text in page


def test_the_same_page_sent_twice_keeps_one_sheet(browser):
    token = uuid.uuid4()
    keep(browser, token=token)
    keep(browser, token=token)

    assert SetupSheet.objects.count() == 1


def test_a_part_that_has_such_a_sheet_already_says_so_and_what_was_typed_stays(browser):
    keep(browser, name="Idler shaft", number="P-7", revision="A")
    page = words(keep(browser, name="Idler, short", number="p-7", revision="a"))

    assert "There is a sheet of this part number, revision and set-up for this lathe already." in page
    assert 'value="Idler, short"' in page and 'value="p-7"' in page
    assert SetupSheet.objects.count() == 1


def test_a_way_that_cannot_hold_it_is_not_kept_and_says_why(browser):
    assert "it has no finished bore to be held by" in words(keep(browser, "mandrel"))
    assert not SetupSheet.objects.exists()


def test_a_question_that_cannot_be_read_is_not_kept_and_says_why(browser):
    assert "no number of parts" in words(keep(browser, parts="many"))
    assert not SetupSheet.objects.exists()


def test_the_pick_list_is_in_the_order_of_the_drawers(browser):
    page = words(keep(browser))
    picks = page[page.index("Pick list") :]

    assert picks.index("C-0011") < picks.index("H-0061")  # A2 before D1, though the closer is first on the spindle


def test_all_of_it_is_issued_in_one_tap(browser, machinist):
    keep(browser)
    page = words(press(browser, "setup_issue"))

    assert "Issued to you: H-0061, C-0011." in page or "Issued to you: C-0011, H-0061." in page
    assert Loan.objects.open().filter(borrower=machinist).count() == 2


def test_a_resent_tap_issues_nothing_twice(browser):
    keep(browser)
    token = uuid.uuid4()
    press(browser, "setup_issue", token=token)
    press(browser, "setup_issue", token=token)

    assert Loan.objects.count() == 2


def test_a_late_tap_after_the_return_does_not_take_the_pieces_out_again(browser):
    keep(browser)
    token = uuid.uuid4()
    press(browser, "setup_issue", token=token)
    press(browser, "setup_return")
    page = words(press(browser, "setup_issue", token=token))

    assert not Loan.objects.open().exists()
    assert "was returned since this page was made" in page


def test_what_somebody_else_has_is_told_and_the_rest_is_issued(browser, machinist):
    keep(browser)
    other = factories.user("machinist", name="pat")
    factories.loan(SetupSheet.objects.get().pieces.get(tool__tag="C-0011").tool, to=other)
    page = words(press(browser, "setup_issue"))

    assert "C-0011 is out to pat" in page
    assert [str(loan.tool) for loan in Loan.objects.open().filter(borrower=machinist)] == ["H-0061"]


@pytest.mark.parametrize(
    ("columns", "told"),
    [
        ({"condition": "damaged"}, "C-0011 is damaged and is not issued."),
        ({"retired_at": timezone.now()}, "C-0011 is retired and is not issued."),
    ],
)
def test_what_is_out_of_use_is_not_issued_and_says_why(browser, columns, told):
    keep(browser)
    tool = SetupSheet.objects.get().pieces.get(tool__tag="C-0011").tool
    type(tool).objects.filter(pk=tool.pk).update(**columns)

    assert told in words(press(browser, "setup_issue"))


def test_what_is_on_the_lathe_stays_there_and_is_not_issued(browser):
    keep(browser)
    kept = SetupSheet.objects.get()
    closer = kept.pieces.get(tool__tag="H-0061").tool
    type(closer).objects.filter(pk=closer.pk).update(mounted_on=kept.lathe)
    press(browser, "setup_issue")

    assert [str(loan.tool) for loan in Loan.objects.open()] == ["C-0011"]


def test_all_that_one_has_of_it_is_returned_in_one_tap(browser):
    keep(browser)
    press(browser, "setup_issue")

    assert "2 pieces are returned." in words(press(browser, "setup_return"))
    assert not Loan.objects.open().exists()


def test_a_sheet_leads_back_to_its_plan_for_the_next_batch(browser):
    assert 'href="/plan/?size=0.7485&amp;parts=12"' in words(keep(browser))


def test_a_sheet_put_away_leaves_the_list_and_comes_back(browser):
    keep(browser)
    press(browser, "setup_put_away")
    page = words(browser.get(reverse("setup_sheets")))
    assert "No setup sheet is in use" in page
    assert page.index("Archived: 1") < page.index("0.7485 in round, measured")

    press(browser, "setup_put_away", undo="yes")
    page = words(browser.get(reverse("setup_sheets")))
    assert "0.7485 in round, measured" in page
    assert "Archived" not in page


def test_a_sheet_bears_the_name_of_the_job_where_it_has_one(browser):
    keep(browser, name="Feed screw")

    assert SetupSheet.objects.get().title == "Feed screw"


def test_a_name_that_is_too_long_is_told_on_the_page_of_the_way(browser):
    page = words(keep(browser, name="long" * 31))

    assert "124 characters were read; write at most 120." in page
    assert 'name="name"' in page
    assert not SetupSheet.objects.exists()


def test_a_sheet_without_a_name_is_told_apart_by_stock_and_length(browser):
    keep(browser, length="2")

    assert SetupSheet.objects.get().title == "0.7485 in round, measured, 2 in long"


def test_jaws_that_have_to_go_in_stand_on_the_pick_list_with_their_drawer(browser):
    chuck = factories.chuck(tag="K-0081")
    factories.jaws(of=chuck, kind="soft", outside=("1/8", "3"), location=factories.place("D7"))
    picks = words(keep(browser, slug="soft-jaws")).partition("Pick list")[2].partition("In this order")[0]

    assert "soft jaws for K-0081" in picks
    assert "D7" in picks


def test_putting_a_sheet_away_says_what_is_still_out(browser):
    keep(browser)
    press(browser, "setup_issue")

    assert "You still have C-0011, H-0061: return it here." in words(press(browser, "setup_put_away"))


def test_what_speaks_against_a_way_stands_on_its_sheet_and_a_key_is_on_its_pick_list(browser):
    factories.chuck(tag="K-0081")
    factories.piece("key", tag="T-0001", fits="K-0081")
    text = keep(browser, slug="split-bushing").content.decode()

    assert "has to be made first" in text
    assert "T-0001" in text


# As last time ---------------------------------------------------------------------------------------------------


def sheet_page(browser):
    return words(browser.get(SetupSheet.objects.get().get_absolute_url()))


def test_as_last_time_all_of_it_is_to_be_had(browser):
    keep(browser)

    assert "All 2 pieces are to be had today." in sheet_page(browser)


def test_what_is_out_says_who_has_it_since_when_and_what_the_plan_takes_today(browser):
    keep(browser)
    factories.collet("3/4", tag="C-0012", location="A3")
    factories.loan(SetupSheet.objects.get().pieces.get(tool__tag="C-0011").tool, to=factories.user(name="pat"))
    page = sheet_page(browser)

    assert "1 of 2 pieces are to be had today." in page
    assert "out to pat</span> since" in page
    row = page.partition("Today the plan takes")[2].partition("</li>")[0]
    assert "C-0012" in row and "A3" in row


def test_what_another_lathe_has_is_told_and_what_is_like_it(browser):
    keep(browser)
    tool = SetupSheet.objects.get().pieces.get(tool__tag="C-0011").tool
    type(tool).objects.filter(pk=tool.pk).update(mounted_on=factories.lathe("Lathe 2"))
    page = sheet_page(browser)

    assert "on Lathe 2 now" in page
    assert "1 of 2 pieces are to be had today." in page


def test_a_worn_cutter_has_its_like_beside_it_and_another_shank_is_none(browser):
    worn = factories.piece("turning tool", tag="T-0001", shank="1/2", shank_shape="square", condition="worn")
    sheet = factories.setup_sheet()
    sheet.operations.create(order=1, does="turning", tool=worn)
    factories.piece("turning tool", tag="T-0002", shank="5/8", shank_shape="square")
    assert "Like it is" not in sheet_page(browser)

    factories.piece("turning tool", tag="T-0003", shank="1/2", shank_shape="square")
    page = sheet_page(browser)
    assert "Like it is" in page and "T-0003" in page
    assert "Its piece is to be had today." in page


def test_a_sheet_whose_pieces_are_gone_without_another_says_so(browser):
    keep(browser)
    tool = SetupSheet.objects.get().pieces.get(tool__tag="H-0061").tool
    type(tool).objects.filter(pk=tool.pk).update(condition="damaged")
    page = sheet_page(browser)

    assert "damaged: plan it again" in page
    assert "Today the plan takes" not in page


# The library ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "titles"),
    [
        ({"text": "mw-44"}, {"Idler shaft"}),
        ({"text": "shaft"}, {"Idler shaft", "Feed shaft"}),
        ({"text": "1144 shaft"}, {"Feed shaft"}),
        ({"stock": "3/4"}, {"Idler shaft"}),
        ({"stock": "20 mm"}, {"Feed shaft"}),
        ({"lathe": "Lathe 2"}, {"Feed shaft"}),
        ({"text": "nothing"}, set()),
    ],
)
def test_a_sheet_is_found_by_number_words_stock_and_lathe(client_of, asked, titles):
    band = {"stock_smallest": parse("0.7480 in"), "stock_largest": parse("0.7500 in")}
    factories.setup_sheet(title="Idler shaft", number="MW-4471", lathe=factories.lathe("Lathe 1"), **band)
    exact = {"stock_smallest": parse("20 mm"), "stock_largest": parse("20 mm")}
    second = factories.lathe("Lathe 2")
    factories.setup_sheet(title="Feed shaft", stock="20 mm of 1144", lathe=second, **exact)
    lathe = {"lathe": second.pk} if "lathe" in asked else {}
    page = words(client_of("keeper").get(reverse("setup_sheets"), {**asked, **lathe}))

    assert {title for title in ("Idler shaft", "Feed shaft") if title in page} == titles


def test_a_size_that_cannot_be_read_finds_no_sheet_and_says_why(browser):
    keep(browser)

    assert "thick" in words(browser.get(reverse("setup_sheets"), {"stock": "thick"}))


@pytest.mark.parametrize("slug", ["collet", "universal-chuck"])
def test_the_way_and_its_sheet_have_the_same_drawing(browser, slug):
    factories.chuck(tag="K-0081")
    asked = {**JOB, "length": "4"}
    way = browser.get(f"{reverse('plan_way', args=[slug])}?{urlencode(asked)}").content.decode()
    sheet = keep(browser, slug, length="4").content.decode()

    assert drawing(sheet) == drawing(way)
    assert 'text-anchor="start">grip ' in drawing(way)


def test_a_sheet_says_in_its_drawing_what_was_typed_in_millimeters(browser):
    sheet = keep(browser, size="19 mm", length="120 mm", unit="mm").content.decode()

    assert "3.9744 in out" in drawing(sheet)


def drawing(page):
    return re.search(r'<div class="holding">(.*?)</div>', page, re.S)[1]


def test_a_sheet_of_which_a_piece_is_gone_looks_careful_at_arms_length(browser):
    assert 'class="lead set-up"' in keep(browser).content.decode()

    Tool.objects.filter(tag="C-0011").update(condition="damaged")

    assert 'class="lead set-up maybe"' in press(browser, "setup_return").content.decode()
