"""The picture of the pieces in a row."""

import pytest

from fitfinder.plan.pictures import chain_picture
from tests.fitfinder import on_hand
from tests.fitfinder.holding.small_shop import CENTERED, job, way


def test_the_picture_has_each_piece_in_line_and_says_the_same_in_words():
    found = way("between centers", job("1", length="8"), *CENTERED)
    picture = chain_picture(found)

    assert [mark.text for mark in picture.marks if mark.text in found.tags] == ["H-1", "N-1", "D-1", "N-2"]
    assert picture.words == (
        "From the spindle to the tailstock: Lathe 1; H-1, faceplate; N-1, dead center; the work with D-1, lathe dog; "
        "N-2, live center. Not to scale."
    )


@pytest.mark.parametrize(
    ("method", "outlines"),
    [("universal chuck", 1 + 2), ("collet", 2)],
    ids=["a chuck and two of its jaws", "closer and collet"],
)
def test_the_jaws_of_a_chuck_are_drawn_on_the_work(method, outlines):
    rig = [on_hand.chuck(), on_hand.closer(), on_hand.collet("1")]
    marks = chain_picture(way(method, job("1", length="1-1/2"), *rig)).marks

    assert len([mark for mark in marks if mark.look == "win"]) == outlines


def test_a_way_that_cannot_has_no_picture():
    assert chain_picture(way("mandrel", job("1"), *CENTERED)) is None
