"""The lathes."""

import re

import pytest
from django.urls import reverse

from inventory.measures.lengths import parse
from inventory.models import Lathe, Seat
from tests import factories


@pytest.fixture
def keepers_browser(client_of):
    return client_of("keeper")


def test_a_shop_without_lathes_is_told_what_that_means(keepers_browser):
    assert "Here the shop’s lathes" in keepers_browser.get(reverse("lathe_list")).content.decode().replace(
        "'", "’"
    ).replace("&#39;", "’")


def test_the_list_of_lathes_says_what_is_on_each_without_a_query_for_each(
    keepers_browser, django_assert_num_queries, django_assert_max_num_queries
):
    lathes = [factories.lathe(f"Lathe {number}") for number in range(3)]
    factories.chuck(tag="K-0009", mounted_on=lathes[1])
    with django_assert_max_num_queries(9) as few:
        page = keepers_browser.get(reverse("lathe_list"), {"order": "-name"}).content.decode()

    first, second, third = page.split("<tr>")[2:]
    assert "Lathe 2" in first and "nothing on it" in first
    assert "Lathe 1" in second and "K-0009" in second
    factories.chuck(tag="K-0010", mounted_on=lathes[2])
    with django_assert_num_queries(len(few)):
        keepers_browser.get(reverse("lathe_list"))


def test_an_entered_lathe_has_its_seats_and_bore(keepers_browser):
    keepers_browser.post(
        reverse("lathe_add"),
        {"name": "Lathe 1", "nose": "d1-4", "headstock_taper": "MT5", "spindle_bore": "1.57"},
    )

    lathe = Lathe.objects.get()
    assert (lathe.nose.code, lathe.headstock_taper.code) == ("D1-4", "MT5")
    assert lathe.spindle_bore == parse("1.57")


def test_how_far_tailstock_and_compound_go_is_kept_and_shown(keepers_browser):
    typed = {"name": "Lathe 1", "set_over": "1/2", "compound_travel": "100 mm", "gap_swing": "18", "gap_width": "6"}
    keepers_browser.post(reverse("lathe_add"), typed)

    lathe = Lathe.objects.get()
    page = keepers_browser.get(reverse("lathe", args=[lathe.pk])).content.decode()
    assert (lathe.set_over, lathe.compound_travel) == (parse("1/2"), parse("100 mm"))
    assert (lathe.gap_swing, lathe.gap_width) == (parse("18"), parse("6"))
    assert "ravel of the compound</dt>" in page


def test_an_unknown_seat_is_the_shops_own(keepers_browser):
    keepers_browser.post(
        reverse("lathe_add"), {"name": "Lathe 1", "headstock_taper": "OWN 7", "tailstock_taper": "own 7"}
    )

    lathe = Lathe.objects.get()
    assert lathe.headstock_taper == lathe.tailstock_taper == Seat.objects.get(code="OWN 7")


def test_a_refused_lathe_makes_no_seat(keepers_browser):
    seats = Seat.objects.count()

    page = keepers_browser.post(reverse("lathe_add"), {"name": "", "post": "OWN POST"}).content.decode()

    assert 'value="OWN POST"' in page
    assert Seat.objects.count() == seats


def test_a_bore_that_would_leave_no_taper_is_refused(keepers_browser):
    # The large end of MT5 is 1.7480 in: ANSI/ASME B5.10.
    page = keepers_browser.post(
        reverse("lathe_add"), {"name": "Lathe 1", "headstock_taper": "mt5", "spindle_bore": "1.75"}
    ).content.decode()

    assert "would leave no taper" in page
    assert not Lathe.objects.exists()


def test_two_lathes_of_one_name_are_refused(keepers_browser):
    factories.lathe("Lathe 1")

    page = keepers_browser.post(reverse("lathe_add"), {"name": "LATHE 1"}).content.decode()

    assert "There is a lathe of this name already." in page


