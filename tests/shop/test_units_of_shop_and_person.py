"""The units, money and dates that a shop and each of its people chose: what is typed bare, and what is shown."""

import re
import uuid
from datetime import date

import pytest
from django.core.management import call_command
from django.urls import reverse

from inventory.measures import display
from inventory.models import Deed, DeedAct, Lathe, ShopFigures, Tool, User
from inventory.pieces.form import PieceForm
from inventory.web import shop_settings
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def metric():
    """A shop that thinks in millimetres."""
    return ShopFigures.objects.update_or_create(pk=1, defaults={"unit": "mm"})[0]


@pytest.fixture
def browser(client_of, administrator):
    return client_of(administrator)


def text_of(answer):
    return " ".join(answer.content.decode().split())


def test_the_first_evening_asks_for_the_unit_until_it_is_said(browser):
    assert 'value="mm">Millimetres' in text_of(browser.get("/"))

    answer = browser.post(reverse("the_shop"), {"unit": "mm", "next": "/"})

    assert answer.url == "/"
    assert ShopFigures.objects.now().unit == "mm"
    assert 'value="mm">Millimetres' not in text_of(browser.get("/"))


def test_one_page_has_all_that_the_shop_chooses_and_what_is_not_sent_stays(browser):
    sent = {
        "unit": "mm", "runout_unit": "µm", "currency": "€", "currency_places": "2", "currency_is_after": "True",
        "has_decimal_comma": "True", "day_order": "d.m.y", "time_zone": "Europe/Vienna",
    }  # fmt: skip
    browser.post(reverse("the_shop"), sent)
    page = browser.post(reverse("the_shop"), {"time_zone": "Asia/Tokyo"}, follow=True)

    shop = ShopFigures.objects.now()
    assert {name: str(getattr(shop, name)) for name in sent} == sent | {"time_zone": "Asia/Tokyo"}
    assert "The shop's day is that of Asia/Tokyo" in page.content.decode().replace("&#x27;", "'").replace("&#39;", "'")


def test_what_is_changed_of_the_shop_stands_in_the_history_of_administration(browser, administrator, metric):
    ShopFigures.objects.update(time_zone="Europe/Vienna")
    sent = {"unit": "in", "currency": "CHF", "currency_is_after": "False", "day_order": "d.m.y", "time_zone": ""}

    browser.post(reverse("the_shop"), sent)
    browser.post(reverse("the_shop"), sent)
    refused = browser.post(reverse("the_shop"), sent | {"unit": "mm", "currency": "7"})
    page = text_of(browser.get(reverse("administration")))

    assert refused.status_code == 200
    deeds = Deed.objects.filter(act=DeedAct.SHOP).order_by("pk")
    assert {(deed.by, deed.device) for deed in deeds} == {(administrator, "127.0.0.1")}
    assert [deed.about for deed in deeds] == [
        "Lengths: millimetres → inches",
        "Currency: $ → CHF",
        "Dates: 2026-03-18 → 18.03.2026",
        "Time zone: Europe/Vienna → as this computer has it",
    ]
    assert "The shop changed: Currency: $ → CHF" in page


def test_what_another_process_writes_of_the_shop_counts_for_the_next_page(browser, metric):
    factories.collet(tag="C-1", tir="0.0005")
    before = text_of(browser.get("/t/C-1/"))

    ShopFigures.objects.filter(pk=metric.pk).update(runout_unit="µm")
    after = text_of(browser.get("/t/C-1/"))

    assert ("12.7 µm" in before, "12.7 µm" in after) == (False, True)


def test_decimals_do_not_change_what_a_price_in_the_book_means(browser):
    factories.collet(tag="C-1", cost_cents=2650)

    page = text_of(browser.post(reverse("the_shop"), {"currency_places": "0"}))

    assert "There are prices in the book already" in page
    assert ShopFigures.objects.now().currency_places == 2


def test_a_bare_number_is_in_the_shops_unit(metric, browser):
    browser.post(reverse("lathe_add"), {"name": "Lathe 1", "spindle_bore": "40", "nose_tir": "0.005"})

    lathe = Lathe.objects.get()
    assert (lathe.spindle_bore.nm, lathe.nose_tir.nm) == (40_000_000, 5_000)
    assert "40 mm (1.5748 in)" in text_of(browser.get(reverse("lathe", args=[lathe.pk])))


@pytest.mark.parametrize(
    ("unit", "runout_unit", "typed", "nm"),
    [
        ("mm", "", "0.012", 12_000),
        ("mm", "", "0.5", 500_000),
        ("mm", "µm", "12", 12_000),
        ("in", "thou", "0.5", 12_700),
        ("in", "", ".0005", 12_700),
        ("in", "", "0.02", 508_000),
    ],
)
def test_a_bare_reading_is_in_the_unit_of_readings(browser, unit, runout_unit, typed, nm):
    ShopFigures.objects.create(unit=unit, runout_unit=runout_unit)
    tool = factories.collet(tag="C-1")

    _inspect(browser, tool, typed)

    assert tool.inspections.get().tir.nm == nm


@pytest.mark.parametrize(
    ("unit", "runout_unit", "typed"),
    [("mm", "", "0.501"), ("mm", "µm", "501"), ("mm", "µm", "0.012"), ("in", "", "0.0201")],
)
def test_a_bare_reading_that_is_much_or_little_for_one_is_asked_back(browser, unit, runout_unit, typed):
    ShopFigures.objects.create(unit=unit, runout_unit=runout_unit)
    tool = factories.collet(tag="C-1")

    page = text_of(_inspect(browser, tool, typed))

    assert "for a run-out. Write it with its unit" in page
    assert not tool.inspections.exists()


