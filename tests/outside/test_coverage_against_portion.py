"""Unions of ranges and what they leave, against the interval arithmetic of the library `portion`."""

import portion
from hypothesis import given
from hypothesis import strategies as st

from fitfinder.buying.offers import Stretch, sure_zone
from fitfinder.holding.stock import Band
from fitfinder.holding.verdicts import Reach, Verdict, judge
from fitfinder.short.coverage import covered, uncovered
from inventory.measures.lengths import Length

# Few different ends, so that ranges often touch, nest and leave a gap of one nanometre.
sizes = st.integers(min_value=1, max_value=60)
allowances = st.integers(min_value=0, max_value=4)


@st.composite
def reaches(draw):
    low, high = sorted((draw(sizes), draw(sizes)))
    return Reach(
        smallest=Length(low),
        largest=Length(high),
        edge_bottom=Length(draw(allowances)),
        edge_top=Length(draw(allowances)),
    )


racks = st.lists(reaches(), max_size=12)


def by_portion(rack, tolerance):
    parts = [
        portion.closed(
            reach.smallest.nm + reach.edge_bottom.nm + tolerance.nm,
            reach.largest.nm - reach.edge_top.nm,
        )
        for reach in rack
    ]
    return portion.Interval(*parts)


def ends(intervals):
    return [(interval.lower, interval.upper) for interval in intervals if not interval.empty]


@given(racks, allowances.map(Length))
def test_what_is_gripped_is_the_union_that_portion_makes(rack, tolerance):
    ours = [(stretch.smallest.nm, stretch.largest.nm) for stretch in covered(rack, tolerance)]

    assert ours == ends(by_portion(rack, tolerance))


@given(racks, allowances.map(Length), st.tuples(sizes, sizes).map(sorted).filter(lambda pair: pair[0] < pair[1]))
def test_what_is_left_is_what_portion_leaves_of_the_capacity(rack, tolerance, capacity):
    low, high = capacity
    left = portion.closed(low, high) - by_portion(rack, tolerance)

    holes = uncovered(covered(rack, tolerance), Stretch(Length(low), Length(high)))

    assert [(hole.smallest.nm, hole.largest.nm) for hole in holes] == ends(left)


@given(racks, allowances, sizes.filter(lambda size: size > 5))
def test_a_size_is_covered_where_the_finder_says_that_one_collet_holds_the_whole_band(rack, tolerance, largest):
    band = Band(Length(largest - tolerance), Length(largest))
    holds = any(judge(band, reach) is Verdict.HOLDS for reach in rack)

    gripped = covered(rack, Length(tolerance))

    assert holds == any(stretch.smallest <= band.largest <= stretch.largest for stretch in gripped)


@given(reaches(), sizes, sizes)
def test_a_band_holds_exactly_where_it_lies_in_the_sure_zone(reach, one, other):
    low, high = sorted((Length(one), Length(other)))
    zone = sure_zone(reach)

    is_inside = zone is not None and zone.smallest <= low and high <= zone.largest

    assert is_inside == (judge(Band(low, high), reach) is Verdict.HOLDS)
