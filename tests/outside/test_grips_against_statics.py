"""How long a grip has to be, against statics and what tables of the trade print."""

from fractions import Fraction
from math import atan, cos, degrees, sin

import pytest

from fitfinder.holding.rules import bearings, grip_length
from inventory.measures.lengths import Length
from inventory.reference import holding


@pytest.mark.parametrize(
    ("grip", "stick_out", "rocks", "allowed"),
    # Mechanics: k x 1000 lbf x grip over (stick-out + half the grip), three jaws in their weak direction.
    [("0.5", "3", 133.2, 53.29), ("1.5", "3.5", 305.7, 122.3)],
)
def test_what_rocks_work_in_three_jaws_of_a_thousand_pounds(grip, stick_out, rocks, allowed):
    found = grip_length.rocks_at(Fraction(1000), grip=Fraction(grip), stick_out=Fraction(stick_out), jaws=3)

    assert float(found) == pytest.approx(rocks, rel=0.0005)
    assert float(found / holding.value("grip.safety")) == pytest.approx(allowed, rel=0.0005)


@pytest.mark.parametrize(("serrated", "total", "each"), [(False, 833.3, 277.8), (True, 500.0, 166.7)])
def test_what_jaws_press_with_to_hold_a_cut_of_fifty_pounds(serrated, total, each):
    # Coulomb friction: safety 2.5, 0.15 between smooth hard jaws and work, 0.25 serrated (from memory of manuals).
    found = grip_length.jaw_forces_needed(Fraction(50), is_serrated=serrated)

    assert (float(found), float(found / 3)) == (pytest.approx(total, abs=0.05), pytest.approx(each, abs=0.05))


@pytest.mark.parametrize(
    ("code", "whole", "two_thirds"),
    # Lengths of DIN 6499; two thirds by makers' technical pages.
    [
        ("ER11", "18", "12.00"), ("ER16", "27.5", "18.33"), ("ER20", "31.5", "21.00"), ("ER25", "34", "22.67"),
        ("ER32", "40", "26.67"), ("ER40", "46", "30.67"),
    ],
)  # fmt: skip
def test_an_er_collet_is_as_long_as_its_standard_says(code, whole, two_thirds):
    length = bearings.of_series(code).length

    assert length == Length.mm(whole)
    assert float(length.nm * holding.value("collet.min_share") / 10**6) == pytest.approx(float(two_thirds), abs=0.006)


@pytest.mark.parametrize(("code", "bearing"), [("3C", "0.5"), ("5C", "0.75"), ("R8", "0.875"), ("16C", "1.0")])
def test_a_draw_in_collet_bears_as_long_as_toolmakers_remember(code, bearing):
    # From memory; to be asked of the shop.
    assert bearings.of_series(code).length == Length.inches(bearing)


def test_why_two_thirds_play_tilts_a_short_grip():
    # Geometry: 0.001 in of play over 0.2 in of grip tilts the work by 0.2865 degrees, 0.010 in off two inches out.
    tilt = atan(0.001 / 0.2)

    assert degrees(tilt) == pytest.approx(0.2865, abs=5e-5)
    assert 2 * sin(tilt) / cos(tilt) == pytest.approx(0.010, abs=1e-5)
