"""Figures of trade that stand in the code and not in a table, against ASME B1.1 and what the trade would accept."""

from fractions import Fraction

import pytest

from fitfinder.arithmetic import centers
from fitfinder.holding.mechanics import thin_wall, throws, whirl
from fitfinder.holding.methods import split_bushing
from fitfinder.holding.rules import center_drilling, hazards, self_centering
from fitfinder.holding.texts import thread_texts
from inventory.measures.lengths import parse

# ASME B1.1, numbered screws, typed again from memory as they are asked for: coarse, fine and the others on sale.
SCREWS = "0-80 1-64 1-72 2-56 2-64 3-48 3-56 4-36 4-40 4-48 5-40 5-44 6-32 6-40 8-32 8-36 10-24 10-32 12-24 12-28 12-32"


def test_the_numbered_screws_are_those_of_the_unified_threads():
    ours = [f"{number}-{per_inch}" for number, threads in thread_texts.SCREWS.items() for per_inch in threads]

    assert ours == SCREWS.split()


def test_thick_threads_have_eight_to_the_inch_or_the_four_of_the_coarse_series():
    # ASME B1.1: UNC from 2-1/2 in up has 4 to the inch, 8UN has 8 throughout.
    assert thread_texts._TO_THE_INCH_OF_LARGE == (4, 8)


def test_a_lathe_center_has_sixty_degrees():
    # ISO 298, ASME B5.10: points of 60 degrees for light and medium work.
    assert centers.USUAL_ANGLE == 60


def test_packing_throws_work_off_in_three_jaws_only():
    # Geometry: in four the packing must be on the opposite jaw too.
    assert throws.PACKED_JAWS == 3


@pytest.mark.parametrize(
    ("found", "least", "most"),
    [
        # A jaw of a hand chuck presses with some hundreds to two thousand pounds.
        (lambda: hazards._ONE_JAW, 600, 1_800),
        # A bushing of a quarter inch of wall can be slit and still bored.
        (lambda: split_bushing.WALL.nm / parse("1").nm, 0.15, 0.4),
        # Out of round by a thousandth shows in a fit and on a gauge, where nothing else is asked.
        (lambda: thin_wall.MINDED.nm / parse("1").nm, 0.0005, 0.0015),
        # Short enough to face and drill without a center: within the three diameters of the manuals.
        (lambda: center_drilling.SHORT_OUT, 1.5, 2.5),
    ],
    ids=["force of a jaw", "wall of a bushing", "out of round", "short"],
)
def test_a_figure_of_the_rules_is_one_that_the_trade_would_accept(found, least, most):
    # Common practice, no source.
    assert least <= found() <= most


def test_a_jaw_presses_with_a_round_thousand_pounds_as_worked_cases_have_it():
    # Mechanics: with half an inch of grip and three inches out such jaws let work rock at 133.2 lbf, k being 0.866.
    assert float(hazards._ONE_JAW) * 0.8660254 * 0.5 / (3 + 0.25) == pytest.approx(133.2, rel=0.0005)


def test_weight_pulls_as_standard_gravity_does():
    # 9.80665 m/s² by the third general conference on weights and measures (1901), an inch of 25.4 mm: exact.
    assert Fraction(980665, 100_000) / Fraction(254, 10_000) == whirl.GRAVITY


def test_a_regular_bar_has_a_flat_for_each_turn_that_brings_it_back():
    # Geometry: turned by 60 degrees a hex is itself again, by 90 a square, by 180 a rectangle.
    back = {"hex": 60, "square": 90, "rectangular": 180}

    assert {shape: count * back[shape] for shape, count in self_centering.FLATS.items()} == dict.fromkeys(back, 360)
