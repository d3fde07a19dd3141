"""Center drills against ASME B94.11M and ISO 866 / ISO 6411, and against their own geometry."""

from fractions import Fraction
from itertools import pairwise

import pytest

from inventory.measures.lengths import parse
from inventory.reference.center_drills import INCH, METRIC, center_drills, center_hole_for, center_holes
from tests.outside.prints import lines, mm

# ASME B94.11M, combined drills and countersinks, plain type, typed again from memory of the handbook's table: body,
# drill and length of the drill.
B94_11M = """
00 1/8  0.025 0.030
0  1/8  1/32  0.038
1  1/8  3/64  3/64
2  3/16 5/64  5/64
3  1/4  7/64  7/64
4  5/16 1/8   1/8
5  7/16 3/16  3/16
6  1/2  7/32  7/32
7  5/8  1/4   1/4
8  3/4  5/16  5/16
"""


def drills_of(form):
    return [drill for drill in center_drills() if drill.form == form]


def test_each_inch_center_drill_is_that_of_the_standard():
    ours = [(one.size, one.body, one.drill, one.drill_length, one.hole) for one in drills_of(INCH)]

    assert ours == [(size, parse(body), parse(drill), parse(deep), None) for size, body, drill, deep in lines(B94_11M)]


# ISO 866 type A and the hole of ISO 6411 form A, mm, typed again from memory: pilot, body, hole.
ISO_866 = """
0.5  3.15 -
0.63 3.15 -
0.8  3.15 -
1    3.15 2.12
1.25 3.15 2.65
1.6  4    3.35
2    5    4.25
2.5  6.3  5.3
3.15 8    6.7
4    10   8.5
5    12.5 10.6
6.3  16   13.2
8    20   17
10   25   21.2
"""


def test_each_metric_center_drill_is_that_of_the_standard():
    ours = [(one.size, one.drill, one.body, one.drill_length, one.hole) for one in drills_of(METRIC)]

    assert ours == [(pilot, mm(pilot), mm(body), None, mm(hole)) for pilot, body, hole in lines(ISO_866)]


def test_the_pilots_of_type_a_are_preferred_numbers():
    # ISO 3, series R10 and from 1 mm on each of them: each step is the tenth root of ten, to 2 %.
    pilots = [drill.drill.nm for drill in drills_of(METRIC)]
    assert all(abs(larger / smaller / 10**0.1 - 1) < 0.02 for smaller, larger in pairwise(pilots))


def test_the_hole_of_a_type_a_drill_is_about_2_12_of_its_pilot():
    # ISO 6411 form A: D2 = 2.12 d, rounded to preferred numbers.
    for drill in drills_of(METRIC):
        if drill.hole:
            assert abs(Fraction(drill.hole.nm, drill.drill.nm) - Fraction(212, 100)) < Fraction(3, 100), drill.name


def test_a_center_hole_stays_inside_the_body_that_makes_it():
    # Geometry: the countersink cannot be wider than the drill.
    for drill in center_drills():
        assert drill.drill < (drill.hole or drill.body) <= drill.body, drill.name


# A shop textbook's table of center holes, typed again from memory: size, work from and to, hole; inches.
TEXTBOOK = """
1 3/16 5/16  3/32
2 3/8  1/2   9/64
3 5/8  3/4   3/16
4 1    1-1/2 15/64
5 2    3     21/64
6 3    4     3/8
7 4    5     15/32
8 6    -     9/16
"""
# The guide that stands with ISO 6411 form A, typed again from memory: pilot, work over and to; mm.
WITH_ISO_6411 = """
1    -   8
1.6  8   12
2    12  18
2.5  18  25
3.15 25  40
4    40  80
6.3  80  180
10   180 -
"""


def holes_of(form):
    return [(one.size, one.work_from, one.work_upto) for one in center_holes() if one.form == form]


def maybe(text):
    return None if text == "-" else parse(text)


def test_the_inch_guide_is_that_of_the_textbook():
    ours = [(*row, hole.hole) for row, hole in zip(holes_of(INCH), center_holes(), strict=False)]

    assert ours == [(size, parse(start), maybe(end), parse(hole)) for size, start, end, hole in lines(TEXTBOOK)]


def test_the_metric_guide_is_that_which_stands_with_iso_6411():
    assert holes_of(METRIC) == [(size, mm(start), mm(end)) for size, start, end in lines(WITH_ISO_6411)]


def test_the_metric_guide_has_the_hole_that_goes_with_its_drill():
    # ISO 6411 form A.
    by_size = {drill.size: drill.hole for drill in drills_of(METRIC)}
    assert all(hole.hole == by_size[hole.size] for hole in center_holes() if hole.form == METRIC)


@pytest.mark.parametrize(
    ("work", "name"),
    [
        ("3/16", "No. 1"),
        ("3/4", "No. 3"),
        ("7/8", "No. 3"),
        ("1", "No. 4"),
        ("8", "No. 8"),
        ("8 mm", "A 1 mm"),
        ("20 mm", "A 2.5 mm"),
        ("26 mm", "A 3.15 mm"),
    ],
)
def test_the_center_drill_for_light_and_medium_work(work, name):
    # Inch: a shop textbook's guide, from memory. Metric: the guide printed with ISO 6411.
    assert center_hole_for(parse(work)).name == name


def test_a_center_hole_is_a_quarter_to_a_half_of_small_work_and_less_of_large():
    # Common practice: enough of the face is left around it.
    for hole in center_holes():
        if hole.work_from:
            assert Fraction(1, 20) < Fraction(hole.hole.nm, hole.work_from.nm) <= Fraction(1, 2), hole.name
