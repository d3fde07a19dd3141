"""Collet series against trade facts and DIN 6499 / ISO 15488."""

from fractions import Fraction

import pytest

from inventory.measures.lengths import Length
from inventory.reference.collets import collet_series
from inventory.reference.er_runout import class_2_runout

SERIES = {(series.code, series.shape): series for series in collet_series()}
INCH_CODES = ("5C", "3C", "3J", "16C", "R8")
ER_CODES = ("ER8", "ER11", "ER16", "ER20", "ER25", "ER32", "ER40", "ER50")


def mm(text):
    return Length.mm(text)


def inches(text):
    return Length.inches(text)


def test_thirteen_series_are_listed_the_inch_ones_in_three_shapes():
    wanted = [(code, shape) for code in INCH_CODES for shape in ("round", "hex", "square")]
    assert list(SERIES) == wanted + [(code, "round") for code in ER_CODES]


def test_5c_round_goes_from_a_32nd_to_an_inch_and_an_eighth():
    # Common practice, no standards body.
    series = SERIES["5C", "round"]
    assert (series.smallest, series.largest) == (inches("1/32"), inches("9/8"))


def test_5c_grips_five_thou_either_way():
    # Common practice, no standards body.
    series = SERIES["5C", "round"]
    assert (series.closes_by, series.opens_by) == (inches("0.005"), inches("0.005"))


def test_5c_passes_an_inch_and_a_sixteenth_and_less_with_the_stop_thread():
    # Common practice, read in shop texts.
    series = SERIES["5C", "round"]
    assert (series.passes, series.passes_with_stop_thread) == (inches("17/16"), inches("63/64"))


def test_5c_runs_true_from_two_thou_under_to_nominal():
    # Advice printed in shop texts: +0 / -0.002 in.
    series = SERIES["5C", "round"]
    assert (series.true_under, series.true_over) == (inches("0.002"), Length(0))


def test_the_largest_5c_hex_passes_the_bore_by_its_corners():
    # Geometry: across corners = across flats x 2 / sqrt 3, squared here to stay exact.
    series = SERIES["5C", "hex"]
    assert series.largest.nm**2 * 4 < series.passes.nm**2 * 3


def test_the_next_sixteenth_of_5c_hex_would_not_pass():
    # Geometry, as above: 15/16 in is over the 0.9201 in that the bore lets through.
    series = SERIES["5C", "hex"]
    assert (series.largest + inches("1/16")).nm ** 2 * 4 > series.passes.nm**2 * 3


def test_the_largest_5c_square_passes_the_bore_by_its_corners_and_the_next_does_not():
    # Geometry: across corners = across flats x sqrt 2.
    series = SERIES["5C", "square"]
    assert series.largest.nm**2 * 2 < series.passes.nm**2
    assert (series.largest + inches("1/32")).nm ** 2 * 2 > series.passes.nm**2


# DIN 6499 / ISO 15488 clamping ranges in mm, from memory: smallest work, largest nominal, closing.
DIN_6499 = [
    ("ER11", "0.5", "7", "0.5"),
    ("ER16", "0.5", "10", "1"),
    ("ER20", "1", "13", "1"),
    ("ER25", "1", "16", "1"),
    ("ER32", "2", "20", "1"),
    ("ER40", "3", "26", "1"),
]


@pytest.mark.parametrize(("code", "smallest_work", "largest", "closes_by"), DIN_6499)
def test_an_er_series_clamps_the_range_of_the_standard(code, smallest_work, largest, closes_by):
    series = SERIES[code, "round"]
    assert (series.clamps_down_to, series.largest, series.closes_by) == (
        mm(smallest_work),
        mm(largest),
        mm(closes_by),
    )


@pytest.mark.parametrize("code", ER_CODES)
def test_an_er_collet_never_opens(code):
    # DIN 6499: the nominal size is the largest that the collet takes.
    assert SERIES[code, "round"].opens_by == Length(0)


@pytest.mark.parametrize("code", ["ER16", "ER20", "ER25", "ER32", "ER40"])
def test_small_er_sizes_close_by_half_a_millimetre(code):
    # The more careful of two printed rules: 0.5 mm up to nominal 3 mm.
    series = SERIES[code, "round"]
    assert (series.small_closes_by, series.small_upto) == (mm("0.5"), mm(3))


