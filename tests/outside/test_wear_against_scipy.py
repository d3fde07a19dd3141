"""The slope of wear against scipy's Theil-Sen estimator."""

import math
import warnings

from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from inventory.inspections.wear import theil_sen

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
