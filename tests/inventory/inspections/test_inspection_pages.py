"""The page on which an indicator's reading is kept, and what a piece's pages say of it afterwards."""

import io
import uuid
from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from inventory.measures.lengths import parse
from inventory.models import Inspection, InspectionPhoto, Kind
from tests import factories


@pytest.fixture(autouse=True)
def limits(db):
    """Whatever the table says: 5C collets may run out 0.001 in."""
    factories.limits(series="5C", limit="0.001")


@pytest.fixture
def tool(db):
    return factories.collet("3/4", tag="C-0011")


@pytest.fixture
def browser(client_of, keeper):
    return client_of(keeper)


def today():
    return timezone.localdate()


def keep(client, tag="C-0011", name="inspect", args=(), **texts):
    sent = {"verdict": "good", "taken_on": today().isoformat(), "token": uuid.uuid4(), **texts}
    return client.post(reverse(name, args=[tag, *args]), sent, follow=True)


def page_of(client, name="tool", *args):
    return words(client.get(reverse(name, args=["C-0011", *args])))


def words(answer):
    return answer.content.decode()


def a_photo(width=60, height=40):
    file = io.BytesIO()
    Image.new("RGB", (width, height), "navy").save(file, "JPEG")
    return SimpleUploadedFile("crack.jpg", file.getvalue(), "image/jpeg")


def test_a_reading_is_kept_with_on_what_it_was_taken(tool, browser, keeper):
    closer, lathe = factories.closer(tag="H-0061"), factories.lathe("Lathe 1")

    page = words(
        keep(
            browser, tir=".0004", taken_in="H-0061", on_lathe=lathe.pk, pin="3/4", was_reseated="on",
            tir_far="0.0008", far_at="1",
        )
    )  # fmt: skip

    look = tool.inspections.get()
    assert "C-0011: 0.0004 in (0.010 mm) TIR saved; it is good." in page
    assert (look.tir, look.tir_far, look.far_at, look.pin) == tuple(
        parse(text) for text in ("0.0004", "0.0008", "1", "3/4")
    )
    assert (look.in_holder_id, look.on_lathe, look.was_reseated, look.is_bare) == (closer.pk, lathe, True, None)
    assert (look.recorded_by, look.taken_on) == (keeper, today())


def test_the_same_tap_sent_twice_keeps_one_look(tool, browser):
    token = uuid.uuid4()

    keep(browser, tir=".0004", token=token)
    page = words(keep(browser, tir=".0004", token=token))

    assert "saved already" in page
    assert Inspection.objects.count() == 1


def test_the_verdict_is_preset_from_the_present_condition(tool, browser):
    type(tool).objects.update(condition="worn")

    assert browser.get(reverse("inspect", args=["C-0011"])).context["form"]["verdict"].value() == "worn"


def test_what_was_found_before_is_said_and_not_written_again_unasked(tool, browser):
    factories.reading(tool, "0.0004", finding="galled")

    answer = browser.get(reverse("inspect", args=["C-0011"]))

    assert not answer.context["form"]["finding"].value()
    assert "Found before: galled." in words(answer)


def test_who_may_not_take_a_crack_back_has_it_preset(tool, client_of):
    factories.reading(tool, "0.0004", finding="cracked")

    form = client_of("machinist").get(reverse("inspect", args=["C-0011"])).context["form"]

    assert form["finding"].value() == "cracked"


def test_a_machinist_does_not_take_a_crack_back(tool, client_of):
    factories.reading(tool, "0.0004", finding="cracked")

    page = words(keep(client_of("machinist"), verdict="damaged", tir=".0002"))

    tool.refresh_from_db()
    assert "C-0011 was found cracked; a crib keeper takes that back." in page
    assert tool.finding == "cracked"


def test_a_collet_is_asked_for_on_a_pin_of_its_own_size(tool, browser):
    assert 'name="pin" value="3/4 in"' in page_of(browser, "inspect")


def test_how_the_last_one_was_taken_is_remembered(tool, browser):
    factories.closer(tag="H-0061")
    lathe = factories.lathe("Lathe 1")
    factories.collet("1/2", tag="C-0007")

    keep(browser, tir=".0004", taken_in="H-0061", on_lathe=lathe.pk, was_reseated="on")
    form = browser.get(reverse("inspect", args=["C-0007"])).context["form"]

    assert form["taken_in"].value() == "H-0061"
    assert form["on_lathe"].value() == lathe.pk
    assert form["was_reseated"].value() is True
    assert form["pin"].value() == "1/2 in"


def test_another_day_nothing_is_remembered(tool, browser):
    keep(browser, tir=".0004", taken_in="bare")
    session = browser.session
    session["inspection_sitting"] = {
        **session["inspection_sitting"],
        "at": (timezone.now() - timedelta(hours=5)).isoformat(),
    }
    session.save()

    assert not browser.get(reverse("inspect", args=["C-0011"])).context["form"]["taken_in"].value()


def test_without_a_reading_nobody_says_how_it_was_taken(tool, browser):
    keep(browser, taken_in="bare", pin="3/4", was_reseated="on", finding="galled")

    look = tool.inspections.get()
    assert (look.is_bare, look.pin, look.was_reseated, look.finding) == (None, None, None, "galled")