def test_with_its_unit_a_large_reading_is_taken(metric, browser):
    tool = factories.collet(tag="C-1")

    _inspect(browser, tool, "0.6 mm")

    assert tool.inspections.get().tir.nm == 600_000


def _inspect(browser, tool, tir):
    sent = {"tir": tir, "verdict": "good", "taken_on": date.today().isoformat(), "token": uuid.uuid4()}
    return browser.post(reverse("inspect", args=[tool.tag]), sent)


def test_a_form_is_read_in_the_units_that_it_was_drawn_in(browser):
    assert '<input type="hidden" name="drawn_in" value="in in">' in text_of(browser.get(reverse("lathe_add")))
    ShopFigures.objects.create(unit="mm")  # meanwhile, by somebody else

    browser.post(reverse("lathe_add"), {"name": "Lathe 1", "spindle_bore": "2", "drawn_in": "in in"})

    assert Lathe.objects.get().spindle_bore.nm == 50_800_000


def test_a_size_keeps_its_name_in_a_shop_of_the_other_unit(browser, metric):
    factories.collet("7/8", tag="C-1")
    factories.collet("20 mm", tag="C-2", series="ER32")

    page = text_of(browser.get(reverse("tool_list")))

    rows = [re.sub(r"<[^>]+>", " ", row).split() for row in re.findall(r"<tr>.*?</tr>", page, re.DOTALL)]
    assert [row[:5] for row in rows if row and row[0] != "Size"] == [
        ["7/8", "in", "round", "5C", "collet"], ["20", "mm", "round", "ER32", "collet"],
    ]  # fmt: skip


def test_a_person_reads_in_their_own_unit_and_a_link_means_the_same_to_all(client_of, metric):
    factories.collet("20 mm", tag="C-1", series="ER32")
    inch_person = factories.user("machinist")
    ann, bob = client_of(inch_person), client_of("keeper")
    ann.post(reverse("my_units"), {"unit": "in", "runout_unit": ""})

    assert User.objects.get(pk=inch_person.pk).unit == "in"
    assert 'name="unit" value="in" id="id_unit_0" checked' in text_of(ann.get("/")).replace(" required", "")
    for address in ("/?size=19.8&unit=mm", "/?size=.78&unit=in", "/?size=19.8"):
        hers, his = (browser.get(address).context["reply"].stock.band for browser in (ann, bob))
        assert hers == his
    assert "0.0079 in to spare" in text_of(ann.get("/?size=19.8&unit=mm"))
    assert "0.2 mm to spare" in text_of(bob.get("/?size=19.8&unit=mm"))


def test_json_is_in_the_unit_that_is_asked_for_and_else_in_the_shops(client_of):
    factories.collet(tag="C-1")
    browser = client_of("machinist")

    in_inches = browser.get("/find.json?size=0.7485").json()
    in_mm = browser.get("/find.json?size=19.012&unit=mm").json()

    assert "0.7485" in in_inches["read_as"]
    assert "mm" not in in_inches["headline"]
    assert in_mm["read_as"].startswith("19.012 mm")
    assert set(in_mm["stock"]["smallest"]) == {"nm", "in", "mm"}


def test_a_command_without_a_unit_is_asked_in_the_shops(metric, capsys):
    factories.collet("20 mm", tag="C-1", series="ER32")

    call_command("fit", "19.8")
    metric_words = capsys.readouterr().out
    call_command("fit", "0.78", unit="in")
    inch_words = capsys.readouterr().out

    assert "19.8 mm round" in metric_words
    assert "20 mm" in metric_words
    assert "0.7800 in round" in inch_words


@pytest.mark.one_database("how a form draws and reads a value; test_form.py saves one on each database")
def test_a_piece_that_is_edited_without_a_change_stays_as_it_is(demo, browser):
    chosen = [
        {"unit": "mm", "runout_unit": "µm", "has_decimal_comma": True, "currency": "€", "day_order": "d.m.y"},
        {"unit": "in", "runout_unit": "thou", "day_order": "m/d/y"},
    ]
    kinds = {}
    for tool in Tool.objects.for_list():
        kinds.setdefault(tool.kind, tool.tag)
    for choice in chosen:
        ShopFigures.objects.update_or_create(pk=1, defaults=choice)
        for tag in kinds.values():
            form = browser.get(reverse("tool_edit", args=[tag])).context["form"]
            sent = {name: form.get_initial_for_field(field, name) for name, field in form.fields.items()}
            drawn = {name: form.fields[name].prepare_value(value) for name, value in sent.items()}
            tool = Tool.objects.for_list().get(tag=tag)
            data = {name: value for name, value in drawn.items() if value not in (None, False)}
            with display.shown_as(shop_settings.display_of(ShopFigures.objects.now())):
                again = PieceForm(data, tool=tool, kind=tool.kind)
                assert again.is_valid(), (tag, choice, again.errors)
                assert not again.has_changed_piece, (tag, choice)


def test_where_a_comma_is_written_a_length_that_may_be_a_thousand_is_asked_back(metric, browser):
    def asked(answer):
        return "1000 mm or 1.000 mm" in text_of(answer)

    new_lathe = {"name": "Lathe 1", "between_centers": "1.000", "token": uuid.uuid4()}
    bar = {"size": "20", "unit": "mm", "length": "1.000"}
    ShopFigures.objects.update(has_decimal_comma=True)

    assert asked(browser.post(reverse("lathe_add"), new_lathe)) and not Lathe.objects.exists()
    assert asked(browser.get(reverse("plan"), bar))
    assert not asked(browser.get(reverse("plan"), {**bar, "length": "1,000"}))
    assert "error" not in browser.get(reverse("plan_json"), bar).json()

    ShopFigures.objects.update(has_decimal_comma=False)
    assert not asked(browser.get(reverse("plan"), bar))
