"""What work weighs, against handbook densities, solid geometry and a sum over thin slices."""

from fractions import Fraction
from math import pi, sqrt

import numpy as np
import pytest

from fitfinder.holding.mechanics import weights
from inventory.measures.lengths import Length, parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding.small_shop import job


def weight(size, *, length, **texts):
    return weights.of_work(job(size, length=length, **texts))


@pytest.mark.parametrize(
    ("asked", "pounds"),
    [
        # Geometry, and 0.2836 lb to the cubic inch of steel, 0.0975 of aluminium, 0.2601 of cast iron.
        ({"size": "5", "length": "10"}, "55.68"),
        ({"size": "7", "length": "5"}, "54.57"),
        ({"size": "5", "length": "16", "shape": "tube", "bore": "4"}, "32.07"),
        ({"size": "2-1/2", "length": "50"}, "69.61"),
        ({"size": "3", "length": "20", "material": "aluminium"}, "13.78"),
        ({"size": "3", "length": "20"}, "40.09"),
        ({"size": "2", "length": "10", "shape": "hex"}, "9.824"),
        ({"size": "12", "length": "3", "shape": "casting", "material": "cast iron"}, "88.25"),
        ({"size": "12", "length": "3", "shape": "casting"}, "96.2"),
        ({"size": "5", "length": "50"}, "278.4"),
    ],
)
def test_work_weighs_what_its_volume_does_in_pounds(asked, pounds):
    assert float(weight(**asked).lb) == pytest.approx(float(pounds), rel=0.0005)


@pytest.mark.parametrize(
    ("asked", "kilograms"),
    [
        ({"size": "5", "length": "10"}, "25.26"),
        ({"size": "80 mm", "length": "250 mm"}, "9.865"),
        ({"size": "60 mm", "length": "500 mm", "shape": "square"}, "14.13"),
    ],
)
def test_work_weighs_what_its_volume_does_in_kilograms(asked, kilograms):
    assert float(weight(**asked).kg) == pytest.approx(float(kilograms), rel=0.0005)


SECTIONS = {
    "round": lambda x, y: x**2 + y**2 <= 1,
    # Across flats 2: the flats lie at a distance of 1, sixty degrees apart.
    "hex": lambda x, y: np.maximum(abs(x), abs(x) / 2 + abs(y) * sqrt(3) / 2) <= 1,
    "square": lambda x, y: np.maximum(abs(x), abs(y)) <= 1,
    "tube": lambda x, y: (x**2 + y**2 <= 1) & (x**2 + y**2 >= 0.64),
    "rectangular": lambda x, y: (abs(x) <= 1) & (abs(y) <= 0.5),
}


@pytest.mark.parametrize("shape", SECTIONS)
def test_a_section_is_what_counting_small_squares_gives(shape):
    more = {"tube": {"bore": "1.6"}, "rectangular": {"size2": "1"}}.get(shape, {})
    at = np.linspace(-1.2, 1.2, 2401)
    x, y = np.meshgrid(at, at)
    counted = SECTIONS[shape](x, y).sum() * (at[1] - at[0]) ** 2
    found = weights.section_of(job("2", shape=shape, length="5", **more)) / Length.inches(1).nm ** 2

    assert float(found) == pytest.approx(counted, rel=0.002)


@pytest.mark.parametrize(
    ("body", "about"),
    [("8 in", "41 lb"), ("12 in", "138 lb"), ("160 mm", "9.1 kg"), ("315 mm", "69 kg")],
)
def test_a_chuck_weighs_about_as_common_sizes_do(body, about):
    # From memory, a fit to common sizes within 30 %.
    number, unit = about.split()
    found = weights.of_piece(on_hand.chuck(body=parse(body)))

    assert float(found.lb if unit == "lb" else found.kg) == pytest.approx(float(number), rel=0.015)


def test_the_rule_for_a_chuck_is_a_solid_disk_of_steel_a_third_as_thick_as_it_is_wide():
    # pi/4 D^2 x 0.36 D x 0.2836 lb/in^3 is 0.08 D^3: the body of a chuck with its jaws is about that.
    thick = Fraction(8, 100) / (Fraction(pi) / 4 * Fraction("0.2836"))

    assert 0.3 < float(thick) < 0.4
