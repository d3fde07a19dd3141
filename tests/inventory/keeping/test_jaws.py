"""The sets of jaws of a chuck."""

import datetime
import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.measures.lengths import parse
from inventory.models import JawSet, Kind
from inventory.pieces.form import PieceForm
from tests import factories

YESTERDAY = timezone.localdate() - datetime.timedelta(days=1)


@pytest.fixture
def chuck(db):
    return factories.chuck(tag="K-0001", outside=("1/8", "6"), inside=("2", "5-1/2"))


@pytest.fixture
def keepers_browser(client_of, keeper):
    return client_of(keeper)


def enter(client, *, follow=True, **typed):
    given = {"token": uuid.uuid4(), "kind": "outside", "condition": "good", **typed}
    return client.post(reverse("jaws_add", args=["K-0001"]), given, follow=follow).content.decode()


def holds(chuck):
    chuck.refresh_from_db()
    return chuck.outside_smallest, chuck.outside_largest


def test_an_entered_set_stands_on_the_page_of_its_chuck(keepers_browser, chuck):
    page = enter(keepers_browser, outside_smallest="1/4", outside_largest="3", place="B1")

    assert "outside jaws" in page
    assert "Put in" in page
    assert JawSet.objects.get().location.name == "B1"


def test_a_form_that_is_sent_twice_enters_one_set(keepers_browser, chuck):
    token = uuid.uuid4()

    enter(keepers_browser, token=token)
    enter(keepers_browser, token=token)

    assert JawSet.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"outside_smallest": "3", "outside_largest": "2.9999"}, "2.9999 in is below the smallest size, 3 in."),
        ({"outside_smallest": "3", "outside_largest": "3"}, ""),
        ({"outside_smallest": "3", "outside_largest": "3.0001"}, ""),
        ({"outside_largest": "60"}, ""),
        ({"outside_largest": "60.0001"}, "write at most 60 in"),
        ({"kind": "inside", "inside_smallest": "2", "inside_largest": "1"}, "1 in is below the smallest size, 2 in."),
        ({"bored_to": "1"}, "Only soft jaws are bored to a size"),
        ({"kind": "soft", "bored_to": "1"}, ""),
        ({"kind": "soft", "outside_smallest": "1"}, "Soft jaws hold the size that they were bored to"),
        ({"kind": "odd"}, "“odd” is none of the choices here. Choose outside, inside, soft."),
    ],
)
def test_what_jaws_cannot_hold_is_refused_with_what_was_read(typed, said, keepers_browser, chuck):
    page = enter(keepers_browser, **typed)

    assert JawSet.objects.exists() == (not said)
    assert said in page


def test_the_jaws_that_are_put_in_say_what_the_chuck_holds(keepers_browser, chuck):
    first = factories.jaws(of=chuck, outside=("1/4", "3"), is_in=True)
    second = factories.jaws(of=chuck, kind="inside", outside=("2", "5"), inside=("1", "4"))

    keepers_browser.post(reverse("jaws_put_in", args=["K-0001", second.pk]))

    first.refresh_from_db()
    assert holds(chuck) == (parse("2"), parse("5"))
    assert (chuck.inside_smallest, chuck.inside_largest) == (parse("1"), parse("4"))
    assert not first.is_in


def test_soft_jaws_hold_the_size_that_they_were_bored_to(keepers_browser, chuck):
    soft = factories.jaws(of=chuck, kind="soft", outside=None, bored_to="1-1/2")

    keepers_browser.post(reverse("jaws_put_in", args=["K-0001", soft.pk]))

    assert holds(chuck) == (parse("1-1/2"), parse("1-1/2"))


def test_the_range_of_the_jaws_in_it_is_the_chucks(keepers_browser, chuck):
    jaws = factories.jaws(of=chuck)
    jaws.put_in()

    keepers_browser.post(
        reverse("jaws_edit", args=["K-0001", jaws.pk]),
        {
            "token": jaws.token, "kind": "outside", "condition": "good", "outside_smallest": "1/8",
            "outside_largest": "4",
        },
    )  # fmt: skip

    assert holds(chuck) == (parse("1/8"), parse("4"))
    assert jaws.history.count() == 3


def read(chuck, tir, *, on, by, **how):
    chuck.refresh_from_db()
    return chuck.record(tir=parse(tir), taken_on=on, by=by, **how)


def current_tir(chuck):
    chuck.refresh_from_db()
    return chuck.tir


def test_a_reading_with_other_jaws_counts_no_longer(keepers_browser, keeper, chuck):
    read(chuck, ".002", on=YESTERDAY, by=keeper)
    jaws = factories.jaws(of=chuck)

    page = keepers_browser.post(reverse("jaws_put_in", args=["K-0001", jaws.pk]), follow=True).content.decode()

    assert (current_tir(chuck), chuck.reading) == (None, None)
    assert chuck.inspections.get().tir == parse(".002")
    assert "0.0020 in (0.051 mm) TIR was read with other jaws and counts no longer" in page
    assert "TIR not measured with the jaws that are in it" in page


