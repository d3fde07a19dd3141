"""Drill gauge sizes against ASME B94.11M (values typed from memory of the standard's table, in inches)."""

import string

import pytest

from inventory.measures.lengths import Length, parse
from inventory.reference.drills import gauge_size, gauges

B94_11M = [
    ("80", "0.0135"), ("79", "0.0145"), ("70", "0.0280"), ("69", "0.0292"), ("60", "0.0400"),
    ("55", "0.0520"), ("50", "0.0700"), ("43", "0.0890"), ("36", "0.1065"), ("30", "0.1285"),
    ("29", "0.1360"), ("28", "0.1405"), ("25", "0.1495"), ("21", "0.1590"), ("18", "0.1695"),
    ("16", "0.1770"), ("10", "0.1935"), ("7", "0.2010"), ("5", "0.2055"), ("3", "0.2130"),
    ("1", "0.2280"), ("A", "0.2340"), ("E", "0.2500"), ("F", "0.2570"), ("I", "0.2720"),
    ("Q", "0.3320"), ("U", "0.3680"), ("Z", "0.4130"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "inches"), B94_11M)
def test_a_gauge_size_is_that_of_the_standard(name, inches):
    assert gauge_size(name) == Length.inches(inches)


def test_numbers_80_to_1_and_letters_a_to_z_are_all_there_in_that_order():
    numbers = [str(number) for number in range(80, 0, -1)]
    assert [gauge.name for gauge in gauges()] == numbers + list(string.ascii_uppercase)


def test_each_gauge_is_larger_than_the_one_before():
    diameters = [gauge.diameter for gauge in gauges()]
    assert all(smaller < larger for smaller, larger in zip(diameters, diameters[1:], strict=False))


def test_letter_e_is_a_quarter_inch():
    # ASME B94.11M: the one gauge size that is a common fraction.
    assert gauge_size("E") == parse("1/4")


@pytest.mark.parametrize("name", ["0", "81", "AA", ""])
def test_what_the_standard_does_not_name_has_no_size(name):
    assert gauge_size(name) is None
