"""The drawing of a holding: the pieces in a row, the work between them, and the figures that count."""

from itertools import pairwise

import pytest
from msgspec.structs import replace

from fitfinder.plan.holding_drawing import drawing_of
from fitfinder.plan.holdings import holding_of
from inventory.labels.plate_widths import width_of
from tests.fitfinder import on_hand
from tests.fitfinder.holding.small_shop import CENTERED, job, way_by

RIG = [on_hand.chuck(), on_hand.closer(), on_hand.collet("1")]


def drawn(method, asked, *rig):
    return drawing_of(holding_of(way_by(method, asked, *rig)))


def texts(picture):
    return [mark.text for mark in picture.marks if mark.shape == "text"]


def across(picture):
    """From left to right in the outline of the work, and from top to bottom."""
    path = next(mark.text for mark in picture.marks if mark.css_class == "work")
    points = [tuple(map(int, point.split())) for point in path.strip("MZ").split("L")]
    return tuple(max(axis) - min(axis) for axis in zip(*points, strict=True))


def test_the_picture_has_each_piece_in_line_and_says_the_same_in_words():
    picture = drawn("between centers", job("1", length="8"), *CENTERED)

    assert {"H-1", "N-1", "D-1", "N-2", "8 in long"} <= set(texts(picture))
    assert picture.words.startswith(
        "From the spindle to the tailstock: Lathe 1; H-1, faceplate; N-1, dead center; the work with D-1, lathe dog; "
        "N-2, live center. 1 in across, 8 in long"
    )


def test_grip_stick_out_size_and_speed_stand_in_it():
    picture = drawn("universal chuck", job("1.25", length="3"), replace(on_hand.chuck(), max_rpm=1750))

    assert {"grip 1 in", "2 in out", "1-1/4 in across", "at most 1750 rpm"} <= set(texts(picture))


@pytest.mark.parametrize(("size", "length"), [("1", "2"), ("2-1/2", "4"), ("3/4", "7")])
def test_the_work_is_drawn_as_long_and_as_thick_to_one_scale(size, length):
    asked = job(size, length=length)
    wide, high = across(drawn("universal chuck", asked, on_hand.chuck()))

    assert wide / high == pytest.approx(asked.length.nm / asked.thickness.nm, rel=0.08)


@pytest.mark.parametrize(("size", "length"), [("1/2", "20"), ("1", "9"), ("1.0625", "1-1/2")])
@pytest.mark.parametrize(("method", "rig"), [("between centers", CENTERED), ("universal chuck", RIG)])
def test_no_word_lies_on_another_or_outside(method, rig, size, length):
    picture = drawn(method, job(size, length=length), *rig)
    spans = sorted(extent(mark) for mark in picture.marks if mark.shape == "text")

    assert all(left >= 0 and right <= picture.width for _, left, right in spans)
    assert all(a[0] != b[0] or a[2] < b[1] for a, b in pairwise(spans))


def extent(mark):
    """On which line a word stands, and from where to where."""
    (x, y), wide = mark.at, width_of(mark.text) * 16 // 1000
    return (y, x - wide, x) if mark.anchor == "end" else (y, x, x + wide)


@pytest.mark.parametrize(
    ("method", "outlines"), [("universal chuck", 2), ("collet", 1)], ids=["two jaws of a chuck", "a collet"]
)
def test_the_jaws_of_a_chuck_are_drawn_on_the_work(method, outlines):
    marks = drawn(method, job("1", length="1-1/2"), *RIG).marks

    assert len([mark for mark in marks if mark.css_class == "win" and mark.text.endswith("Z")]) == outlines


def test_a_bar_whose_length_is_not_told_has_no_stick_out():
    assert not [text for text in texts(drawn("universal chuck", job("1"), *RIG)) if "out" in text or "long" in text]


def test_a_way_that_cannot_has_no_picture():
    assert drawn("mandrel", job("1"), *CENTERED) is None