def test_jaws_that_are_in_already_leave_the_reading_as_it_is(keepers_browser, keeper, chuck):
    jaws = factories.jaws(of=chuck)
    jaws.put_in()
    read(chuck, ".002", on=timezone.localdate(), by=keeper)

    keepers_browser.post(reverse("jaws_put_in", args=["K-0001", jaws.pk]))
    jaws.put_in()

    assert current_tir(chuck) == parse(".002")


def test_a_correction_brings_no_reading_of_other_jaws_back(keeper, chuck):
    mistyped = read(chuck, ".02", on=timezone.localdate(), by=keeper)
    factories.jaws(of=chuck).put_in()

    read(chuck, ".002", on=timezone.localdate(), by=keeper, corrects=mistyped)

    assert current_tir(chuck) is None


def test_a_corrected_reading_with_these_jaws_counts(keeper, chuck):
    read(chuck, ".005", on=YESTERDAY, by=keeper)
    factories.jaws(of=chuck).put_in()
    mistyped = read(chuck, ".02", on=timezone.localdate(), by=keeper)

    read(chuck, ".002", on=timezone.localdate(), by=keeper, corrects=mistyped)

    assert current_tir(chuck) == parse(".002")


def test_a_late_reading_from_before_the_jaws_does_not_count(keeper, chuck):
    factories.jaws(of=chuck).put_in()
    read(chuck, ".002", on=timezone.localdate(), by=keeper)

    chuck.record(tir=parse(".004"), taken_on=YESTERDAY, by=keeper, is_late=True)

    assert current_tir(chuck) == parse(".002")


def test_readings_from_before_the_jaws_were_written_down_count(keeper, chuck):
    read(chuck, ".002", on=YESTERDAY, by=keeper)
    factories.jaws(of=chuck, is_in=True)
    mistyped = read(chuck, ".02", on=timezone.localdate(), by=keeper)

    chuck.record(tir=None, taken_on=timezone.localdate(), by=keeper, note="not read", corrects=mistyped)

    assert current_tir(chuck) == parse(".002")


def test_a_sheet_does_not_bring_an_ended_reading_back(keeper, chuck):
    read(chuck, ".002", on=YESTERDAY, by=keeper)
    factories.jaws(of=chuck).put_in()
    chuck.refresh_from_db()

    form = PieceForm(
        {"tag": "K-0001", "kind": "universal chuck", "tir": ".002", "inspected_on": YESTERDAY.isoformat()}, tool=chuck
    )

    assert form.is_valid(), form.errors
    assert not form.reading.is_new_to(chuck)


def test_jaws_that_are_in_the_chuck_are_not_retired(keepers_browser, chuck):
    jaws = factories.jaws(of=chuck, is_in=True)

    page = keepers_browser.post(reverse("jaws_retire", args=["K-0001", jaws.pk]), follow=True).content.decode()

    assert "Put other jaws in it, then retire them." in page
    jaws.refresh_from_db()
    assert jaws.retired_at is None


def test_a_retired_set_is_not_put_in_and_can_be_taken_back(keepers_browser, chuck):
    jaws = factories.jaws(of=chuck)

    keepers_browser.post(reverse("jaws_retire", args=["K-0001", jaws.pk]))
    page = keepers_browser.post(reverse("jaws_put_in", args=["K-0001", jaws.pk]), follow=True).content.decode()
    assert "retired: not put in" in page

    keepers_browser.post(reverse("jaws_unretire", args=["K-0001", jaws.pk]))
    jaws.refresh_from_db()
    assert jaws.is_usable


def test_the_chucks_form_leaves_ranges_to_the_jaws(chuck):
    factories.jaws(of=chuck, is_in=True)

    assert "outside_min" not in PieceForm(tool=chuck, kind=Kind.UNIVERSAL_CHUCK).fields


def test_a_sheet_with_another_range_than_the_jaws_is_refused(chuck):
    factories.jaws(of=chuck, outside=("1/8", "6"), is_in=True)
    same = PieceForm({"tag": "K-0001", "kind": "universal chuck", "outside_max": "6"}, tool=chuck)
    other = PieceForm({"tag": "K-0001", "kind": "universal chuck", "outside_max": "5"}, tool=chuck)

    assert same.is_valid()
    assert "change the range with those jaws" in other.errors["outside_max"][0]


def test_only_a_chuck_has_jaws(keepers_browser):
    factories.collet(tag="C-0001")

    assert keepers_browser.get(reverse("jaws_add", args=["C-0001"])).status_code == 404


def test_a_machinist_puts_jaws_in(client_of, chuck):
    jaws = factories.jaws(of=chuck)

    client_of("machinist").post(reverse("jaws_put_in", args=["K-0001", jaws.pk]))

    jaws.refresh_from_db()
    assert jaws.is_in
