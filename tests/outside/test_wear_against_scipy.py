"""The slope of wear against scipy's Theil-Sen estimator, and the built-in limits against ISO 15488."""

import math
import warnings

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from inventory.inspections.wear import theil_sen
from inventory.measures.lengths import Length
from inventory.reference.wear_limits import wear_figures

POINTS = st.lists(
    st.tuples(st.integers(min_value=0, max_value=4000), st.integers(min_value=0, max_value=60_000)),
    min_size=2,
    max_size=25,
)
FEW_DAYS = st.lists(
    st.tuples(st.integers(min_value=0, max_value=6), st.integers(min_value=0, max_value=6)), min_size=2, max_size=25
)


@given(POINTS | FEW_DAYS)
def test_slope_and_its_limits_are_those_of_scipy(points):
    # scipy.stats.theilslopes, which follows Sen, J. Am. Stat. Assoc. 63 (1968), pp. 1379-1389, ties counted off.
    assume(len({x for x, _ in points}) > 1)
    days, readings = zip(*points, strict=True)

    ours = theil_sen(points)
    theirs = of_scipy(readings, days)

    assert math.isclose(ours.middle, theirs.slope, rel_tol=1e-12, abs_tol=1e-9)
    assert math.isclose(ours.at(0), theirs.intercept, rel_tol=1e-9, abs_tol=1e-6)
    if not math.isnan(theirs.low_slope):
        assert math.isclose(ours.low, theirs.low_slope, rel_tol=1e-12, abs_tol=1e-9)
        assert math.isclose(ours.high, theirs.high_slope, rel_tol=1e-12, abs_tol=1e-9)


def of_scipy(readings, days):
    with warnings.catch_warnings():
        # Where ties use up the count of pairs, scipy takes the root of less than nothing and gives no limits.
        warnings.simplefilter("ignore", RuntimeWarning)
        return theilslopes(readings, days, alpha=0.95)


# ISO 15488 Table 4, class 2 (read in a reproduction): permitted run-out and the length at which it is read, mm.
CLASS_2 = [
    ("1", "0.015", "6"),
    ("1.6", "0.015", "6"),
    ("3", "0.015", "10"),
    ("6", "0.015", "16"),
    ("10", "0.015", "25"),
    ("10.5", "0.020", "40"),
    ("18", "0.020", "40"),
    ("20", "0.020", "50"),
    ("26", "0.020", "50"),
]


@pytest.mark.parametrize(("nominal", "run_out", "read_at"), CLASS_2)
def test_the_limit_of_an_er_collet_is_class_2_of_iso_15488(nominal, run_out, read_at):
    figures = wear_figures("collet", series="ER32", shape="round", nominal=Length.mm(nominal))

    assert (figures.limit, figures.read_at) == (Length.mm(run_out), Length.mm(read_at))
    assert "ISO 15488" in figures.source


def test_an_er_size_outside_the_table_has_no_limit():
    assert wear_figures("collet", series="ER8", shape="round", nominal=Length.mm("0.5")).limit is None


@pytest.mark.parametrize(
    ("kind", "shape", "limit"),
    [("collet", "round", "0.001"), ("collet", "hex", "0.003"), ("universal chuck", "", "0.010")],
)
def test_the_other_limits_are_what_such_a_piece_runs_out_when_poor(kind, shape, limit):
    # Common practice, no source: the same figures as the run-out to expect of a poor one.
    assert wear_figures(kind, series="5C" if shape else "", shape=shape).limit == Length.inches(limit)


def test_what_is_dialled_in_has_no_limit_but_is_looked_at():
    # Common practice: an independent chuck is as true as it is dialled in.
    figures = wear_figures("independent chuck")

    assert figures.limit is None
    assert figures.every_days == 730
