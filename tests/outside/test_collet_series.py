"""Collet series against what the trade makes, DIN 6499 / ISO 15488 and geometry.

The inch series have no standard. What stands here for them is common practice, from memory of trade charts where
nothing else is said; a figure of practice is held to the range that the trade would accept.
"""

import pytest

from inventory.measures.lengths import Length
from inventory.reference.collets import builtin_series, collet_series
from inventory.reference.er_runout import class_2_runout, runouts
from tests.outside.prints import inches, lines, mm

INCH_CODES = ("5C", "3C", "2J", "3J", "16C", "R8")
TOOL_CODES = ("TG75", "TG100", "TG150", "DA300", "DA200", "DA100", "DA180")
ER_CODES = ("ER8", "ER11", "ER16", "ER20", "ER25", "ER32", "ER40", "ER50")


def series(code, shape="round"):
    return builtin_series(code, shape)


def inch_series():
    return [one for one in collet_series() if one.code in INCH_CODES]


def er_series():
    return [one for one in collet_series() if one.code in ER_CODES]


# Trade charts: smallest and largest size, the step of the usual sizes with their first and last, and the bore.
TRADE_SIZES = """
5C  round  1/32 9/8   1/64 1/32 9/8  17/16
5C  hex    1/8  29/32 1/32 1/8  29/32 17/16
5C  square 1/8  3/4   1/32 1/8  3/4  17/16
3C  round  1/16 9/16  1/64 1/16 9/16 1/2
3C  hex    1/8  7/16  1/32 1/8  7/16 1/2
3C  square 1/8  11/32 1/32 1/8  11/32 1/2
2J  round  1/16 11/8  1/64 1/16 11/8 11/8
2J  hex    1/4  19/16 1/16 1/4  19/16 11/8
2J  square 1/4  31/32 1/16 1/4  15/16 11/8
3J  round  1/16 7/4   1/64 1/16 7/4  7/4
3J  hex    1/4  3/2   1/16 1/4  3/2  7/4
3J  square 1/4  5/4   1/16 1/4  5/4  7/4
16C round  1/16 13/8  1/64 1/16 13/8 13/8
16C hex    1/4  45/32 1/16 1/4  11/8 13/8
16C square 1/4  37/32 1/16 1/4  9/8  13/8
R8  round  1/16 7/8   1/32 1/16 7/8  -
R8  hex    -    -     -    -    -    -
R8  square -    -     -    -    -    -
"""


def test_each_inch_series_comes_in_the_sizes_of_the_trade():
    ours = [
        (one.code, one.shape, one.smallest, one.largest, one.ladder_step, one.ladder_from, one.ladder_to, one.passes)
        for one in inch_series()
    ]

    assert ours == [(code, shape, *map(inches, sizes)) for code, shape, *sizes in lines(TRADE_SIZES)]


def test_5c_passes_an_inch_and_a_sixteenth_and_less_with_the_stop_thread():
    # Read in shop texts; no other series here has a stop thread on file.
    assert series("5C").passes == inches("17/16")
    assert {one.passes_with_stop_thread for one in collet_series() if one.code == "5C"} == {inches("63/64")}
    assert {one.passes_with_stop_thread for one in collet_series() if one.code != "5C"} == {None}


@pytest.mark.parametrize("code", ["5C", "2J", "3J", "16C"])
@pytest.mark.parametrize(("shape", "over", "under"), [("hex", 4, 3), ("square", 2, 1)])
def test_the_largest_flats_pass_the_bore_by_their_corners(code, shape, over, under):
    # Geometry: across corners is flats times 2 / sqrt 3 or sqrt 2, squared here to stay exact. The bore itself may be a
    # 32nd over what a round of its size wants, so that the last hexagon just passes (16C).
    found = series(code, shape)
    corners_squared = found.largest.nm**2 * over / under
    assert corners_squared <= (found.passes + inches("1/32")).nm ** 2


def test_the_largest_5c_hex_and_square_pass_and_the_next_64th_would_not():
    # Geometry, as above: 59/64 in hex is over the 0.9201 in that the bore lets through, 49/64 square over 0.7513.
    for shape, over, under in (("hex", 4, 3), ("square", 2, 1)):
        found = series("5C", shape)
        assert found.largest.nm**2 * over < found.passes.nm**2 * under
        assert (found.largest + inches("1/64")).nm ** 2 * over > found.passes.nm**2 * under


