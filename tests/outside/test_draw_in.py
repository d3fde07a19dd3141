"""How far a collet draws in, against the geometry of its cone."""

import math

import pytest

from inventory.measures.lengths import Length, parse
from inventory.reference.collets import collet_series
from inventory.reference.draw_in import collet_heads, draw_in


# Geometry: 1 / (2 tan a). A 5C head is 10 degrees for each side (common practice), an ER one 8 (DIN 6499).
@pytest.mark.parametrize(("code", "degrees"), [("5C", 10), ("16C", 10), ("ER20", 8), ("ER32", 8)])
def test_a_collet_moves_by_the_cotangent_of_its_head(code, degrees):
    moved = draw_in(code, parse("0.010"))
    assert moved.nm == pytest.approx(parse("0.010").nm / (2 * math.tan(math.radians(degrees))), rel=0.0005)


@pytest.mark.parametrize(("code", "about"), [("5C", "2.8"), ("ER32", "3.6")])
def test_a_unit_of_diameter_moves_it_by_about_three_along_the_spindle(code, about):
    # Geometry, to one place.
    head = next(head for head in collet_heads() if head.code == code)
    assert f"{float(head.per_diameter):.1f}" == about


def test_a_head_that_is_not_known_says_nothing():
    # R8 is a milling seat whose angle is in no table here.
    assert draw_in("R8", parse("0.001")) is None


def test_work_of_one_size_stops_in_one_place():
    # Arithmetic.
    assert draw_in("5C", Length(0)) == Length(0)


def test_every_head_belongs_to_a_series():
    # The product's own promise.
    assert {head.code for head in collet_heads()} <= {series.code for series in collet_series()}
