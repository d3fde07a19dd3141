"""Run-outs, minutes, overhang and the numbers of cautions against what the trade would accept.

Almost all of it is common practice without a source: such a figure is held to its range in `accepted/`, where words say
why. One value in place of a range is that of the print which its line names.
"""

from fractions import Fraction

import pytest

from inventory.measures.lengths import NM_PER_INCH, NM_PER_MM, Length
from inventory.reference.practice import figure, figures, minutes, run_out
from inventory.reference.wear_limits import wear_figures
from tests.outside.accepted.ranges import accepted, takes

NM = {"in": NM_PER_INCH, "mm": NM_PER_MM}


def plain(value, unit):
    return Fraction(value.nm, NM[unit]) if isinstance(value, Length) else value


def values(one):
    """Low, typical and high as bare numbers in its unit."""
    return [plain(value, one.unit) for value in (one.low, one.typical, one.high)]


@pytest.mark.parametrize("row", accepted("practice"), ids=lambda row: f"{row['topic']}: {row['method']}")
def test_a_working_figure_is_one_that_the_trade_would_accept(row):
    found = figure(row["topic"], row["method"])

    assert found.unit == row["unit"]
    for name, value in zip(("low", "typical", "high"), values(found), strict=True):
        assert takes(row[name], value), f"{name} {value}: {row['why']}"


def test_a_working_figure_has_a_range_that_the_trade_would_accept():
    on_file = {(one.topic, one.method) for one in figures()}

    assert on_file == {(row["topic"], row["method"]) for row in accepted("practice")}


def test_the_figures_of_a_way_rise_from_good_to_poor():
    for one in figures():
        known = [value for value in (one.low, one.typical, one.high) if value is not None]
        assert known and known == sorted(known), one.method


def test_the_ways_rank_by_truth_as_the_trade_ranks_them():
    # Common practice, no source.
    ways = ("between centers", "collet", "collet in a closer", "universal 6-jaw", "universal 3-jaw")
    expected = [run_out(way).typical for way in ways]
    assert expected == sorted(set(expected))
    assert run_out("independent 4-jaw").typical < run_out("universal 3-jaw").low


def test_the_ways_rank_by_haste_as_the_trade_ranks_them():
    # Common practice, no source.
    ways = (
        "collet",
        "universal chuck",
        "collet, closed by a nut or a drawbar",
        "independent 4-jaw, next part",
        "faceplate",
    )
    expected = [minutes(way).typical for way in ways]
    assert expected == sorted(set(expected))


@pytest.mark.parametrize("row", accepted("wear_limits"), ids=lambda row: f"{row['subject']} {row['shape']}".strip())
def test_a_limit_of_wear_is_one_that_the_trade_would_accept(row):
    found = wear_figures(row["subject"], series="5C" if row["shape"] else "", shape=row["shape"])

    assert takes(row["limit"], found.limit and plain(found.limit, "in")), row["why"]
    assert takes(row["every_days"], found.every_days), row["why"]
    assert takes(row["every_uses"], found.every_uses), row["why"]


def test_an_er_collet_is_looked_at_once_a_year_and_after_some_fifty_times():
    # Common practice, as for the other collets; its limit is the standard's.
    found = wear_figures("collet", series="ER32", shape="round", nominal=Length.mm(10))

    assert (found.every_days, found.every_uses) == (365, 50)