def test_an_inch_collet_grips_about_five_thou_either_way():
    # 5C: common practice, 0.005 in. The others close and open by as much; R8, made for cutters of exact shank, opens by
    # two or three thou only.
    for one in inch_series():
        assert inches("0.004") <= one.closes_by <= inches("0.006"), one.code
        low, high = ("0.001", "0.003") if one.code == "R8" else ("0.004", "0.006")
        assert inches(low) <= one.opens_by <= inches(high), one.code
        assert (one.small_closes_by, one.small_upto) == (None, None), one.code


def test_an_inch_collet_runs_true_from_two_thou_under_to_nominal():
    # Advice printed in shop texts, and in a second one: best from +0 to -0.002 in.
    for one in inch_series():
        assert (one.true_under, one.true_over) == (inches("0.002"), Length(0)), one.code


def test_nearer_than_half_a_thou_to_its_limits_an_inch_collet_is_not_sure():
    # Common practice: a bar is measured to half a thou in a shop, to two tenths with care, and one thou is too coarse.
    for one in inch_series():
        assert inches("0.0002") <= one.edge_bottom <= inches("0.0009"), one.code
        assert inches("0.0002") <= one.edge_top <= inches("0.0009"), one.code


def test_a_good_inch_collet_runs_out_about_half_a_thou_and_one_with_flats_a_thou():
    # Common practice: 5C collets are sold to 0.0005 in and less; hex and square are broached, no better than a thou.
    for one in inch_series():
        low, high = ("0.0003", "0.0009") if one.shape == "round" else ("0.0006", "0.0018")
        assert inches(low) <= one.typical_tir <= inches(high), (one.code, one.shape)


# Trade charts: the draw thread, as it is said. 5C and R8 only; the others are in the table of bodies.
CLOSING_THREADS = {"5C": "1.238-20 outside, 1.041-24 inside for a stop", "R8": "drawbar 7/16-20 UNF"}


def test_the_draw_thread_of_an_inch_series_is_that_of_the_trade():
    assert all(one.closing_thread == CLOSING_THREADS.get(one.code, "") for one in inch_series())


# Sold soft, to be bored in place: every draw-in collet in each shape that it comes in, and the ER of everyday sizes.
WITH_BLANKS = {"5C", "3C", "2J", "3J", "16C", "R8", "ER16", "ER20", "ER25", "ER32", "ER40"}


def test_blanks_are_sold_for_the_series_of_everyday_use():
    for one in collet_series():
        is_sold = one.code in WITH_BLANKS and (one.code, one.shape) not in {("R8", "hex"), ("R8", "square")}
        assert one.has_blanks is is_sold, (one.code, one.shape)


# DIN 6499 / ISO 15488, mm, from memory (ISO 15488 Table 2, nut thread and rear bore, from a reproduction of it):
# smallest and largest nominal, smallest work, closing, usual step, rear bore, nut.
DIN_6499 = """
ER8  1 5  0.5 0.5 0.5 -    M10x0.75
ER11 1 7  0.5 0.5 0.5 7.5  M14x0.75
ER16 1 10 0.5 1   1   10.5 M22x1.5
ER20 1 13 1   1   1   13.5 M25x1.5
ER25 1 16 1   1   1   18   M32x1.5
ER32 2 20 2   1   1   23.5 M40x1.5
ER40 3 26 3   1   1   30.5 M50x1.5
ER50 8 34 6   2   2   -    M64x2
"""


def test_each_er_series_is_that_of_the_standard():
    ours = [
        (one.code, one.smallest, one.ladder_to, one.clamps_down_to, one.closes_by, one.ladder_step, one.passes,
         one.closing_thread.replace(" ", ""))
        for one in er_series()
    ]  # fmt: skip

    assert ours == [(code, *map(mm, figures), nut) for code, *figures, nut in lines(DIN_6499)]


def test_the_usual_er_sizes_begin_at_the_smallest():
    # Sets are sold by whole steps from end to end.
    assert all(one.ladder_from == one.smallest for one in er_series())


# Past the standard, mm, from memory of trade charts: the largest that is made.
ER_TOPS = {"ER25": "17", "ER32": "22", "ER40": "30"}


def test_an_er_series_is_made_past_the_standard_where_its_bore_has_room():
    for one in er_series():
        assert one.largest == (mm(ER_TOPS[one.code]) if one.code in ER_TOPS else one.ladder_to), one.code
        assert not one.passes or one.largest < one.passes, one.code


def test_an_er_collet_never_opens():
    # DIN 6499: the nominal size is the largest that the collet takes.
    assert {one.opens_by for one in er_series()} == {Length(0)}