def test_speeds_the_wrong_way_round_are_refused(keepers_browser):
    page = keepers_browser.post(
        reverse("lathe_add"), {"name": "Lathe 1", "slowest_rpm": "2000", "fastest_rpm": "70"}
    ).content.decode()

    assert "The fastest speed must not be below the slowest." in page


def test_a_lathe_shows_what_is_mounted_and_what_is_not_known(keepers_browser):
    lathe = factories.lathe("Lathe 1")
    factories.chuck(tag="K-0065", mounted_on=lathe)

    page = keepers_browser.get(reverse("lathe", args=[lathe.pk])).content.decode()

    assert "K-0065" in page
    assert "spindle length" in page


def test_an_edit_starts_with_what_is_known_and_is_kept(keepers_browser):
    lathe = factories.lathe("Lathe 1", nose="D1-4")
    address = reverse("lathe_edit", args=[lathe.pk])

    assert 'value="D1-4"' in keepers_browser.get(address).content.decode()
    keepers_browser.post(address, {"name": "Lathe 1", "nose": ""})

    lathe.refresh_from_db()
    assert lathe.nose is None


def test_a_lathe_is_retired_and_taken_back(keepers_browser):
    lathe = factories.lathe("Lathe 1")

    keepers_browser.post(reverse("lathe_retire", args=[lathe.pk]))
    lathe.refresh_from_db()
    assert lathe.retired_at is not None

    keepers_browser.post(reverse("lathe_unretire", args=[lathe.pk]))
    lathe.refresh_from_db()
    assert lathe.retired_at is None


def test_a_second_edit_page_is_told_what_the_first_changed(keepers_browser, client_of):
    lathe = factories.lathe("Lathe 1", nose="D1-4", headstock=None, tailstock=None, bore=None)
    address = reverse("lathe_edit", args=[lathe.pk])
    drawn = re.search(r'name="drawn_from" value="([0-9]+)"', keepers_browser.get(address).content.decode())[1]
    first = factories.user("keeper", name="first")

    client_of(first).post(address, {"name": "Lathe 1", "nose": "D1-5", "drawn_from": drawn})
    page = keepers_browser.post(address, {"name": "Lathe One", "nose": "D1-4", "drawn_from": drawn}).content.decode()

    lathe.refresh_from_db()
    assert "Changed meanwhile by first: spindle nose: D1-4 → D1-5" in page
    assert 'value="Lathe One"' in page
    assert (lathe.name, lathe.nose.code) == ("Lathe 1", "D1-5")


def test_an_edit_of_a_lathe_without_a_change_says_so(keepers_browser):
    lathe = factories.lathe("Lathe 1", headstock=None, tailstock=None, bore=None)

    page = keepers_browser.post(
        reverse("lathe_edit", args=[lathe.pk]), {"name": "Lathe 1", "nose": "d1 4"}, follow=True
    ).content.decode()

    assert "Nothing was changed." in page
    assert lathe.history.count() == 1


def test_a_seat_is_read_in_another_spelling(keepers_browser):
    page = keepers_browser.post(
        reverse("lathe_add"), {"name": "Lathe 1", "headstock_taper": "Morse 5", "post": "Q9-9"}, follow=True
    ).content.decode()

    assert Lathe.objects.get().headstock_taper.code == "MT5"
    assert "Q9-9 is no seat known here" in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"name": ""}, "Name is empty. Write it like Lathe 1."),
        ({"name": "x" * 41}, "41 characters were read; write at most 40."),
        ({"fastest_rpm": "999999"}, "999999 was read; write 100000 or less."),
        ({"nose_tir": "5"}, "Read as 5 in; a TIR is the indicator&#39;s swing"),
    ],
    ids=["no name", "long name", "speed", "run-out"],
)
def test_what_a_lathe_cannot_have_is_refused(typed, said, keepers_browser):
    page = keepers_browser.post(reverse("lathe_add"), {"name": "Lathe 1", **typed}).content.decode()

    assert said in page
    assert not Lathe.objects.exists()