def test_bell_mouthed_takes_it_out_of_use_and_says_so(tool, browser):
    page = words(keep(browser, tir=".0012", finding="bell-mouthed"))

    tool.refresh_from_db()
    assert "bell-mouthed, so it is damaged and out of use" in page
    assert not tool.is_in_service


def test_a_finding_of_another_kind_is_refused(tool, browser):
    page = words(keep(browser, finding="point worn"))

    assert "“point worn” is none of the choices here." in page
    assert not Inspection.objects.exists()


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        ({"tir": "half"}, "“half” cannot be read as a length"),
        ({"tir": "3/4"}, "a TIR is the indicator&#39;s swing"),
        ({"tir_far": ".0008"}, "needs its distance from the nose"),
        ({"taken_on": "2999-01-01"}, "is still to come"),
        ({"taken_on": ""}, "Day is empty."),
        ({"taken_in": "H-9999"}, "“H-9999” is none of the choices here."),
        ({"token": ""}, "This page is too old."),
    ],
)
def test_what_cannot_be_read_is_said(texts, said, tool, browser):
    page = words(keep(browser, note="Light at the back", **texts))

    assert said in page
    assert "Light at the back" in page
    assert not Inspection.objects.exists()


def test_a_photo_is_chosen_again_after_a_mistake(tool, browser):
    assert "Choose the photo once more" in words(keep(browser, tir="half", photo=a_photo()))


def test_a_missing_piece_on_the_indicator_is_found(tool, browser):
    type(tool).objects.update(missing_since=date(2026, 2, 1))

    page = words(keep(browser, tir=".0004"))

    tool.refresh_from_db()
    assert "it is found again" in page
    assert tool.missing_since is None


def test_a_late_inspection_leaves_the_current_reading(tool, browser):
    factories.reading(tool, "0.0006", taken_on=today())

    page = words(keep(browser, tir=".0002", taken_on=(today() - timedelta(days=9)).isoformat()))

    tool.refresh_from_db()
    assert "older than the last inspection" in page
    assert tool.tir == parse("0.0006")


def test_a_retired_piece_is_not_inspected(tool, browser):
    type(tool).objects.update(retired_at=timezone.now())

    assert "C-0011 is retired." in words(keep(browser, tir=".0004"))
    assert not Inspection.objects.exists()


def test_a_mistyped_inspection_stays_struck_through(tool, browser):
    mistyped = factories.reading(tool, "0.004", taken_on=date(2026, 3, 18))
    form = browser.get(reverse("inspection_correct", args=["C-0011", mistyped.pk])).context["form"]
    assert form["taken_on"].value() == "2026-03-18"

    page = words(keep(browser, name="inspection_correct", args=[mistyped.pk], tir=".0004", taken_on="2026-03-18"))

    tool.refresh_from_db()
    assert tool.tir == parse("0.0004")
    assert "<s>0.0040 in (0.102 mm) TIR</s>" in page
    assert '<span class="tag-word">corrected</span>' in page
    assert 'corrects 0.0040 in (0.102 mm) of <span class="day">2026-03-18</span>' in page


def test_two_who_correct_at_once_correct_once(tool, browser):
    mistyped = factories.reading(tool, "0.004")

    keep(browser, name="inspection_correct", args=[mistyped.pk], tir=".0004")
    page = words(keep(browser, name="inspection_correct", args=[mistyped.pk], tir=".0005"))

    assert "corrected already" in page
    assert Inspection.objects.standing().count() == 1


def test_a_machinist_corrects_their_own_words_only(tool, client_of, machinist):
    client = client_of(machinist)
    of_another = factories.reading(tool, "0.0004", by=factories.user("machinist"))

    keep(client, finding="cracked", verdict="damaged")

    tool.refresh_from_db()
    own = tool.inspections.get(recorded_by=machinist)
    assert tool.condition == "damaged"
    assert client.get(reverse("inspection_correct", args=["C-0011", own.pk])).status_code == 200
    assert client.get(reverse("inspection_correct", args=["C-0011", of_another.pk])).status_code == 403


@pytest.mark.parametrize(
    ("now", "offered"),
    [
        ("good", ["good", "worn", "damaged"]),
        ("worn", ["good", "worn", "damaged"]),
        ("damaged", ["damaged"]),
        ("scrapped", ["scrapped"]),
    ],
)
def test_a_machinist_neither_scraps_nor_takes_back(now, offered, tool, client_of):
    type(tool).objects.update(condition=now)
    client = client_of("machinist")

    form = client.get(reverse("inspect", args=["C-0011"])).context["form"]
    keep(client, verdict="scrapped" if now == "good" else "good", tir=".0004")

    tool.refresh_from_db()
    assert [value for value, _ in form.fields["verdict"].choices] == offered
    assert tool.condition in offered


def test_the_main_button_is_what_the_role_does_most(tool, browser, client_of):
    assert f'<a class="button" href="{reverse("inspect", args=["C-0011"])}">Inspect</a>' in page_of(browser)
    assert '<button class="button">Take it</button>' in page_of(client_of("machinist"))


