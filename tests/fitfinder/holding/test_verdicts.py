"""A band of stock against a clamping range, at each limit."""

import pytest

from fitfinder.holding import verdicts
from fitfinder.holding.stock import Band
from fitfinder.holding.verdicts import Verdict
from inventory.measures.lengths import Length, parse
from tests.fitfinder.on_hand import reach

THREE_QUARTERS = ("0.745", "0.755")


def band(low, high=None):
    return Band(parse(low), parse(high or low))


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        pytest.param("0.7449", None, Verdict.DOES_NOT_HOLD, id="a tenth below the smallest"),
        pytest.param("0.7450", None, Verdict.AT_THE_LIMIT, id="the smallest itself"),
        pytest.param("0.7454", None, Verdict.AT_THE_LIMIT, id="inside the bottom allowance"),
        pytest.param("0.7455", None, Verdict.HOLDS, id="the bottom allowance itself"),
        pytest.param("0.7500", None, Verdict.HOLDS, id="in the middle"),
        pytest.param("0.7545", None, Verdict.HOLDS, id="the top allowance itself"),
        pytest.param("0.7546", None, Verdict.AT_THE_LIMIT, id="inside the top allowance"),
        pytest.param("0.7550", None, Verdict.AT_THE_LIMIT, id="the largest itself"),
        pytest.param("0.7551", None, Verdict.DOES_NOT_HOLD, id="a tenth above the largest"),
        pytest.param("0.7450", "0.7550", Verdict.AT_THE_LIMIT, id="the whole range"),
        pytest.param("0.7449", "0.7500", Verdict.MEASURE_FIRST, id="over the bottom"),
        pytest.param("0.7500", "0.7551", Verdict.MEASURE_FIRST, id="over the top"),
        pytest.param("0.7440", "0.7560", Verdict.MEASURE_FIRST, id="over both"),
        pytest.param("0.7440", "0.7450", Verdict.MEASURE_FIRST, id="touching the bottom"),
        pytest.param("0.7550", "0.7560", Verdict.MEASURE_FIRST, id="touching the top"),
        pytest.param("0.7430", "0.7449", Verdict.DOES_NOT_HOLD, id="all below"),
        pytest.param("0.7551", "0.7560", Verdict.DOES_NOT_HOLD, id="all above"),
    ],
)
def test_stock_in_a_range_with_half_a_thou_of_allowance_at_each_end(low, high, expected):
    assert verdicts.judge(band(low, high), reach(*THREE_QUARTERS)) is expected


def test_one_nanometre_decides():
    limit = parse("0.755")
    beyond = Length(limit.nm + 1)

    assert verdicts.judge(Band(limit, limit), reach(*THREE_QUARTERS)) is Verdict.AT_THE_LIMIT
    assert verdicts.judge(Band(beyond, beyond), reach(*THREE_QUARTERS)) is Verdict.DOES_NOT_HOLD


def test_without_an_allowance_the_limit_itself_holds():
    assert verdicts.judge(band("0.755"), reach(*THREE_QUARTERS, edge="")) is Verdict.HOLDS


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        pytest.param("0.7480", None, "0.003", id="nearer to the bottom"),
        pytest.param("0.7530", None, "0.002", id="nearer to the top"),
        pytest.param("0.7460", "0.7530", "0.001", id="a band counts from its own ends"),
    ],
)
def test_the_margin_is_to_the_nearer_limit(low, high, expected):
    assert verdicts.margin(band(low, high), reach(*THREE_QUARTERS)) == parse(expected)


def test_the_margin_of_stock_that_reaches_out_is_below_zero():
    assert verdicts.margin(band("0.748", "0.757"), reach(*THREE_QUARTERS)) == -parse("0.002")


@pytest.mark.parametrize(
    ("size", "expected"),
    [
        pytest.param("0.756", Length.inches("0.001"), id="too big is above zero"),
        pytest.param("0.744", Length.inches("-0.001"), id="too small is below zero"),
        pytest.param("0.755", Length(0), id="the limit misses by nothing"),
    ],
)
def test_how_far_stock_misses_is_signed(size, expected):
    assert verdicts.misses_by(band(size), reach(*THREE_QUARTERS)) == expected


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        pytest.param("0.7480", "0.7500", True, id="the whole zone"),
        pytest.param("0.7479", "0.7500", False, id="a tenth under it"),
        pytest.param("0.7480", "0.7501", False, id="a tenth over it"),
    ],
)
def test_the_whole_band_lies_in_the_true_zone_or_it_does_not(low, high, expected):
    true = reach(*THREE_QUARTERS, true=("0.748", "0.750"))

    assert verdicts.in_true_zone(band(low, high), true) is expected


def test_an_unknown_true_zone_promises_nothing():
    assert verdicts.in_true_zone(band("0.75"), reach(*THREE_QUARTERS)) is False


def test_verdicts_are_ranked_from_best_to_worst():
    words = [str(one) for one in sorted(Verdict, key=lambda one: one.rank)]

    assert words == ["holds", "at the limit", "measure first", "does not hold"]
