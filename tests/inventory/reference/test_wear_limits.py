"""Whose limit of wear counts for which piece."""

import pytest

from inventory.measures.lengths import Length
from inventory.reference.er_runout import class_2_runout
from inventory.reference.wear_limits import wear_figures


@pytest.mark.parametrize("nominal", ["1", "1.6", "3", "6", "10", "10.5", "18", "20", "26"])
def test_the_limit_of_an_er_collet_is_class_2_at_its_size_and_says_so(nominal):
    figures = wear_figures("collet", series="ER32", shape="round", nominal=Length.mm(nominal))
    band = class_2_runout(Length.mm(nominal))

    assert (figures.limit, figures.read_at) == (band.class_2, band.test_length)
    assert "ISO 15488" in figures.source


def test_an_er_size_outside_the_table_has_no_limit():
    assert wear_figures("collet", series="ER8", shape="round", nominal=Length.mm("0.5")).limit is None


def test_what_is_dialled_in_has_no_limit_but_is_looked_at():
    figures = wear_figures("independent chuck")

    assert figures.limit is None
    assert figures.every_days


def test_a_series_of_the_shops_own_is_no_er_by_its_name_alone():
    of_the_shop = wear_figures("collet", series="ER32 fine", shape="round", nominal=Length.mm(10))

    assert of_the_shop.basis != wear_figures("collet", series="ER32", shape="round", nominal=Length.mm(10)).basis
