"""Minutes of whole lots, worked by hand from the table of working minutes.

Common practice, no source: universal 1, collet 0.5 (1.5 by a nut) after 2 to change it and 10 to fit the closer,
dialling 5 and 4 for each part after the first, two center holes 6 and the dog 1, faceplate 40 and 10 for each after the
first, camlock change 5.
"""

from fractions import Fraction

import pytest

from fitfinder.holding.rules.efforts import Effort, Minutes, first_and_next, quicker_from

OF = Minutes().of


def between_centers():
    return Effort(fit=OF("chuck change, camlock"), once=OF("two centers drilled"), per_part=OF("dog on and off"))


def dialled_in():
    each = first_and_next(OF("independent 4-jaw, dialled in"), then=OF("independent 4-jaw, next part"))
    return Effort(fit=OF("chuck change, camlock")) + each


def test_of_25_shafts_with_two_ends_centers_take_205_minutes_and_dialling_207():
    assert between_centers().total(parts=25, setups=2) == 5 + 25 * (6 + 2) == 205
    assert dialled_in().total(parts=25, setups=2) == 5 + 2 * (5 + 24 * 4) == 207


@pytest.mark.parametrize(("parts", "centers", "dialled"), [(1, 13, 15), (15, 125, 127), (80, 645, 647)])
def test_two_center_holes_beat_two_dial_ins_of_each_part_of_any_lot(parts, centers, dialled):
    assert between_centers().total(parts=parts, setups=2) == 5 + parts * 8 == centers
    assert dialled_in().total(parts=parts, setups=2) == 5 + 2 * (5 + (parts - 1) * 4) == dialled


def test_dialled_once_and_not_turned_round_the_center_holes_do_not_pay():
    assert quicker_from(dialled_in(), between_centers(), setups=1) is None


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
