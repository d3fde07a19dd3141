"""A series that a shop entered holds work like a built-in one, by the seat and the way of closing that it says."""

import pytest

from fitfinder import crib
from fitfinder.find.question import Question
from inventory.measures.lengths import Length, parse
from inventory.models import Kind, Seat, Series, SeriesShape, Shape
from tests import factories

pytestmark = pytest.mark.django_db


def own_series(code, *, seat, closing, shape=Shape.ROUND, **fields):
    seat, _ = Seat.objects.get_or_create(code=seat)
    series, _ = Series.objects.get_or_create(code=code, defaults={"seat": seat, "closing": closing, **fields})
    SeriesShape.objects.create(
        series=series, shape=shape, smallest=parse("2 mm"), largest=parse("25 mm"), closes_by=Length.mm("0.5"),
        opens_by=Length(0), edge_bottom=Length(0), edge_top=Length(0), ladder_sizes="6 mm; 8 mm; 10 mm; 16 mm",
    )  # fmt: skip
    return series


def asked(size, **fields):
    return Question(size=size, **fields).answer()


def tags(answer):
    return [[link.tag for link in grip.chain.links] + [grip.piece.tag] for grip in answer.grips]


def test_a_collet_with_a_morse_shank_sits_in_the_spindle_with_its_drawbar():
    factories.lathe(name="Lathe 1", headstock="MT3")
    own_series("MK3 collets", seat="MT3", closing="inside")
    factories.collet("10 mm", series="MK3 collets", tag="M-10")
    unchecked = asked("9.8 mm")
    assert [grip.chain.is_checked for grip in unchecked.grips] == [False]
    assert "No MT3 drawbar is on file" in unchecked.grips[0].chain.doubt

    factories.drawbar(mount="MT3", tag="B-1")
    assert tags(asked("9.8 mm")) == [["B-1", "M-10"]]


def test_a_sleeve_leads_to_its_shank_and_the_drawbar_goes_through_it():
    factories.lathe(name="Lathe 1", headstock="MT5")
    own_series("MK3 collets", seat="MT3", closing="inside")
    factories.collet("10 mm", series="MK3 collets", tag="M-10")
    factories.sleeve(mount="MT5", takes="MT3", tag="S-1")
    factories.drawbar(mount="MT3", tag="B-1")

    assert tags(asked("9.8 mm")) == [["B-1", "S-1", "M-10"]]


def test_a_dead_center_in_the_same_seat_needs_no_drawbar():
    factories.lathe(name="Lathe 1", headstock="MT3")
    own_series("MK3 collets", seat="MT3", closing="inside")
    routes = crib_routes()

    assert not routes.best("MT3").links and routes("MT3", True)[0].doubt


def crib_routes():
    from fitfinder.holding.chains import Links
    from fitfinder.holding.routes import Routes

    return Routes(crib.lathes_now(), Links(crib.holders_now([Kind.SLEEVE, Kind.DRAWBAR])))


def test_a_square_er_goes_into_the_chuck_of_the_round_ones():
    factories.lathe(name="Lathe 1", headstock="MT5")
    SeriesShape.objects.create(
        series=Series.objects.get(code="ER32"), shape="square", closes_by=Length.mm("0.5"), opens_by=Length(0),
        edge_bottom=Length(0), edge_top=Length(0),
    )  # fmt: skip
    factories.collet("12 mm", series="ER32", shape="square", tag="Q-12")
    factories.collet_chuck(tag="H-1"), factories.drawbar(tag="B-1")

    assert tags(asked("12 mm", shape="square")) == [["B-1", "H-1", "Q-12"]]


def test_a_drawn_seat_of_the_shops_own_needs_its_drawbar_too():
    Seat.objects.create(code="NT40", family="taper", is_drawn=True)
    factories.lathe(name="Lathe 1", headstock="NT40")
    factories.collet_chuck(mount="NT40", takes="ER32", tag="H-1")
    factories.collet("20 mm", series="ER32", tag="C-1")
    assert not asked("20 mm").is_held

    factories.drawbar(mount="NT40", tag="B-1")
    assert tags(asked("20 mm")) == [["B-1", "H-1", "C-1"]]


def test_tapping_collets_are_in_the_book_and_never_offered():
    factories.lathe(name="Lathe 1", headstock="MT5")
    own_series("ER32 tap", seat="ER32", closing="nut", holds_work=False)
    factories.collet("10 mm", series="ER32 tap", tag="T-10")
    factories.collet_chuck(tag="H-1"), factories.drawbar(tag="B-1")
    answer = asked("9.8 mm")

    assert not answer.is_held and "T-10" not in str(answer)
    assert "ER32 tap" not in {entry.code for entry in crib.series_on_hand("round")}


def test_the_missing_size_is_one_of_the_sizes_that_the_shop_listed():
    factories.lathe(name="Lathe 1", nose="W20")
    own_series("W20", seat="W20", closing="outside")
    answer = asked("15.8 mm")

    assert (answer.gap.series, answer.gap.size) == ("W20", parse("16 mm"))


def test_a_retired_series_still_holds_and_no_more_of_it_is_suggested():
    from django.utils import timezone

    factories.lathe(name="Lathe 1", nose="W20")
    own_series("W20", seat="W20", closing="outside", retired_at=timezone.now())
    factories.collet("16 mm", series="W20", tag="W-16")

    assert tags(asked("15.9 mm")) == [["W-16"]]
    assert (gap := asked("7.9 mm").gap) is None or gap.series != "W20"


def test_which_collet_knows_the_outside_of_a_series_of_the_shops_own(client_of):
    own_series("W20", seat="W20", closing="inside", body=Length.mm(20), length=Length.mm(70), thread="M19.7 x 1.5")
    answer = client_of("machinist").get("/tooling/which-collet/", {"body": "20 mm", "thread": "M19.7 x 1.5"})

    assert "It can be W20" in answer.content.decode()
