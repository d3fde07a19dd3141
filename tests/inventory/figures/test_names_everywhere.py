"""A series is one in every spelling: in filters, addresses, prices, the order list, limits and lathes."""

from html import unescape

import pytest
from django.urls import reverse

from inventory.measures.lengths import parse
from inventory.models import Lathe, OtherName, Price, Seat, Series, SeriesShape, Want
from tests import factories

pytestmark = pytest.mark.django_db
SPELLINGS = ("er-32", "ER 32", "32ER", "DIN 6499-32", "nut collets")


@pytest.fixture(autouse=True)
def _name_of_the_shop(db):
    OtherName.objects.create(text="Nut collets", series=Series.objects.get(code="ER32"))


def text_of(answer):
    return unescape(answer.content.decode())


@pytest.mark.parametrize("series", SPELLINGS)
def test_the_list_of_pieces_is_narrowed_by_any_name(client_of, series):
    factories.collet("10 mm", series="ER32", tag="C-1"), factories.collet("3/4", tag="C-2")

    page = text_of(client_of("machinist").get(reverse("tool_list"), {"series": series}))
    assert "C-1" in page and "C-2" not in page


def test_a_series_in_the_seat_of_another_is_told_apart_in_the_list(client_of):
    fine = Series.objects.create(code="ER32 fine", seat=Seat.objects.get(code="ER32"))
    given = SeriesShape.objects.get(series__code="ER32", shape="round")
    given.pk, given.series = None, fine
    given.save()
    factories.collet("10 mm", series="ER32", tag="C-1"), factories.collet("10 mm", series="ER32 fine", tag="C-2")

    page = text_of(client_of("machinist").get(reverse("tool_list"), {"series": "ER32 fine"}))
    assert "C-2" in page and "C-1" not in page


@pytest.mark.parametrize(("size", "nominal"), [("Ø 3/4", "3/4"), ("20-19 mm", "20 mm"), ("1/2 A/F", "1/2")])
def test_the_list_is_narrowed_by_a_size_as_it_is_marked(client_of, size, nominal):
    factories.collet(nominal, series="ER32" if "mm" in nominal else "5C", tag="C-1")
    factories.collet("7/8", tag="C-2")

    page = text_of(client_of("machinist").get(reverse("tool_list"), {"size": size}))
    assert "C-1" in page and "C-2" not in page


@pytest.mark.parametrize("series", SPELLINGS)
def test_its_board_and_its_limits_are_found_by_any_name(client_of, series):
    assert client_of("machinist").get(reverse("board", args=[series, "round"])).status_code == 200
    assert client_of("keeper").get(reverse("limits_of_series", args=[series])).status_code == 200


@pytest.mark.parametrize(("series", "size"), [("er-32", "12-11"), ("32 ER", "Ø12"), ("nut collets", "12 mm")])
def test_a_price_is_entered_by_any_name_and_the_size_as_it_is_marked(client_of, series, size):
    fields = {"series": series, "shape": "round", "size": size, "price": "12.40"}
    client_of("purchasing").post(reverse("prices"), fields)

    assert Price.objects.values_list("series__code", "nominal").get() == ("ER32", parse("12 mm"))


def test_a_price_of_another_shape_than_is_written_is_asked(client_of):
    fields = {"series": "5C", "shape": "round", "size": "1/2 hex", "price": "12.40"}

    assert "it says hex, not round. Choose its shape." in text_of(
        client_of("purchasing").post(reverse("prices"), fields)
    )


def test_a_size_is_asked_for_by_any_name(client_of):
    fields = {"series": "er 32", "shape": "round", "nm": parse("12 mm").nm}
    client_of("machinist").post(reverse("want_add"), fields)

    assert Want.objects.get().size.series.code == "ER32"


@pytest.mark.parametrize(
    ("nose", "taper"), [("Camlock 4", "MK 5"), ("DIN 55029 nº 4", "cono morse 5"), ("D1 4", "5MT")]
)
def test_a_lathe_has_the_seats_that_are_meant(client_of, nose, taper):
    client_of("keeper").post(reverse("lathe_add"), {"name": "Lathe 9", "nose": nose, "headstock_taper": taper})

    lathe = Lathe.objects.get()
    assert (lathe.nose.code, lathe.headstock_taper.code) == ("D1-4", "MT5")


def test_a_lathe_that_names_a_new_seat_twice_gets_one(client_of):
    fields = {"name": "Lathe 9", "headstock_taper": "B 16", "tailstock_taper": "DIN 238 B16"}
    client_of("keeper").post(reverse("lathe_add"), fields)

    lathe = Lathe.objects.get()
    assert lathe.headstock_taper == lathe.tailstock_taper
