"""Seats of the shop's own: entered, described, named further, and made one with another."""

from html import unescape

import pytest
from django.urls import reverse

from inventory.figures.names import seat_named
from inventory.models import Kind, Lathe, OtherName, Seat, Tool
from tests import factories


@pytest.fixture
def browser(client_of, keeper):
    return client_of(keeper)


def text_of(answer):
    return unescape(answer.content.decode())


def post(browser, name, *args, **fields):
    return browser.post(reverse(name, args=args), fields, follow=True)


def test_a_seat_is_entered_with_what_it_is(browser, keeper):
    answer = post(browser, "seat_add", code="NT40", family="taper", is_drawn="on", standard="ISO 297")

    seat = Seat.objects.get(code="NT40")
    assert (seat.family, seat.needs_drawbar, seat.changed_by) == ("taper", True, keeper)
    assert "a drawbar holds what sits in it" in text_of(answer)


@pytest.mark.parametrize(
    ("code", "sentence"),
    [
        ("MK 4", "“MK 4” is a name of the seat MT4 already. Write another."),
        ("5-C", "“5-C” is a name of the seat 5C already."),
        ("--", "“--” is no name. Write letters or figures."),
        ("", "Name is empty. Write it like B16"),
    ],
)
def test_a_name_that_is_taken_or_is_none_is_refused(browser, code, sentence):
    assert sentence in text_of(post(browser, "seat_add", code=code, family="taper"))


def test_every_seat_has_its_page_also_one_that_is_a_thread(browser):
    factories.lathe(name="Lathe 7", nose="1-1/2-8")
    page = text_of(browser.get(reverse("seat", args=["1-1/2-8"])))

    assert "Threaded nose" in page and "Lathe 7" in page
    assert browser.get("/seats/of/1.5-8%20TPI/").url == reverse("seat", args=["1-1/2-8"])
    assert browser.get("/seats/of/nowhere/").status_code == 404


def test_a_seat_of_the_tables_gets_another_name_and_nothing_else(browser, keeper):
    post(browser, "seat", "MT4", text="old mill taper")
    assert seat_named("OLD MILL taper").code == "MT4" and OtherName.objects.get().added_by == keeper

    assert "another name is all that it can get" in text_of(post(browser, "seat_edit", "MT4", code="X", family="bore"))
    assert "stays: it is of the tables" in text_of(post(browser, "seat", "MT4", take_off="yes"))


def test_a_name_that_means_another_seat_is_refused(browser):
    post(browser, "seat", "MT4", text="tailstock")
    assert "“Tailstock” is a name of the seat MT4 already." in text_of(post(browser, "seat", "MT3", text="Tailstock"))


def test_two_seats_that_are_one_become_one_with_all_that_names_them(browser):
    factories.lathe(name="Lathe 7", headstock="Big taper")
    factories.sleeve(mount="Big taper", takes="MT3", tag="S-1")
    factories.piece(Kind.KEY, tag="Y-1", fits="K-1, Big taper")
    answer = post(browser, "seat", "Big taper", same_as="Morse 5")

    assert "Big taper is MT5 now" in text_of(answer)
    assert Lathe.objects.get().headstock_taper.code == Tool.objects.get(tag="S-1").mounts_in.code == "MT5"
    assert Tool.history.filter(tag="S-1").first().mounts_in.code == "MT5"
    assert Tool.objects.get(tag="Y-1").fits == "K-1, MT5"
    assert seat_named("big-taper").code == "MT5" and not Seat.objects.filter(code="Big taper").exists()


@pytest.mark.parametrize(
    ("same_as", "sentence"), [("nowhere", "is no seat here"), ("big taper", "is this seat itself")]
)
def test_one_seat_is_only_made_of_two_that_there_are(browser, same_as, sentence):
    factories.sleeve(mount="Big taper", takes="MT3")

    assert sentence in text_of(post(browser, "seat", "Big taper", same_as=same_as))
    assert Seat.objects.filter(code="Big taper").exists()


def test_renamed_it_is_still_read_by_its_old_name(browser):
    factories.sleeve(mount="Big taper", takes="MT3", tag="S-1")
    post(browser, "seat_edit", "Big taper", code="Spindle taper", family="taper")

    assert Tool.objects.get().mounts_in.code == "Spindle taper" == seat_named("big taper").code


def test_what_is_in_use_stays_and_what_is_not_goes(browser):
    factories.sleeve(mount="Big taper", takes="MT3")
    Seat.objects.create(code="Mistyped")

    assert "or something is at it" in text_of(post(browser, "seat", "Big taper", take_off="yes"))
    assert "Mistyped is off the list." in text_of(post(browser, "seat", "Mistyped", take_off="yes"))


def test_the_list_says_what_else_a_seat_is_called_and_which_are_of_this_shop(browser):
    post(browser, "seat", "MT4", text="old mill taper")
    Seat.objects.create(code="B16", family="taper")
    page = text_of(browser.get(reverse("seats")))

    assert "; also called old mill taper" in page and "<b>B16</b> taper" in page


def test_a_machinist_sees_a_seat_and_changes_nothing(client_of):
    machinist = client_of("machinist")

    assert "Add the name" not in text_of(machinist.get(reverse("seat", args=["MT4"])))
    assert machinist.post(reverse("seat", args=["MT4"]), {"text": "x"}).status_code == 403
    assert machinist.get(reverse("seat_add")).status_code == 403