def test_a_photo_is_kept_small(tool, browser, client_of):
    page = words(keep(browser, finding="cracked", photo=a_photo(3000, 2000)))
    address = reverse("inspection_photo", args=[InspectionPhoto.objects.get().pk])

    answer = client_of("purchasing").get(address)

    assert address in page
    assert Image.open(io.BytesIO(answer.content)).size == (1600, 1067)
    assert (answer["Content-Type"], answer["X-Content-Type-Options"]) == ("image/jpeg", "nosniff")
    assert "private" in answer["Cache-Control"]
    assert client_of(None).get(address).status_code == 302


def test_a_photo_that_is_none_is_refused_by_a_sentence(tool, browser):
    page = words(keep(browser, photo=SimpleUploadedFile("crack.jpg", b"<script>")))

    assert "That is no photo that can be read here." in page
    assert not Inspection.objects.exists()


def test_anybody_sees_the_trend_and_its_forecast(tool, client_of):
    factories.wearing(tool, "0.0003", "0.0004", "0.0005", "0.0006", "0.0007", "0.0008", last_on=today())

    page = page_of(client_of("purchasing"), "wear")

    assert "The limit of 0.0010 in (0.025 mm) is forecast for" in page
    assert "6 readings from 0.0003 to 0.0008 in TIR, limit 0.0010 in" in page
    assert page.count('<circle class="stock"') == 6


def test_the_picture_of_wear_has_a_scale_in_inches(tool, browser):
    factories.wearing(tool, "0.0003", "0.0004", "0.0005", last_on=today())

    page = page_of(browser, "wear")

    assert "TIR, inches" in page
    for mark in ("0", "0.0002", "0.0004", "0.0010"):
        assert f'text-anchor="end">{mark}</text>' in page


def test_where_nothing_is_forecast_the_page_says_why(tool, browser):
    factories.wearing(tool, "0.0003", "0.0004")

    assert "No forecast: only 2 readings taken alike; it takes 5." in page_of(browser, "wear")
    assert "only 2 readings taken alike" in page_of(browser)


def test_a_piece_without_a_reading_has_a_page_of_wear(tool, browser):
    assert "There is no dated reading yet." in page_of(browser, "wear")


def test_the_standard_behind_an_er_collets_limit_is_named(db, browser):
    factories.collet("10 mm", series="ER32", tag="C-0057")

    page = words(browser.get(reverse("wear", args=["C-0057"])))

    assert "0.0006 in (0.015 mm), stated for 25.000 mm from the face" in page
    assert "ISO 15488 Table 4" in page


def test_each_kind_of_piece_can_be_inspected(db, browser):
    for kind in Kind:
        made = factories.collet() if kind == Kind.COLLET else factories.piece(kind)

        assert browser.get(reverse("inspect", args=[made.tag])).status_code == 200
        keep(browser, tag=made.tag, tir=".0004")

    assert Inspection.objects.count() == len(Kind)


def test_few_readings_over_the_limit_are_told_as_over_it(browser, tool):
    factories.wearing(tool, "0.0012", last_on=today())

    assert "It reads over its limit of 0.0010 in (0.025 mm) already." in page_of(browser)


def test_a_later_reading_inside_the_limit_ends_what_was_over_it(browser, tool):
    lathe = factories.lathe("Lathe 1")
    keep(browser, tir=".0014", on_lathe=lathe.pk)
    for said in ({"on_lathe": lathe.pk}, {}):
        keep(browser, tir=".0003", **said)

        page = page_of(browser)
        assert "0.0003 in (0.008 mm) TIR</b>" in page
        assert "over its limit" not in page


def test_what_reads_over_the_limit_can_be_called_worn_at_once(tool, browser):
    page = words(keep(browser, tir=".0012"))

    assert "that is over its limit of 0.0010 in (0.025 mm), and it is still called good." in page
    assert "<b>Over its limit</b> of 0.0010 in (0.025 mm), and still called good." in page

    worn = words(keep(browser, verdict="worn"))
    tool.refresh_from_db()

    assert (tool.condition, str(tool.tir)) == ("worn", str(parse("0.0012")))
    assert "Over its limit" not in worn


def test_a_piece_that_is_damaged_is_said_to_be_out_of_use(tool, browser):
    page = words(keep(browser, verdict="damaged"))

    assert "it is damaged, and out of use." in page
    assert "<b>Out of use:</b> not offered, not issued." in page


def test_a_reading_inside_the_limit_asks_for_nothing(tool, browser):
    assert "Over its limit" not in words(keep(browser, tir=".0010"))


def test_the_wear_page_begins_with_reading_and_limit(tool, browser):
    keep(browser, tir=".0012")

    page = page_of(browser, "wear")

    assert "over its limit</b> of 0.0010 in (0.025 mm), and is still called good." in page


def test_calling_a_missing_piece_worn_does_not_find_it(tool, browser):
    keep(browser, tir=".0012")
    tool.refresh_from_db()
    tool.missing_since = today()
    tool.save()

    page = page_of(browser)

    assert "<b>Over its limit</b>" in page
    assert "Call it worn" not in page