def test_small_er_sizes_close_by_half_a_millimetre():
    # The more careful of two printed rules, read again in a second text: 0.5 mm up to nominal 3 mm. ER8 and ER11 close
    # by half a millimetre throughout, and ER50 has no such sizes.
    for one in er_series():
        small = (None, None) if one.code in {"ER8", "ER11", "ER50"} else (mm("0.5"), mm("3"))
        assert (one.small_closes_by, one.small_upto) == small, one.code


def test_an_er_collet_runs_true_near_its_nominal_size_only():
    # ISO 15488 states the run-out at nominal size; makers warn of every tenth below. A tenth is read as still nominal,
    # and none above, because it never opens.
    for one in er_series():
        assert mm("0.05") <= one.true_under <= mm("0.15") and one.true_over == Length(0), one.code


def test_the_last_tenth_of_what_an_er_collet_closes_is_not_sure_and_its_nominal_size_is():
    # Common practice: at the end of its closing only the nut's end bears. At the top a shank of nominal size goes in.
    for one in er_series():
        assert mm("0.05") <= one.edge_bottom <= mm("0.15") and one.edge_top == Length(0), one.code


# ISO 15488 Table 4, mm, read again in a second maker's print: nominal over and to, test length, class 1, class 2. The
# last row is DIN 6499, from memory, with class 1 unknown.
ISO_15488_T4 = """
1   1.6 6  0.010 0.015
1.6 3   10 0.010 0.015
3   6   16 0.010 0.015
6   10  25 0.010 0.015
10  18  40 0.015 0.020
18  26  50 0.015 0.020
26  34  60 -     0.025
"""


def test_er_run_out_is_that_of_the_standard():
    ours = [
        (one.over, one.over_included, one.upto, one.test_length, one.class_1, one.class_2, one.basis)
        for one in runouts()
    ]
    printed = [[mm(text) for text in row] for row in lines(ISO_15488_T4)]

    assert ours == [
        (over, over == mm("1"), upto, length, first, second, f"published-{'seen' if first else 'from-memory'}")
        for over, upto, length, first, second in printed
    ]


@pytest.mark.parametrize("nominal", ["0.99", "34.01"])
def test_er_run_out_outside_the_table_is_unknown(nominal):
    # ISO 15488 Table 4 starts at 1 mm.
    assert class_2_runout(mm(nominal)) is None


def test_the_typical_run_out_of_an_er_series_is_the_worst_that_class_2_allows_its_usual_sizes():
    # ISO 15488 Table 4 (ER50: DIN 6499 from memory).
    for one in er_series():
        assert one.typical_tir == class_2_runout(one.ladder_to).class_2, one.code


# Collets of tool holders, inches, from memory of trade charts: smallest and largest; sold by 64ths.
TOOL_SIZES = """
TG75  1/16 3/4
TG100 3/32 1
TG150 1/2  3/2
DA300 1/16 1/4
DA200 1/16 3/8
DA100 1/16 9/16
DA180 1/16 3/4
"""


def tool_series():
    return [one for one in collet_series() if one.code in TOOL_CODES]


def test_each_series_of_tool_holders_comes_in_the_sizes_of_the_trade():
    ours = [(one.code, one.smallest, one.largest, one.ladder_from, one.ladder_to) for one in tool_series()]

    assert ours == [(code, *map(inches, (low, high, low, high))) for code, low, high in lines(TOOL_SIZES)]


def test_the_number_of_a_tg_series_is_its_largest_size_in_hundredths_of_an_inch():
    # How the trade names them; the DA series are named by no rule.
    for one in tool_series():
        if one.code.startswith("TG"):
            assert one.largest == Length(inches(one.code.removeprefix("TG")).nm // 100), one.code


def test_a_collet_of_a_tool_holder_closes_by_the_64th_that_it_is_sold_by():
    # So that a set holds every size between its ends; like ER it never opens.
    for one in tool_series():
        assert one.closes_by == one.ladder_step == inches("1/64"), one.code
        assert (one.opens_by, one.edge_top) == (Length(0), Length(0)), one.code
        assert inches("0.0002") <= one.edge_bottom <= inches("0.0009"), one.code


def test_no_run_out_or_true_zone_is_told_of_what_nobody_has_figures_for():
    for one in tool_series():
        assert (one.typical_tir, one.true_under, one.true_over, one.passes) == (None, None, None, None), one.code


def test_the_series_are_those_and_no_others():
    assert list(dict.fromkeys(one.code for one in collet_series())) == [*INCH_CODES, *ER_CODES, *TOOL_CODES]
