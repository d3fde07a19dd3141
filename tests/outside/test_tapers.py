"""Morse, Jacobs, Brown & Sharpe and Jarno tapers against ASME B5.10 and ISO 296, and against their own arithmetic."""

from fractions import Fraction

from inventory.measures.lengths import NM_PER_INCH, NM_PER_TENTH, Length
from inventory.reference.tapers import brown_sharpe_tapers, jacobs, jacobs_tapers, jarno_tapers, morse, morse_tapers
from tests.outside.prints import inches, lines, mm

# ASME B5.10, inches, typed again from memory of the handbook's table of Morse shanks: diameter at the gauge line and
# at the end of the plug, depth of the plug, taper per foot; whole length and depth of the shank with a tang, depth of
# the reamed hole.
B5_10 = """
MT0     0.3561  0.252  2        0.6246   2-11/32  2-7/32   2-1/32
MT1     0.475   0.369  2-1/8    0.59858  2-9/16   2-7/16   2-5/32
MT2     0.7     0.572  2-9/16   0.59941  3-1/8    2-15/16  2-39/64
MT3     0.938   0.778  3-3/16   0.60235  3-7/8    3-11/16  3-1/4
MT4     1.231   1.02   4-1/16   0.62326  4-7/8    4-5/8    4-1/8
MT4-1/2 1.5     1.266  4-1/2    0.624    -        -        -
MT5     1.748   1.475  5-3/16   0.63151  6-1/8    5-7/8    5-1/4
MT6     2.494   2.116  7-1/4    0.62565  8-9/16   8-1/4    7-21/64
MT7     3.27    2.75   10       0.624    11-5/8   11-1/4   10-5/64
"""


def fraction(text):
    """`2-9/16` as well as `0.572`."""
    whole, dash, part = text.partition("-")
    return f"{Fraction(whole) + Fraction(part)}" if dash and whole else text


def test_each_morse_taper_is_that_of_the_standard():
    ours = [
        (one.code, one.large_end, one.small_end, one.plug_depth, one.taper_per_foot,
         one.tang_shank_length, one.tang_shank_depth, one.socket_depth)
        for one in morse_tapers()
    ]  # fmt: skip
    printed = [
        (code, *(inches(fraction(text)) for text in (large, small, plug)), Fraction(taper),
         *(inches(fraction(text)) for text in shank))
        for code, large, small, plug, taper, *shank in lines(B5_10)
    ]  # fmt: skip

    assert ours == printed


# ISO 296, mm, typed again from memory: gauge diameter, 1 : x, and the length of a shank with a draw thread.
ISO_296 = """
MT0 9.045  19.212 50
MT1 12.065 20.047 53.5
MT2 17.780 20.020 64
MT3 23.825 19.922 81
MT4 31.267 19.254 102.5
MT5 44.399 19.002 129.5
MT6 63.348 19.180 182
"""


def test_each_morse_taper_that_iso_296_has_is_that_of_iso_296():
    ours = [
        (one.code, one.large_end_metric, one.one_in, one.plain_shank_length)
        for one in morse_tapers()
        if one.large_end_metric or one.one_in or one.plain_shank_length
    ]

    assert ours == [(code, mm(large), Fraction(ratio), mm(shank)) for code, large, ratio, shank in lines(ISO_296)]


def taper_over(length, per_foot):
    return Fraction(length.nm) * per_foot / 12


def test_the_small_end_of_a_morse_taper_is_the_large_end_less_the_taper():
    # Arithmetic, to half a ten-thousandth of an inch: the table's last figure.
    for taper in morse_tapers():
        worked_out = taper.large_end.nm - taper_over(taper.plug_depth, taper.taper_per_foot)
        assert abs(worked_out - taper.small_end.nm) <= NM_PER_TENTH // 2, taper.code


def test_the_ratio_of_iso_296_and_the_inch_taper_are_the_same_taper():
    # ISO 296 gives 1 : x to three places, so 12 / x agrees with inches per foot to a few hundred-thousandths.
    for taper in morse_tapers():
        if taper.one_in:
            assert abs(12 / taper.one_in - taper.taper_per_foot) < Fraction(5, 100_000), taper.code


def test_the_gauge_diameter_of_iso_296_is_the_inch_one_to_a_hundredth_millimetre():
    # ISO 296, three decimals of a millimetre.
    for taper in morse_tapers():
        if taper.large_end_metric:
            assert abs(taper.large_end_metric - taper.large_end) < Length.mm("0.01"), taper.code


