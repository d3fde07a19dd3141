"""The working minutes that the rules of holding count with."""

from fractions import Fraction

import pytest

from inventory.reference import practice


@pytest.mark.parametrize(
    ("step", "typical"),
    [
        ("universal chuck", 1),
        ("collet", Fraction(1, 2)),
        ("collet, closed by a nut or a drawbar", Fraction(3, 2)),
        ("independent 4-jaw, dialled in", 5),
        ("independent 4-jaw, next part", 4),
        ("two centers drilled", 6),
        ("dog on and off", 1),
        ("soft center turned", 5),
        ("soft jaws turned", 25),
        ("split bushing made", 30),
        ("machinable collet bored", 15),
        ("faceplate", 40),
        ("faceplate, with a locating ring", 10),
        ("chuck change, camlock", 5),
        ("chuck change, threaded", 8),
        ("hoist, to change what is heavy", 10),
        ("closer fit", 10),
        ("steady rest", 15),
        ("follow rest", 5),
    ],
)
def test_minutes_of_a_step(step, typical):
    assert practice.minutes(step).typical == typical
