"""The wear of a piece: what is compared, what is forecast, and what is said where nothing can be."""

from datetime import date, timedelta
from fractions import Fraction

import pytest

from inventory.inspections.wear import DatedReading, HowTaken, theil_sen, trend
from inventory.measures.lengths import Length

LIMIT = Length.inches("0.001")
IN_CLOSER = HowTaken(holder="H-0061", lathe="Lathe 1", pin=Length.inches("0.75"))
FIRST = date(2025, 1, 1)


def tenths(*values, taken=IN_CLOSER, days_apart=60):
    """Readings in tenths of a thousandth, one each so many days."""
    return [
        DatedReading(FIRST + timedelta(days=days_apart * place), Length(value * 2540), taken)
        for place, value in enumerate(values)
    ]


def test_the_middle_slope_of_points_on_a_line_is_that_line():
    slope = theil_sen([(0, 10), (1, 12), (2, 14), (3, 16), (4, 18)])

    assert (slope.low, slope.middle, slope.high) == (2, 2, 2)
    assert slope.at(10) == 30


def test_one_mistyped_reading_does_not_turn_the_slope():
    slope = theil_sen([(0, 10), (1, 12), (2, 1400), (3, 16), (4, 18), (5, 20), (6, 22)])

    assert slope.middle == 2


def test_a_slope_of_points_on_one_day_is_refused():
    with pytest.raises(ValueError, match="differ in x"):
        theil_sen([(3, 1), (3, 2)])


def test_a_slope_is_an_exact_fraction():
    assert theil_sen([(0, 0), (3, 1)]).middle == Fraction(1, 3)


def test_steady_wear_is_forecast_to_the_day():
    found = trend(tenths(2, 3, 4, 5, 6, 7), limit=LIMIT)

    # A tenth each 60 days, and three more to go after the last one.
    assert found.forecast.likely == FIRST + timedelta(days=8 * 60)
    assert found.forecast.earliest <= found.forecast.likely <= found.forecast.latest
    assert found.why_not == ""


def test_readings_that_scatter_widen_a_forecast():
    def width(forecast):
        return forecast.latest - forecast.earliest

    steady = trend(tenths(2, 3, 4, 5, 6, 7, 8), limit=LIMIT).forecast
    scattered = trend(tenths(2, 4, 3, 6, 5, 7, 8), limit=LIMIT).forecast

    assert width(scattered) > width(steady)


@pytest.mark.parametrize(
    ("readings", "reason"),
    [
        ([], "no dated readings yet"),
        (tenths(3), "only 1 reading taken alike; it takes 5"),
        (tenths(3, 4), "only 2 readings taken alike; it takes 5"),
        (tenths(2, 3, 4, 5), "only 4 readings taken alike; it takes 5"),
        (tenths(2, 3, 4) + tenths(2, 3, 4), "the readings taken alike are of only 3 days; it takes 5"),
        (tenths(2, 3, 4, 5, 6, taken=HowTaken()), "the readings do not say on what they were taken"),
        (tenths(2, 3, 4, 5, 6, days_apart=14), "the readings taken alike span only 56 days; it takes 60"),
        (tenths(4, 5, 4, 5, 4, 5), "no wear beyond the scatter"),
        (tenths(6, 5, 5, 4, 3), "no wear beyond the scatter"),
        (tenths(5, 5, 5, 5, 5), "no wear beyond the scatter"),
        (tenths(7, 8, 9, 10, 11), "it reads over its limit already"),
        (tenths(1, 2, 3, 4, 5), "at this rate the limit is further ahead than the readings go back"),
    ],
)
def test_where_nothing_is_forecast_the_reason_is_said(readings, reason):
    found = trend(readings, limit=LIMIT)

    assert (found.forecast, found.why_not) == (None, reason)


def test_five_readings_over_sixty_days_are_enough():
    assert trend(tenths(5, 6, 7, 8, 9, days_apart=15), limit=LIMIT).forecast is not None


@pytest.mark.parametrize(("last", "is_over"), [(9, False), (10, False), (11, True)])
def test_a_reading_at_the_limit_is_not_over_it(last, is_over):
    assert trend(tenths(5, 6, 7, 8, last), limit=LIMIT).is_over is is_over


@pytest.mark.parametrize(("reads", "is_over"), [(3, False), (10, False), (11, True)])
def test_the_newest_reading_says_whether_it_is_over_the_limit(reads, is_over):
    found = trend(tenths(5, 6, 7, 8, 14), limit=LIMIT, reads=Length(reads * 2540))

    assert found.is_over is is_over
    assert ("already" in found.why_not) is is_over


def test_of_two_readings_of_a_day_the_newer_is_the_last():
    newer, older = tenths(3)[0], tenths(12)[0]

    assert trend([newer, older], limit=LIMIT).alike == (older, newer)


def test_without_a_limit_the_slope_is_told_and_no_day():
    found = trend(tenths(2, 3, 4, 5, 6), limit=None)

    assert found.slope.middle == Fraction(2540, 60)
    assert found.why_not == "no limit is set for such a piece"


@pytest.mark.parametrize(
    "taken",
    [
        HowTaken(holder="H-0062", lathe="Lathe 1", pin=Length.inches("0.75")),
        HowTaken(holder="H-0061", lathe="Lathe 2", pin=Length.inches("0.75")),
        HowTaken(holder="H-0061", lathe="Lathe 1", pin=Length.inches("0.748")),
        HowTaken(holder="H-0061", lathe="Lathe 1", pin=Length.inches("0.75"), distance=Length.inches(1)),
        HowTaken(is_bare=True),
        HowTaken(),
    ],
    ids=lambda taken: taken.words,
)
def test_a_reading_taken_otherwise_is_not_compared(taken):
    odd = DatedReading(FIRST + timedelta(days=400), Length.inches("0.005"), taken)

    found = trend([*tenths(2, 3, 4, 5, 6), odd], limit=LIMIT)

    assert (len(found.alike), found.otherwise) == (5, 1)
    assert not found.is_over


def test_no_forecast_is_before_the_last_reading_inside():
    # The line is over the limit where the last readings still are inside.
    found = trend(tenths(2, 4, 6, 8, 10, 10), limit=LIMIT)

    assert found.forecast.earliest >= FIRST + timedelta(days=300)


def test_half_of_the_readings_lie_within_the_scatter():
    found = trend(tenths(2, 4, 3, 6, 5, 7, 8), limit=LIMIT)
    off = sorted(abs(one.tir.nm - found.slope.at(one.day.toordinal())) for one in found.alike)

    assert found.scatter.nm == round(off[3])
