"""The series among themselves."""

import pytest

from inventory.reference.collets import builtin_series, collet_series


def test_no_series_stands_twice_in_one_shape():
    rows = [(one.code, one.shape) for one in collet_series()]
    assert len(rows) == len(set(rows))


def test_a_ladder_of_sizes_ends_on_a_rung_inside_the_series():
    for one in collet_series():
        if one.ladder_step:
            assert (one.ladder_to - one.ladder_from).nm % one.ladder_step.nm == 0, one.code
            assert one.smallest <= one.ladder_from < one.ladder_to <= one.largest, one.code


def test_a_true_zone_lies_inside_the_gripping_window():
    for one in collet_series():
        if one.true_under is None:
            continue
        assert one.true_under <= (one.small_closes_by or one.closes_by), one.code
        assert one.true_over <= one.opens_by, one.code


@pytest.mark.parametrize("shape", ["hex", "square"])
def test_the_sizes_of_r8_that_nobody_could_confirm_stay_unknown(shape):
    # No figure is better than a guessed one.
    one = builtin_series("R8", shape)
    assert (one.smallest, one.largest, one.passes, one.ladder_step) == (None, None, None, None)
