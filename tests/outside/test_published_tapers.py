"""Morse and Jacobs tapers against ASME B5.10 and ISO 296, and against their own arithmetic."""

from fractions import Fraction

import pytest

from inventory.measures.lengths import NM_PER_INCH, NM_PER_TENTH, Length
from inventory.reference.tapers import jacobs, jacobs_tapers, morse, morse_tapers

# ASME B5.10, inches: diameter at the gauge line, taper per foot (from memory of the handbook table).
B5_10 = [
    ("MT0", "0.3561", "0.62460"),
    ("MT1", "0.4750", "0.59858"),
    ("MT2", "0.7000", "0.59941"),
    ("MT3", "0.9380", "0.60235"),
    ("MT4", "1.2310", "0.62326"),
    ("MT5", "1.7480", "0.63151"),
    ("MT6", "2.4940", "0.62565"),
    ("MT7", "3.2700", "0.62400"),
]


@pytest.mark.parametrize(("code", "large_end", "taper"), B5_10)
def test_a_morse_taper_is_that_of_the_standard(code, large_end, taper):
    found = morse(code)
    assert (found.large_end, found.taper_per_foot) == (Length.inches(large_end), Fraction(taper))


def taper_over(length, per_foot):
    return Fraction(length.nm) * per_foot / 12


@pytest.mark.parametrize("taper", morse_tapers(), ids=lambda one: one.code)
def test_the_small_end_of_a_morse_taper_is_the_large_end_less_the_taper(taper):
    # Arithmetic, to half a ten-thousandth of an inch: the table's last figure.
    worked_out = taper.large_end.nm - taper_over(taper.plug_depth, taper.taper_per_foot)
    assert abs(worked_out - taper.small_end.nm) <= NM_PER_TENTH // 2


@pytest.mark.parametrize("taper", [one for one in morse_tapers() if one.one_in], ids=lambda one: one.code)
def test_the_ratio_of_iso_296_and_the_inch_taper_are_the_same_taper(taper):
    # ISO 296 gives 1 : x to three places, so 12 / x agrees with inches per foot to a few hundred-thousandths.
    assert abs(12 / taper.one_in - taper.taper_per_foot) < Fraction(5, 100_000)


@pytest.mark.parametrize("taper", [one for one in morse_tapers() if one.large_end_metric], ids=lambda one: one.code)
def test_the_gauge_diameter_of_iso_296_is_the_inch_one_to_a_hundredth_millimetre(taper):
    # ISO 296, three decimals of a millimetre.
    assert abs(taper.large_end_metric - taper.large_end) < Length.mm("0.01")


@pytest.mark.parametrize("taper", jacobs_tapers(), ids=lambda one: one.code)
def test_a_jacobs_taper_agrees_with_its_diameters_and_length(taper):
    # Arithmetic. ASME B5.10 rounds diameters to five places, the taper to four: half a last place each.
    worked_out = Fraction(taper.large_end.nm - taper.small_end.nm, taper.length.nm) * 12
    rounding = Fraction(NM_PER_INCH, 100_000 * taper.length.nm) * 12 + Fraction(1, 20_000)
    assert abs(worked_out - taper.taper_per_foot) <= rounding


def test_jacobs_33_is_that_of_the_appendix():
    # ASME B5.10 appendix, from memory of the handbook table.
    taper = jacobs("33")
    assert (taper.large_end, taper.length.nm) == (Length.inches("0.62401"), NM_PER_INCH)


@pytest.mark.parametrize(("written", "code"), [("3", "MT3"), ("mt3", "MT3"), ("MT 4-1/2", "MT4-1/2")])
def test_a_morse_code_is_read_with_or_without_its_letters(written, code):
    # Common practice, no source: both ways are written on tools.
    assert morse(written).code == code


def test_there_is_no_morse_8():
    # ASME B5.10 ends at No. 7.
    assert morse("MT8") is None
