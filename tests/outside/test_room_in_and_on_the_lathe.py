"""Holes and lengths of a lathe, by geometry: rows of blocks and circles, drawn and counted."""

from math import cos, pi

import pytest

from fitfinder.holding.chains import Chain
from fitfinder.holding.job import Job
from fitfinder.holding.rules import passage
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by


@pytest.mark.parametrize(("sides", "shape"), [(6, "hex"), (4, "square")])
def test_a_bar_passes_a_hole_that_holds_all_of_its_corners(sides, shape):
    # Regular polygon: a corner lies half the flats over the cosine of half a side's angle from the middle.
    across = 0.875 / cos(pi / sides)
    collet = on_hand.collet("7/8", shape=shape, passes="2")
    circle = job("7/8", shape=shape).circle

    for hole, goes in ((across + 1e-4, True), (across - 1e-4, False)):
        chain = Chain(lathe=on_hand.lathe(bore=f"{hole:.5f}"))
        assert passage.passes(circle, collet, chain) is goes


def test_a_hex_of_seven_eighths_passes_a_smooth_5c_and_not_its_stop_thread():
    # Geometry, and holes read in shop texts: 1.0104 across corners, 1-1/16 smooth, 63/64 where the thread is cut.
    circle = job("7/8", shape="hex").circle

    assert round(circle.nm / 25_400_000, 4) == 1.0104
    assert parse("63/64") < circle < parse("1-1/16")


def test_most_of_a_bar_that_the_spindle_does_not_take_cannot_lie_inside():
    # 2-1/4 in bar, 30 in long, 4 in to stand out, a spindle of 1-9/16 in: 26 in would have to lie inside.
    lathe = small_shop.lathe(bore="1-9/16")
    chuck = on_hand.chuck(through="3", body=parse("8"))
    way = way_by("universal chuck", job("2-1/4", length="30", stick_out="4"), chuck, lathes=(lathe,))

    assert not way.can
    assert "26 in of it cannot lie inside" in str(way.why_not)


def room(asked: Job) -> bool:
    """Laid out along the bed from the nose: the chuck, the work from its jaws on, the center."""
    nose, chuck, stands_out = 0.0, 0.65 * 6, 2.0
    tail_center = nose + 40 + stands_out  # the headstock's center stands two inches before the nose
    ends_at = nose + chuck - 1.0 + asked.length.nm / 25_400_000
    return ends_at <= tail_center + 1e-9


@pytest.mark.parametrize("length", ["30", "39", "39.1", "39.2", "41"])
def test_work_in_a_chuck_ends_before_the_tailstock_center_does(length):
    chuck = on_hand.chuck(body=parse("6"), jaw_length=parse("1"))
    asked = job("4", length=length, grip="1")

    assert way_by("universal chuck", asked, chuck, small_shop.center()).can is room(asked)