# Tapers of drill chucks, ASME B5.10 appendix, inches, typed again from memory of the handbook's table: large and small
# end, length, and taper per foot to five places.
JACOBS = """
JT0  0.25    0.22844 7/16    0.59145
JT1  0.384   0.33341 21/32   0.92508
JT2  0.559   0.48764 7/8     0.97861
JT2S 0.5488  0.48764 3/4     0.97861
JT3  0.811   0.7461  1-7/32  0.63898
JT4  1.124   1.0372  1-21/32 0.62886
JT5  1.413   1.31611 1-7/8   0.6201
JT6  0.676   0.62409 1       0.62292
JT33 0.62401 0.56051 1       0.76194
"""


def test_each_jacobs_taper_is_that_of_the_appendix():
    ours = [(one.code, one.large_end, one.small_end, one.length) for one in jacobs_tapers()]
    printed = [
        (code, inches(large), inches(small), inches(fraction(length)))
        for code, large, small, length, _ in lines(JACOBS)
    ]

    assert ours == printed


def test_the_taper_of_a_jacobs_taper_is_that_of_the_appendix_to_four_places():
    for code, *_, taper in lines(JACOBS):
        assert abs(jacobs(code).taper_per_foot - Fraction(taper)) <= Fraction(1, 20_000), code


# Brown & Sharpe tapers, inches, typed again from memory of the table of shanks and plugs in handbooks (1 to 4 read in
# a list of standard tapers): large and small end, depth of the plug, taper per foot.
BROWN_SHARPE = """
BS1  0.23922 0.20000 15/16   0.50200
BS2  0.29968 0.25000 1-3/16  0.50200
BS3  0.37525 0.31250 1-1/2   0.50200
BS4  0.42065 0.35000 1-11/16 0.50240
BS5  0.53882 0.45000 2-1/8   0.50160
BS6  0.59961 0.50000 2-3/8   0.50329
BS7  0.72014 0.60000 2-7/8   0.50147
BS8  0.89873 0.75000 3-9/16  0.50100
BS9  1.07747 0.90010 4-1/4   0.50085
BS10 1.25970 1.04465 5       0.51612
BS11 1.49783 1.24995 5-15/16 0.50100
BS12 1.79681 1.50010 7-1/8   0.49973
"""


def test_each_brown_and_sharpe_taper_is_that_of_the_handbook():
    ours = [(one.code, one.large_end, one.small_end, one.length, one.taper_per_foot) for one in brown_sharpe_tapers()]

    assert ours == [
        (code, inches(large), inches(small), inches(fraction(plug)), Fraction(taper))
        for code, large, small, plug, taper in lines(BROWN_SHARPE)
    ]


def test_the_large_end_of_a_brown_and_sharpe_taper_is_the_small_end_and_the_taper():
    # Arithmetic, to two of the hundred-thousandths of an inch that handbooks print, the taper being rounded too.
    for taper in brown_sharpe_tapers():
        worked_out = taper.small_end.nm + taper_over(taper.length, taper.taper_per_foot)
        assert abs(worked_out - taper.large_end.nm) < 2 * NM_PER_INCH // 100_000, taper.code


def test_a_jarno_taper_follows_its_number():
    # The rule of the Jarno taper: for No. n, n/8 in at the large end, n/10 in at the small one, n/2 in long; so each
    # tapers by 0.6 in per foot.
    for number, taper in enumerate(jarno_tapers(), start=2):
        assert taper.code == f"JARNO{number}"
        assert [Fraction(end.nm, NM_PER_INCH) for end in (taper.large_end, taper.small_end, taper.length)] == [
            Fraction(number, 8), Fraction(number, 10), Fraction(number, 2),
        ]  # fmt: skip
        assert taper.taper_per_foot == Fraction(6, 10)
    assert len(jarno_tapers()) == 19


def test_a_jacobs_taper_agrees_with_its_diameters_and_length():
    # Arithmetic. ASME B5.10 rounds diameters to five places, the taper to four: half a last place each.
    for taper in jacobs_tapers():
        worked_out = Fraction(taper.large_end.nm - taper.small_end.nm, taper.length.nm) * 12
        rounding = Fraction(NM_PER_INCH, 100_000 * taper.length.nm) * 12 + Fraction(1, 20_000)
        assert abs(worked_out - taper.taper_per_foot) <= rounding, taper.code


def test_there_is_no_morse_8():
    # ASME B5.10 ends at No. 7.
    assert morse("MT8") is None
