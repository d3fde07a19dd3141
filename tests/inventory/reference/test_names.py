"""How a row of a table is asked for."""

import pytest

from inventory.measures.lengths import parse
from inventory.reference.center_drills import center_hole_for
from inventory.reference.drills import gauge_size, gauges
from inventory.reference.tapers import morse


@pytest.mark.parametrize(("written", "code"), [("3", "MT3"), ("mt3", "MT3"), ("MT 4-1/2", "MT4-1/2")])
def test_a_morse_code_is_read_with_or_without_its_letters(written, code):
    assert morse(written).code == code


@pytest.mark.parametrize("name", ["0", "81", "AA", ""])
def test_a_gauge_that_the_table_does_not_name_has_no_size(name):
    assert gauge_size(name) is None


def test_each_gauge_is_larger_than_the_one_before():
    diameters = [gauge.diameter for gauge in gauges()]
    assert diameters == sorted(set(diameters))


def test_below_the_guide_no_center_drill_is_named():
    # The inch guide begins at 3/16 in.
    assert center_hole_for(parse("0.1874")) is None
