"""What a chain needs beside holder and collet: drawbars, nuts, backplates and stops."""

from datetime import date

import pytest
from msgspec.structs import replace

from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by, words

R8 = small_shop.lathe(headstock="R8")
COLLET = {"series": "R8", "passes": None}


def lost(piece):
    return replace(piece, why_not="lost, as its note says", is_lost=True)


def lent(piece):
    return replace(
        piece, why_not="out to dana since 2026-11-20", is_lent=True, lent_to="dana",
        lent_since=date(2026, 11, 20), due_back=date(2026, 12, 1),
    )  # fmt: skip


def nut(**fields):
    return on_hand.piece(Kind.COLLET_NUT, takes="ER32", **fields)


ER = (on_hand.collet_chuck(tag="H-1"), on_hand.drawbar(tag="H-2"), on_hand.collet("1/2", series="ER32", tag="C-1"))


def test_an_r8_collet_is_closed_by_its_drawbar():
    way = way_by(
        "collet", job("1/2"), on_hand.collet("1/2", **COLLET), on_hand.drawbar(mount="R8", tag="H-1"), lathes=(R8,)
    )

    assert (way.is_here, way.tags[0], way.doubts) == (True, "H-1", ())


def test_an_r8_collet_whose_drawbar_nobody_entered_is_not_promised():
    way = way_by("collet", job("1/2"), on_hand.collet("1/2", **COLLET), lathes=(R8,))

    assert words(way.doubts) == ("No R8 drawbar is on file, and it closes by one.",)


def test_an_r8_drawbar_that_a_colleague_has_is_fetched():
    bar = lent(on_hand.drawbar(mount="R8", tag="H-1"))
    answer = on_hand.answer("1/2", on_hand.collet("1/2", **COLLET), bar, lathes=[R8])

    assert answer.left_out[0].why == (
        "no R8 drawbar on Lathe 1: fetch H-1 from dana, out since 2026-11-20, due back 2026-12-01"
    )
    assert (answer.ladder[0].tag, answer.left_out[0].who) == ("H-1", "dana")


def test_a_drawbar_of_another_taper_draws_no_r8_collet():
    way = way_by("collet", job("1/2"), on_hand.collet("1/2", **COLLET), on_hand.drawbar(mount="MT5"), lathes=(R8,))

    assert words(way.doubts) == ("No R8 drawbar is on file, and it closes by one.",)


def test_a_collet_chuck_is_closed_by_its_nut():
    assert "H-9" in way_by("collet", job("1/2"), *ER, nut(tag="H-9")).tags


def test_where_the_shop_keeps_no_nut_as_a_piece_none_is_missing():
    assert way_by("collet", job("1/2"), *ER).is_here


@pytest.mark.parametrize(
    ("away", "told"),
    [
        (lent, "no ER32 nut for H-1: fetch H-9 from dana, out since 2026-11-20, due back 2026-12-01"),
        (lost, "no ER32 nut for H-1: H-9 is lost, as its note says"),
    ],
    ids=["lent", "lost"],
)  # fmt: skip
def test_a_nut_that_is_away_is_told_and_its_chuck_does_not_lead(away, told):
    answer = on_hand.answer("1/2", *ER, away(nut(tag="H-9")), lathes=[small_shop.lathe()])

    assert (answer.verdict, answer.left_out[0].why) == ("nothing", told)


def test_a_nut_of_another_series_closes_nothing_here():
    other = on_hand.piece(Kind.COLLET_NUT, takes="ER16", why_not="damaged")

    assert way_by("collet", job("1/2"), *ER, other).is_here


def test_a_backplate_leads_from_the_nose_to_a_chuck_with_a_plain_back():
    plate = on_hand.piece(Kind.BACKPLATE, mount="D1-4", takes="6 in plain", tag="H-1")
    way = way_by("universal chuck", job("1"), on_hand.chuck(mount="6 in plain", tag="K-1", tir="0.001"), plate)

    assert (way.is_here, way.tags) == (True, ("H-1", "K-1"))
    # A plate that is turned true in its place brings in nothing of its own: 0.0001 is the nose's.
    assert way.tir.inch_text == "0.0011"


def test_a_chuck_with_a_plain_back_goes_on_no_nose_without_its_plate():
    way = way_by("universal chuck", job("1"), on_hand.chuck(mount="6 in plain", tag="K-1"))

    assert words(way.missing) == ("nothing leads from Lathe 1 to 6 in plain, where K-1 mounts",)


@pytest.mark.parametrize(("parts", "has_stop"), [(1, False), (2, True)])
def test_a_stop_sets_the_parts_of_a_lot_to_one_length(parts, has_stop):
    stop = on_hand.piece(Kind.STOP, tightens="5c", tag="H-9")
    way = way_by("collet", job("1/2", parts=parts), on_hand.closer(), on_hand.collet("1/2"), stop)

    assert ("H-9" in way.tags) is has_stop
    assert any("Set the stop H-9." in step for step in small_shop.steps(way)) is has_stop


def test_what_is_on_the_lathe_is_on_it_whatever_is_filled_in():
    lathe = small_shop.lathe()
    way = way_by("universal chuck", job("1"), on_hand.chuck(mount=None, mounted_on=lathe.id), lathes=(lathe,))

    assert (way.is_here, way.doubts) == (True, ())


def test_what_is_on_another_lathe_is_not_here_though_nobody_wrote_down_where_it_mounts():
    lathe, other = small_shop.lathe(), small_shop.lathe("Lathe 2")
    way = way_by("universal chuck", job("1"), on_hand.chuck(mount=None, mounted_on=other.id), lathes=(lathe,))

    assert not way.is_here
