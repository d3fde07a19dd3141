"""Minutes of whole lots, worked by hand from the table of working minutes.

Common practice, no source: universal 1, collet 0.5 (1.5 by a nut) after 2 to change it and 10 to fit the closer,
dialling 5, two center holes 6 and the dog 1, soft jaws 25, bushing 30, faceplate 40 and 10 for each after the first,
camlock change 5, hoist 10.
"""

from fractions import Fraction

import pytest

from fitfinder.holding.efforts import Effort, Minutes, first_and_next, quicker_from
from inventory.reference import practice

OF = Minutes().of


@pytest.mark.parametrize(
    ("step", "typical"),
    [
        ("universal chuck", 1),
        ("collet", Fraction(1, 2)),
        ("collet, closed by a nut or a drawbar", Fraction(3, 2)),
        ("independent 4-jaw, dialled in", 5),
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


FIT = Effort(fit=OF("chuck change, camlock"))
CENTERS = FIT + Effort(once=OF("two centers drilled"), per_part=OF("dog on and off"))
DIALLED = FIT + Effort(per_part=OF("independent 4-jaw, dialled in"))


def test_of_25_shafts_with_two_ends_centers_take_205_minutes_and_dialling_255():
    assert CENTERS.total(parts=25, setups=2) == 5 + 25 * (6 + 2) == 205
    assert DIALLED.total(parts=25, setups=2) == 5 + 25 * 2 * 5 == 255


@pytest.mark.parametrize(("parts", "centers", "dialled"), [(1, 13, 15), (15, 125, 155), (80, 645, 805)])
def test_two_center_holes_beat_two_dial_ins_of_each_part_of_any_lot(parts, centers, dialled):
    assert CENTERS.total(parts=parts, setups=2) == 5 + parts * 8 == centers
    assert DIALLED.total(parts=parts, setups=2) == 5 + parts * 10 == dialled


def test_dialled_once_and_not_turned_round_the_center_holes_do_not_pay():
    assert quicker_from(DIALLED, CENTERS, setups=1) is None


def test_a_mounted_universal_and_a_collet_whose_closer_is_fitted_are_even_at_24_parts():
    universal = Effort(per_part=OF("universal chuck"))
    collet = Effort(fit=OF("closer fit"), set_up=OF("collet change"), per_part=OF("collet"))

    assert universal.total(parts=24, setups=1) == collet.total(parts=24, setups=1) == 24
    assert quicker_from(universal, collet, setups=1) == 25


def test_the_first_part_on_a_faceplate_takes_40_minutes_and_each_after_it_10():
    effort = first_and_next(OF("faceplate"), then=OF("faceplate, with a locating ring"))

    assert effort.total(parts=1, setups=1) == 40
    assert effort.total(parts=15, setups=1) == 40 + 14 * 10
    assert effort.total(parts=15, setups=2) == 2 * (40 + 14 * 10)


def test_a_faceplate_that_is_quick_in_this_shop_is_as_quick_for_the_next_part():
    assert first_and_next(Fraction(6), then=Fraction(10)).total(parts=3, setups=1) == 18
