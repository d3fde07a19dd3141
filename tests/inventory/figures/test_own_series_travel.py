"""A series and a seat of the shop's own go out and come back like others: sheets, backups, boards, JSON."""

import csv
import io
import json

import pytest
from django.urls import reverse

from inventory.figures.builtin import load
from inventory.figures.names import seat_named, series_named
from inventory.measures.lengths import Length, parse
from inventory.models import OtherName, Price, Seat, Series, SeriesShape, Tool
from shop.backup.making import make
from shop.backup.restoring import restore
from tests import factories
from tests.commands import run


@pytest.fixture
def own(db, keeper):
    """Square W20 collets in a seat of the shop, closed by a nut, with a chuck that takes them and a further name."""
    seat = Seat.objects.create(code="W 20", family=Seat.Family.TAPER, changed_by=keeper)
    series = Series.objects.create(code="W20 watch", seat=seat, closing="nut", length=Length.mm(30), changed_by=keeper)
    SeriesShape.objects.create(
        series=series, shape="square", smallest=parse("1 mm"), largest=parse("14 mm"), closes_by=Length.mm("0.5"),
        opens_by=Length(0), edge_bottom=Length(0), edge_top=Length(0), ladder_sizes="6 mm; 8 mm; 10 mm",
        source="measured here", changed_by=keeper,
    )  # fmt: skip
    OtherName.objects.create(text="clock collets", series=series, added_by=keeper)
    OtherName.objects.create(text="clock taper", seat=seat, added_by=keeper)
    factories.lathe("Lathe 1", headstock="MT5")
    factories.collet_chuck(mount="MT5", takes="W 20", tag="H-1"), factories.drawbar(tag="B-1")
    factories.collet("8 mm", series="W20 watch", shape="square", tag="Q-8", tir="0.01 mm")
    return series


def sheet(tmp_path, text):
    path = tmp_path / "in.csv"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_it_comes_back_from_a_backup_with_its_names_and_stands_through_the_next_migrate(own, tmp_path):
    make(tmp_path / "crib.zip")
    OtherName.objects.all().delete()
    SeriesShape.objects.filter(series=own).delete()

    restore(tmp_path / "crib.zip", replace=True)
    load()

    assert series_named("Clock Collets").code == "W20 watch" and seat_named("clock taper").code == "W 20"
    assert SeriesShape.objects.get(series__code="W20 watch").listed_sizes[-1] == parse("10 mm")
    assert Tool.objects.get(tag="Q-8").size.clamps_from == parse("7.5 mm")


def test_the_whole_book_goes_out_as_a_sheet_and_in_again_without_a_difference(own, tmp_path):
    run("export_sheet", str(tmp_path / "out.csv"))
    (row,) = [
        row for row in csv.DictReader(io.StringIO((tmp_path / "out.csv").read_text("utf-8-sig"))) if row["tag"] == "Q-8"
    ]
    assert (row["series"], row["shape"]) == ("W20 watch", "square")

    code, out, _ = run("import_sheet", str(tmp_path / "out.csv"), "--json")
    assert (code, json.loads(out)["unchanged"]) == (0, 3)


@pytest.mark.parametrize("series", ["W20 watch", "w20-WATCH", "clock collets"])
def test_a_sheet_names_it_in_any_way(own, tmp_path, series):
    code, out, err = run(
        "import_sheet", sheet(tmp_path, f"tag,kind,series,size,shape\nQ-9,collet,{series},10 mm SQ,square\n"), "--json"
    )

    assert code == 0, out + err
    assert Tool.objects.get(tag="Q-9").size.series == own


def test_find_tells_it_as_json_by_its_name(own, client_of):
    answer = client_of("machinist").get(reverse("find_json"), {"size": "7.9 mm", "shape": "square"}).json()

    assert answer["grips"][0]["series"] == "W20 watch"


def test_its_board_has_the_sizes_that_the_shop_listed(own, client_of):
    rows = client_of("machinist").get(reverse("board_sheet", args=["clock collets", "square"])).content.decode()

    assert [row["mm"] for row in csv.DictReader(io.StringIO(rows))] == ["6.000", "8.000", "10.000"]


def test_it_is_bought_like_any_other(own, client_of):
    Price.objects.create(series=own, shape="square", cents=1200, entered_by=factories.user("purchasing"))
    purchasing = client_of("purchasing")
    purchasing.post(reverse("want_add"), {"series": "clock collets", "shape": "square", "nm": parse("10 mm").nm})

    assert "W20 watch" in purchasing.get(reverse("orders")).content.decode()


def test_a_seat_that_a_later_table_has_is_that_of_the_table_from_then_on(db):
    """As if the tables had R8 only from now on, and the shop had entered it as `r-8`."""
    Seat.objects.filter(code="R8").update(code="r-8", family="other")
    Series.objects.filter(code="R8").update(code="r-8")
    load()

    assert Seat.objects.get(code="R8").family == Seat.Family.COLLET
    assert Series.objects.get(code="R8").seat.code == "R8" and not Seat.objects.filter(code="r-8").exists()
