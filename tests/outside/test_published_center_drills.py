"""Center drills against ASME B94.11M and ISO 866 / ISO 6411, and against their own geometry."""

from fractions import Fraction

import pytest

from inventory.measures.lengths import Length, parse
from inventory.reference.center_drills import INCH, METRIC, center_drills, center_hole_for, center_holes

DRILLS = {(drill.form, drill.size): drill for drill in center_drills()}

# ASME B94.11M, combined drills and countersinks, plain type: body and drill (from memory of the handbook table).
B94_11M = [
    ("1", "1/8", "3/64"),
    ("2", "3/16", "5/64"),
    ("3", "1/4", "7/64"),
    ("5", "7/16", "3/16"),
    ("8", "3/4", "5/16"),
]


@pytest.mark.parametrize(("size", "body", "drill"), B94_11M)
def test_an_inch_center_drill_is_that_of_the_standard(size, body, drill):
    found = DRILLS[INCH, size]
    assert (found.body, found.drill) == (parse(body), parse(drill))


# ISO 866 type A: pilot and body in mm (from memory of the standard's table).
ISO_866 = [
    ("1", "3.15"),
    ("1.6", "4"),
    ("2", "5"),
    ("2.5", "6.3"),
    ("3.15", "8"),
    ("4", "10"),
    ("6.3", "16"),
    ("10", "25"),
]


@pytest.mark.parametrize(("pilot", "body"), ISO_866)
def test_a_metric_center_drill_is_that_of_the_standard(pilot, body):
    found = DRILLS[METRIC, pilot]
    assert (found.drill, found.body) == (Length.mm(pilot), Length.mm(body))


@pytest.mark.parametrize("drill", [one for one in center_drills() if one.hole], ids=lambda one: one.name)
def test_the_hole_of_a_type_a_drill_is_about_2_12_of_its_pilot(drill):
    # ISO 6411 form A: D2 = 2.12 d, rounded to preferred numbers.
    assert abs(Fraction(drill.hole.nm, drill.drill.nm) - Fraction(212, 100)) < Fraction(3, 100)


@pytest.mark.parametrize("drill", center_drills(), ids=lambda one: f"{one.form} {one.size}")
def test_a_center_hole_stays_inside_the_body_that_makes_it(drill):
    # Geometry: the countersink cannot be wider than the drill.
    assert drill.drill < (drill.hole or drill.body) <= drill.body


@pytest.mark.parametrize("form", [INCH, METRIC])
def test_larger_work_wants_a_larger_hole(form):
    # Common practice: the guides rise.
    holes = [hole.hole for hole in center_holes() if hole.form == form]
    assert holes == sorted(set(holes))


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


def test_below_the_guide_no_center_drill_is_named():
    # The inch guide begins at 3/16 in.
    assert center_hole_for(parse("0.1874")) is None
