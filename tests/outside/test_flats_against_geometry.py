"""Which flats sit on which jaws, against plain geometry: no code of ours, every turn of the bar is tried.

Self-centering jaws stand evenly around the axis and all at one distance from it. A jaw sits on a flat where its
direction is that of the flat; the bar is held by its flats where one turn of it brings a flat of one distance under
every jaw. Geometry, no source needed.
"""

from fractions import Fraction

import pytest

from fitfinder.holding.rules.self_centering import flats_sit

TURN = Fraction(360)
# Direction of each flat in degrees, and its distance from the axis; of a rectangle two are near and two are far.
FLATS = {
    "hex": [(TURN * n / 6, 1) for n in range(6)],
    "square": [(TURN * n / 4, 1) for n in range(4)],
    "rectangular": [(TURN * n / 4, 1 + n % 2) for n in range(4)],
}


def sits(jaws: int, shape: str) -> bool:
    directions = [TURN * n / jaws for n in range(jaws)]
    for turn, _ in FLATS[shape]:
        for distance in (1, 2):
            under = {(direction + turn) % TURN for direction, far in FLATS[shape] if far == distance}
            if all(direction in under for direction in directions):
                return True
    return False


@pytest.mark.parametrize("shape", FLATS)
@pytest.mark.parametrize("jaws", [2, 3, 4, 6])
def test_flats_sit_on_jaws_just_where_a_turn_of_the_bar_brings_a_flat_under_each(shape, jaws):
    assert flats_sit(jaws, shape) is sits(jaws, shape)


@pytest.mark.parametrize("jaws", [2, 3, 4, 6])
def test_round_sits_in_any_number_of_jaws(jaws):
    assert flats_sit(jaws, "round")