# ISO 15488 Table 2, nut thread and rear bore, from a reproduction of the standard.
ISO_15488_T2 = [
    ("ER11", "M14 x 0.75", "7.5"),
    ("ER16", "M22 x 1.5", "10.5"),
    ("ER20", "M25 x 1.5", "13.5"),
    ("ER25", "M32 x 1.5", "18"),
    ("ER32", "M40 x 1.5", "23.5"),
    ("ER40", "M50 x 1.5", "30.5"),
]


@pytest.mark.parametrize(("code", "thread", "bore"), ISO_15488_T2)
def test_an_er_nut_and_bore_are_those_of_the_standard(code, thread, bore):
    series = SERIES[code, "round"]
    assert (series.closing_thread, series.passes) == (thread, mm(bore))


@pytest.mark.parametrize("series", [one for one in collet_series() if one.ladder_step], ids=lambda one: one.code)
def test_a_ladder_of_sizes_ends_on_a_rung_inside_the_series(series):
    # Arithmetic.
    assert (series.ladder_to - series.ladder_from).nm % series.ladder_step.nm == 0
    assert series.smallest <= series.ladder_from < series.ladder_to <= series.largest


@pytest.mark.parametrize("shape", ["hex", "square"])
def test_the_sizes_of_r8_that_nobody_could_confirm_stay_unknown(shape):
    # No source: no figure is better than a guessed one.
    series = SERIES["R8", shape]
    assert (series.smallest, series.largest, series.passes, series.ladder_step) == (None, None, None, None)


@pytest.mark.parametrize("series", collet_series(), ids=lambda one: f"{one.code} {one.shape}")
def test_a_true_zone_lies_inside_the_gripping_window(series):
    # Arithmetic: what runs true must first be gripped.
    assert series.true_under <= (series.small_closes_by or series.closes_by)
    assert series.true_over <= series.opens_by


# ISO 15488 Table 4, mm: nominal, test length, class 1, class 2.
ISO_15488_T4 = [
    ("1", "6", "0.010", "0.015"),
    ("1.6", "6", "0.010", "0.015"),
    ("2", "10", "0.010", "0.015"),
    ("3", "10", "0.010", "0.015"),
    ("6", "16", "0.010", "0.015"),
    ("10", "25", "0.010", "0.015"),
    ("10.5", "40", "0.015", "0.020"),
    ("18", "40", "0.015", "0.020"),
    ("26", "50", "0.015", "0.020"),
]


@pytest.mark.parametrize(("nominal", "test_length", "class_1", "class_2"), ISO_15488_T4)
def test_er_run_out_is_that_of_the_standard(nominal, test_length, class_1, class_2):
    band = class_2_runout(mm(nominal))
    assert (band.test_length, band.class_1, band.class_2) == (mm(test_length), mm(class_1), mm(class_2))


def test_er_run_out_past_26_mm_is_from_memory_with_class_1_unknown():
    # DIN 6499, from memory.
    band = class_2_runout(mm(34))
    assert (band.class_2, band.class_1, band.basis) == (mm("0.025"), None, "published-from-memory")


@pytest.mark.parametrize("nominal", ["0.99", "34.01"])
def test_er_run_out_outside_the_table_is_unknown(nominal):
    # ISO 15488 Table 4 starts at 1 mm.
    assert class_2_runout(mm(nominal)) is None


@pytest.mark.parametrize("code", ER_CODES)
def test_the_typical_run_out_of_an_er_series_is_the_worst_that_class_2_allows_its_largest_size(code):
    # ISO 15488 Table 4 (ER50: DIN 6499 from memory).
    series = SERIES[code, "round"]
    assert series.typical_tir == class_2_runout(series.largest).class_2


def test_edge_allowances_are_half_a_thou_for_inch_series_and_a_tenth_millimetre_below_for_er():
    # Working figures of this product; common practice, no source.
    edges = {(code[:2] == "ER", one.edge_bottom, one.edge_top) for (code, _), one in SERIES.items()}
    half_thou = inches(Fraction(5, 10_000))
    assert edges == {(False, half_thou, half_thou), (True, mm("0.1"), Length(0))}
