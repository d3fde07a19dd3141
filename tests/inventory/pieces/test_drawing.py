"""A piece drawn: every kind has its outline, and the figures stand at it and in its words."""

import pytest

from inventory.measures.lengths import parse
from inventory.models import Kind, Series
from inventory.pieces.drawing import drawing_of_piece
from inventory.reference.kind_drawings import drawing_of
from tests import factories

pytestmark = pytest.mark.django_db


def test_every_kind_has_a_drawing_of_its_own():
    drawn = {drawing_of(kind) for kind in Kind}

    assert len(drawn) == len(Kind)


@pytest.mark.parametrize(("jaws", "turns"), [(3, (0, 120, 240)), (4, (0, 90, 180, 270)), (None, (0, 120, 240))])
def test_a_chuck_is_drawn_with_as_many_jaws_as_it_has(jaws, turns):
    assert drawing_of(Kind.UNIVERSAL_CHUCK).turns(jaws) == turns


def test_a_live_center_is_drawn_without_jaws():
    assert drawing_of(Kind.LIVE_CENTER).turns(3) == ()


def test_a_collet_has_its_seat_head_size_and_range_on_it():
    Series.objects.filter(code="5C").update(head=parse("1.4850"))
    drawing = drawing_of_piece(factories.collet("3/4"))

    assert [pointer.text for pointer in drawing.pointers] == ["head 1.4850 in", "5C", "3/4 in"]
    assert drawing.below == ("clamps 0.7450 to 0.7550 in", "runs as marked 0.7480 to 0.7500 in")
    assert drawing.words == (
        "Collet, drawn: 5C at the spindle; head 1.4850 in; 3/4 in; clamps 0.7450 to 0.7550 in; "
        "runs as marked 0.7480 to 0.7500 in"
    )


def test_where_the_shop_has_no_head_of_a_series_the_table_s_is_drawn():
    assert drawing_of_piece(factories.collet("3/4")).pointers[0].text.startswith("head 1.4")


def test_a_collet_that_a_nut_closes_is_drawn_otherwise_than_one_that_is_drawn_in():
    nut, drawn_in = factories.collet("20 mm", series="ER32"), factories.collet("3/4")

    assert drawing_of_piece(nut).outline != drawing_of_piece(drawn_in).outline


def test_a_chuck_has_its_range_jaws_body_and_speed_on_it():
    drawing = drawing_of_piece(factories.chuck(body=parse("8"), jaws=6, max_rpm=2800))

    assert [pointer.text for pointer in drawing.pointers] == ["body 8 in", "D1-4", "6 jaws, 1/8 to 6 in"]
    assert drawing.below == ("inside 2 to 5-1/2 in", "2800 rpm at most")
    assert len(drawing.outline.turns(drawing.jaws)) == 6


def test_a_center_has_its_taper_and_its_point_on_it():
    drawing = drawing_of_piece(factories.center(mount="MT2", angle_deg=60))

    assert [pointer.text for pointer in drawing.pointers] == ["MT2", "60° point"]


def test_words_that_have_no_room_beside_each_other_get_a_line_of_their_own():
    long = "Wedge post 1 of the big lathe"
    drawing = drawing_of_piece(factories.piece(Kind.TOOL_POST_HOLDER, mount=long, outside=("1/4", "5/8")))

    assert [pointer.text for pointer in drawing.pointers] == [long]
    assert drawing.below == ("1/4 to 5/8 in",)


def test_of_a_piece_of_which_nothing_is_known_the_outline_stands_alone():
    drawing = drawing_of_piece(factories.piece(Kind.KEY))

    assert (drawing.pointers, drawing.below, drawing.words) == ((), (), "Key, drawn")


def test_the_page_of_a_piece_shows_it_drawn(client_of, machinist):
    factories.center(tag="N-1", mount="MT2")

    page = client_of(machinist).get("/t/N-1/").content.decode()

    assert 'aria-label="Live center, drawn: MT2 at the spindle; 60° point"' in page
    assert drawing_of(Kind.LIVE_CENTER).lines in page


def test_the_list_of_kinds_has_each_drawn_and_how_many_there_are(client_of, keeper):
    factories.center()
    factories.center()

    page = client_of(keeper).get("/tooling/add/").content.decode()

    assert all(drawing_of(kind).lines in page for kind in Kind)
    assert "<b>live center</b></a><small>2</small>" in page
